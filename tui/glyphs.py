"""The signs that are not letters, in a set for good terminals and a set of plain ASCII."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True)
class Glyphs:
    """`hollow` and `solid` mark lines on their way to disk and kept; `full`, `upper`, `lower` draw the figures.

    `ahead`, `begun` and `through` fill the gauge of a window; `busy` is a task along time, `window` where a pass may be.
    """

    full: str
    upper: str
    lower: str
    through: str
    begun: str
    ahead: str
    busy: str
    window: str
    rule: str
    hollow: str
    solid: str
    about: str
    cut: str
    degree: str
    dot: str
    half_rows: bool


BLOCKS = Glyphs("█", "▀", "▄", "■", "□", "·", "▄", "░", "─", "○", "●", "±", "…", "°", "·", half_rows=True)
ASCII = Glyphs("#", "#", "#", "#", "-", ".", "=", ".", "-", "o", "@", "~", "~", "", "-", half_rows=False)
