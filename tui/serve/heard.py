"""What is heard of what a viewer sends: that its window has another size, or whether anybody is there. Keys are not."""

from __future__ import annotations

import json
from dataclasses import dataclass

from tui.serve.limits import Size, window

LONGEST = 512  # signs of a message
LONGEST_MARK = 32


@dataclass(frozen=True)
class Resized:
    """The window has another size, already within bounds."""

    size: Size


@dataclass(frozen=True)
class Asked:
    """Whether anybody is there; the mark goes back."""

    mark: str


def heard(text: str) -> Resized | Asked | None:
    """What a message asks for; None for keys and anything else."""
    message = _read(text) if len(text) <= LONGEST else None
    match message:
        case ["resize", {"width": int(width), "height": int(height)}]:
            return Resized(window(width, height))
        case ["ping", str(mark)] if len(mark) <= LONGEST_MARK:
            return Asked(mark)
    return None


def _read(text: str) -> object:
    try:
        return json.loads(text)
    except (ValueError, RecursionError):
        return None
