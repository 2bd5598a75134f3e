"""How many rows each part of the screen gets; by size and crew alone, so that nothing moves while work runs."""

from __future__ import annotations

from dataclasses import dataclass

LEAST_WIDTH = 30
WIDE = 110
NARROW = 60  # below it the board is that of a phone held upright
FOOT = 2  # message and footer


@dataclass(frozen=True)
class Layout:
    """Rows of each part, from top to bottom. `lanes` are (first to matter, other), headings included."""

    lanes: tuple[int, int]
    middle: int
    crew: int
    queue: int
    site: int
    wide: bool
    timeline: bool

    @property
    def above(self) -> int:
        """Where the part begins that help may cover."""
        return sum(self.lanes)


def arrange(width: int, height: int, crew: int, half_rows: bool = True) -> Layout:
    """Share out the rows of a screen; the parts add up to the height less message and footer."""
    wide = width >= WIDE and height >= 30
    lanes = _lanes(width, height, half_rows)
    left = max(0, height - FOOT - sum(lanes))
    site = min(left, 3 if height >= 44 else 2 if left >= 8 else 1 if left >= 4 else 0)
    left -= site
    crew_rows = crew + 1 if wide else _crew_rows(crew, left)
    crew_rows = min(crew_rows, max(0, left - 2))
    left -= crew_rows
    queue = 0 if wide or left < 2 else _queue_rows(left)
    return Layout(lanes, left - queue, crew_rows, queue, site, wide, timeline=wide)


def _lanes(width: int, height: int, half_rows: bool) -> tuple[int, int]:
    """Figures of 10, 7 or 5 rows by the height; on small screens one of them in words, on tiny ones both."""
    if height >= 56 and width >= 160:
        return 11, 11
    if height >= 44 and width >= 120:
        return 8, 8
    if height >= 30:
        return 6, 6
    if height >= 20:
        return (6, 5) if half_rows else (6, 6)
    if height >= 14:
        return 6, 2
    return (2, 2) if height >= 9 else (min(2, max(0, height - FOOT)), 0)


def _crew_rows(crew: int, left: int) -> int:
    """One row a person where that leaves four for the work, else two persons a row."""
    return crew if left - crew >= 5 else -(-crew // 2)


def _queue_rows(left: int) -> int:
    """One line, or a list of its own on tall narrow screens."""
    return 1 if left < 14 else left // 2
