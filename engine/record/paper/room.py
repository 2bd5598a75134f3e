"""How much of a sheet everything takes, in millimetres: reckoned here, so that the page needs no second look."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from typing import Literal

from engine.record.report.markup import Markup

Paper = Literal["a4", "letter"]
PAPERS: dict[Paper, tuple[float, float]] = {"a4": (210.0, 297.0), "letter": (215.9, 279.4)}
MARGIN_MM = 7.0
SPARE_MM = 2.0  # fonts differ a little from one machine to the next
TITLE_MM, QUEUE_HEAD_MM, QUEUE_MM = 8.0, 4.8, 4.1
STAMP_HEAD_MM, LEAST_STAMP_MM, STAMP_MM, MOST_STAMP_MM = 16.0, 7.6, 9.6, 13.0
WINDOW_TITLE_MM, WINDOW_HEAD_MM, WINDOW_MM = 5.6, 7.6, 3.5
LINE_HEAD_MM, LINE_MM, FEWEST_LINES, MOST_LINES = 10.0, 7.6, 2, 6
TEXT_HEAD_MM, TEXT_MM, TEXT_LETTERS = 1.8, 3.05, 138  # small print, letters on a line of it


@dataclass(frozen=True)
class Part:
    """A table or a block: what stands above its rows, the rows, and how they are put together."""

    head_mm: float
    rows: Sequence[tuple[float, Markup]]
    whole: Callable[[Sequence[Markup]], Markup]


@dataclass(frozen=True)
class Room:
    """Height of a row of stamps, and how many blank lines for readings and signs."""

    stamp_mm: float
    lines: int


def page_mm(paper: Paper) -> float:
    """The height that may be printed on."""
    return PAPERS[paper][1] - 2 * MARGIN_MM - SPARE_MM


def text_mm(text: str) -> float:
    """Of small print that runs on over the whole width."""
    return math.ceil(len(text) / TEXT_LETTERS) * TEXT_MM if text else 0.0


def room_on(paper: Paper, others_mm: float, stamps: int) -> Room:
    """What stamps and lines get beside `others_mm` of all else; roomy where one side cannot hold them in any case."""
    left_mm = page_mm(paper) - others_mm
    if left_mm < stamps * LEAST_STAMP_MM + FEWEST_LINES * LINE_MM:
        return Room(STAMP_MM, MOST_LINES)
    spare = int((left_mm - stamps * STAMP_MM) / LINE_MM)
    lines = min(max(spare, FEWEST_LINES), MOST_LINES)
    each_mm = (left_mm - lines * LINE_MM) / max(stamps, 1)
    return Room(math.floor(min(each_mm, MOST_STAMP_MM) * 10.0) / 10.0, lines)


def sides(parts: Iterable[Part], paper: Paper) -> tuple[tuple[Markup, ...], ...]:
    """Parts laid on sides from the top; one that is too long goes on overleaf under its own head again."""
    full_mm, done = page_mm(paper), list[tuple[Markup, ...]]()
    side, used_mm = list[Markup](), TITLE_MM
    for part in parts:
        rows, head_mm = list[Markup](), part.head_mm
        for row_mm, row in part.rows:
            if used_mm + head_mm + row_mm > full_mm and (side or rows):
                done.append((*side, *((part.whole(rows),) if rows else ())))
                side, rows, used_mm, head_mm = [], [], TITLE_MM, part.head_mm
            used_mm, head_mm = used_mm + head_mm + row_mm, 0.0
            rows.append(row)
        if rows:
            side.append(part.whole(rows))
    return (*done, tuple(side))
