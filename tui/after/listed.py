"""A list of the after screen: a heading and as many rows as there is room for, the marked one in sight."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Generic, TypeVar

from tui.after.marker import place_of
from tui.paint.cells import pad, width_of
from tui.paint.columns import Column, cells_of, first_shown, fitting
from tui.paint.pen import Pen
from tui.paint.runs import Line, Lines, block, row
from tui.scene import Scene

Row = TypeVar("Row")
LEAST_REST = 5


@dataclass(frozen=True)
class Listed(Generic[Row]):
    """What a page lists: its rows, their columns, what stands behind those, which rows are loud, what an empty page says."""

    rows: tuple[Row, ...]
    columns: tuple[Column[Row], ...]
    last: str  # heading of what stands behind the columns
    rest: Callable[[Row, Scene, Pen], str]
    style: Callable[[Row, Scene], str]  # "text" for a row that is not loud
    empty: str


def paint_list(scene: Scene, listed: Listed[Row], width: int, height: int, pen: Pen) -> Lines:
    """Exactly so many rows; a loud row keeps its fill under the marker, which is a sign of its own."""
    columns, found = fitting(listed.columns, width, LEAST_REST), listed.rows
    names = "".join(
        pad(pen.say(f"after.column.{one.name}"), one.width, pen.glyphs.cut) + " " for one in columns
    )
    head = row(f" {names}{pen.say(f'after.column.{listed.last}')}", width, "rule", pen.glyphs.cut)
    if not found:
        return block([head, row(f" {pen.say(listed.empty)}", width, "text", pen.glyphs.cut)], width, height)
    place, room = place_of(scene), max(0, height - 1)
    start = first_shown(place, len(found), room)
    shown = enumerate(found[start : start + room], start)
    rows = [_row(scene, listed, one, columns, (n == place, width), pen) for n, one in shown]
    return block([head, *rows], width, height)


def _row(
    scene: Scene,
    listed: Listed[Row],
    one: Row,
    columns: tuple[Column[Row], ...],
    stands: tuple[bool, int],
    pen: Pen,
) -> Line:
    chosen, width = stands
    cells = cells_of(one, columns, scene, pen)
    rest = listed.rest(one, scene, pen) if width - width_of(cells) > 1 else ""
    style = listed.style(one, scene)
    text = f"{'>' if chosen else ' '}{cells}{rest}"
    return row(text, width, "chosen" if chosen and style == "text" else style, pen.glyphs.cut)
