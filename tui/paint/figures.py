"""Big letters and digits of our own: strokes two cells wide, the zero open and round, the O square.

Drawn seven dots high. Tall figures double the three cross strokes, which makes them ten high and as fat across as
down. Two dots stand in one terminal row as half blocks.
"""

from __future__ import annotations

from functools import cache

from tui.glyphs import Glyphs
from tui.paint.letters import LETTERS

Bitmap = tuple[str, ...]
LOW = (0, 1, 2, 3, 4, 5, 6)
TALL = (0, 0, 1, 2, 3, 3, 4, 5, 6, 6)
CROSS_ROWS = ((0,), (1, 2), (3,), (4, 5), (6,))  # where half rows cannot be drawn
Spacing = tuple[int, int]  # dots between words, and between letters
WIDE, USUAL, CLOSE = (4, 2), (3, 1), (2, 1)


def drawable(text: str) -> bool:
    """Whether every sign of a text has a figure."""
    return all(char in LETTERS or char == " " for char in text)


@cache
def word_rows(word: str, within: int) -> Bitmap:
    """A word in dots; the digits of a time all have one width, so that it does not move from second to second."""
    wide = len(LETTERS["0"][0]) if ":" in word else 0
    signs = [[row.center(wide) if sign.isdigit() else row for row in LETTERS[sign]] for sign in word]
    return tuple((" " * within).join(sign[row] for sign in signs) for row in LOW)


def figure_width(text: str, scale: int = 1, spacing: Spacing = USUAL) -> int:
    """Cells across, at so many times the drawn size."""
    between, within = spacing
    words = [len(word_rows(word, within)[0]) for word in text.split()]
    return scale * (sum(words) + between * (len(words) - 1)) if words else 0


def figure(text: str, width: int, rows: int, glyphs: Glyphs) -> tuple[str, ...]:
    """The text in the tallest figures that stand in so many cells and terminal rows; () where none do."""
    if not text or not drawable(text):
        return ()
    for height, scale, tall in sizes(glyphs):
        for spacing, room in ((WIDE, width * 3 // 4), (USUAL, width), (CLOSE, width)):
            if height <= rows and figure_width(text, scale, spacing) <= room:
                return draw(text, scale, tall, glyphs, spacing)
    return ()


def sizes(glyphs: Glyphs) -> tuple[tuple[int, int, bool], ...]:
    """Height in rows, scale and whether tall, from the biggest down."""
    if not glyphs.half_rows:
        return ((10, 2, True), (5, 1, True))
    return ((15, 3, True), (11, 3, False), (10, 2, True), (7, 2, False), (5, 1, True), (4, 1, False))


def draw(text: str, scale: int, tall: bool, glyphs: Glyphs, spacing: Spacing = USUAL) -> tuple[str, ...]:
    """The rows of a figure; each `figure_width(text, scale, spacing)` cells wide."""
    dots = _dots(text, spacing)
    if not glyphs.half_rows:
        return _whole_rows(dots, scale, glyphs)
    tall_dots = [dots[row] for row in (TALL if tall else LOW) for _ in range(scale)]
    wide = ["".join(dot * scale for dot in line) for line in tall_dots]
    if len(wide) % 2:
        wide.append(" " * len(wide[0]))
    return tuple(half_blocks(wide[i], wide[i + 1], glyphs) for i in range(0, len(wide), 2))


def _dots(text: str, spacing: Spacing) -> Bitmap:
    between, within = spacing
    words = [word_rows(word, within) for word in text.split()]
    return tuple((" " * between).join(word[row] for word in words) for row in LOW)


def half_blocks(upper: str, lower: str, glyphs: Glyphs) -> str:
    """Two rows of dots, one above the other, in one row of the terminal."""
    sign = {"##": glyphs.full, "# ": glyphs.upper, " #": glyphs.lower, "  ": " "}
    return "".join(sign[a + b] for a, b in zip(upper, lower, strict=True))


def _whole_rows(dots: Bitmap, scale: int, glyphs: Glyphs) -> tuple[str, ...]:
    rows = []
    for group in CROSS_ROWS:
        merged = ("#" if "#" in column else " " for column in zip(*(dots[row] for row in group), strict=True))
        line = "".join((glyphs.full if dot == "#" else " ") * scale for dot in merged)
        rows.extend([line] * scale)
    return tuple(rows)
