"""What the console answers: written, told, or refused."""

from __future__ import annotations

from dataclasses import dataclass

from engine.words import Say


@dataclass(frozen=True)
class Done:
    """Lines written, and what they say."""

    seqs: tuple[int, ...]
    text: Say


@dataclass(frozen=True)
class Told:
    """A question answered; nothing was written."""

    text: Say


@dataclass(frozen=True)
class Refused:
    """Nothing was written, and why."""

    reason: Say
