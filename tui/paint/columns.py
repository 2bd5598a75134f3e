"""Columns of a list that go one by one where the width is short."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Generic, TypeVar

from tui.paint.cells import pad
from tui.paint.pen import Pen
from tui.scene import Scene

Row = TypeVar("Row")


@dataclass(frozen=True)
class Column(Generic[Row]):
    """A column of a list; those of the highest `rank` go first where the width is short."""

    name: str
    width: int
    rank: int
    text: Callable[[Row, Scene, Pen], str]


def fitting(columns: tuple[Column[Row], ...], width: int, rest: int) -> tuple[Column[Row], ...]:
    """The columns that fit, in their order, with so many cells left behind them."""
    room, kept = width - rest - 1, set()
    for column in sorted(columns, key=lambda column: column.rank):
        room -= column.width + 1
        if room < 0:
            break
        kept.add(column.name)
    return tuple(column for column in columns if column.name in kept)


def cells_of(one: Row, columns: tuple[Column[Row], ...], scene: Scene, pen: Pen) -> str:
    """Each text in its column, a blank behind it."""
    return "".join(
        pad(column.text(one, scene, pen), column.width, pen.glyphs.cut) + " " for column in columns
    )


def first_shown(place: int, count: int, room: int) -> int:
    """From which row on a list is shown so that a place is in sight, with one more behind it where there is one."""
    return max(0, min(place + 2 - room, count - room)) if room > 0 else place
