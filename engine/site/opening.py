"""When a pour opens and why not earlier: the label's time on the clock, or the set age that cold and packets hold back.

Opening is a time, never a permission: the checks of the finished surface come on top of it.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

from engine.site.trajectory import Trajectory
from engine.site.windows import opening
from engine.words import Say, say

Basis = Literal["label", "set age", "nothing tipped", "not reached"]


@dataclass(frozen=True)
class Tipped:
    """A batch in its pour; `tip_at` is log time."""

    batch: str
    path: Trajectory
    tip_at: float


@dataclass(frozen=True)
class OpeningTime:
    """When a pour opens, what decides that and which batch; no time where set age never gets there, or nothing is in."""

    at: float | None
    basis: Basis
    batch: str = ""


@dataclass(frozen=True)
class TargetResult:
    """A promised opening against the expected one; `margin_s` is negative when late, None without a time."""

    met: bool
    expected: float | None
    margin_s: float | None


def opening_time(batches: Sequence[Tipped], label_s: float) -> OpeningTime:
    """The latest opening over a pour's batches; a batch opens no earlier than the label's seconds after its tip."""
    opens = [_of_batch(batch, label_s) for batch in batches]
    never = next((found for found in opens if found.at is None), None)
    if never is not None or not opens:
        return never or OpeningTime(None, "nothing tipped")
    return max(opens, key=lambda found: found.at or 0.0)


def _of_batch(batch: Tipped, label_s: float) -> OpeningTime:
    at = opening(batch.path, batch.tip_at, label_s)
    if at is None:
        return OpeningTime(None, "not reached", batch.batch)
    basis: Basis = "set age" if at > batch.tip_at + label_s else "label"
    return OpeningTime(at, basis, batch.batch)


def said(opens: OpeningTime) -> Say:
    """What decides the opening, in words."""
    return say(f"opening.{opens.basis.replace(' ', '_')}", batch=opens.batch)


def target_result(expected: float | None, by: float) -> TargetResult:
    """Whether an opening comes by a promised time; without a time it does not."""
    if expected is None:
        return TargetResult(False, None, None)
    return TargetResult(expected <= by, expected, by - expected)
