"""Figures to be read from ten feet: as tall as wanted, strokes as fat across as down, letters well apart.

They are the big letters drawn taller than wide. Where there is room each is half as wide again; a gap between letters
is never narrower than the strokes unless the text fits no other way.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache, lru_cache
from itertools import product

from tui.glyphs import Glyphs
from tui.paint.figures import CROSS_ROWS, LOW, TALL, USUAL, WIDE, Spacing, drawable, half_blocks
from tui.paint.letters import LETTERS

Rows = tuple[tuple[int, ...], ...]
EACH: Rows = tuple((row,) for row in LOW)
APART: Spacing = (8, 2)  # "P1 0:40" must not be read as "P10:40"
FIGURES_KEPT = 256  # most stand for many seconds
MOST = 6  # times the drawn height, in dots


@dataclass(frozen=True)
class Fat:
    """Rows of dots of the drawing, one after the other, and how many half cells wide a dot may be, the widest first."""

    dots: Rows
    halves: tuple[int, ...]
    rows: int  # of the terminal


@cache
def fat_sizes(glyphs: Glyphs) -> tuple[Fat, ...]:
    """Every size there is, the tallest first."""
    if not glyphs.half_rows:
        whole = [(times, rows) for times in (3, 2, 1) for rows in (EACH, CROSS_ROWS)]
        return tuple(_size(rows, times, (3 * times, 2 * times), half_rows=False) for times, rows in whole)
    tall = [_size(EACH, times, (times * 3 // 2, times), half_rows=True) for times in range(MOST, 1, -1)]
    low = [tuple((row,) for row in TALL), EACH, CROSS_ROWS]
    return (*tall, *(_size(rows, 1, (2,), half_rows=True) for rows in low))


def _size(rows: Rows, times: int, halves: tuple[int, ...], half_rows: bool) -> Fat:
    dots = tuple(row for row in rows for _ in range(times))
    return Fat(dots, halves, -(-len(dots) // 2) if half_rows else len(dots))


@lru_cache(maxsize=FIGURES_KEPT)
def fat_figure(
    texts: tuple[str, ...], width: int, rows: int, glyphs: Glyphs, sides: tuple[int, ...] = ()
) -> tuple[str, ...]:
    """The tallest figures in so many rows and cells; () where none fits or none can be drawn.

    Of the texts the first that fits with its letters well apart; the first of `sides` that can be left beside it is.
    """
    known = [text for text in texts if text and drawable(text)]
    rooms = [width - side for side in (*sides, 0)]
    for size in fat_sizes(glyphs):
        for spacings, halves in (((APART, WIDE), size.halves), ((USUAL,), size.halves[-1:])):
            for text, room, spacing in product(known, rooms, spacings):
                if size.rows <= rows and (drawn := _fitted(text, size, spacing, halves, room, glyphs)):
                    return drawn
    return ()


def _fitted(
    text: str, size: Fat, spacing: Spacing, halves: tuple[int, ...], room: int, glyphs: Glyphs
) -> tuple[str, ...]:
    across = len(_joined(text, size.dots[0], spacing))
    half = next((half for half in halves if across * half // 2 <= room), 0)
    return _drawn([_joined(text, row, spacing) for row in size.dots], half, glyphs) if half else ()


def _joined(text: str, rows: tuple[int, ...], spacing: Spacing) -> str:
    """A row of dots of the whole text; rows of the drawing given together are laid on each other."""
    between, within = (" " * gap for gap in spacing)
    return between.join(within.join(_laid(sign, rows) for sign in word) for word in text.split())


@cache
def _laid(sign: str, rows: tuple[int, ...]) -> str:
    """Digits all have one width: a countdown neither moves nor changes its size from second to second."""
    columns = zip(*(LETTERS[sign][row] for row in rows), strict=True)
    dots = "".join("#" if "#" in column else " " for column in columns)
    return dots.center(len(LETTERS["0"][0])) if sign.isdigit() else dots


def _drawn(dots: list[str], halves: int, glyphs: Glyphs) -> tuple[str, ...]:
    cells = len(dots[0]) * halves // 2
    wide = ["".join(line[(2 * cell + 1) // halves] for cell in range(cells)) for line in dots]
    if not glyphs.half_rows:
        return tuple(line.replace("#", glyphs.full) for line in wide)
    if len(wide) % 2:
        wide.insert(0, " " * cells)  # the free half row on top keeps figures below each other apart
    return tuple(half_blocks(wide[i], wide[i + 1], glyphs) for i in range(0, len(wide), 2))
