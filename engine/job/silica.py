"""Dust: rows of the construction silica rule's table for the tools of this trade. Opening bags has none.

29 CFR 1926.1153 table 1. A row counts only where its controls are used in full; otherwise, and for work that
has no row, the employer assesses the exposure. Local law and the employer's written plan decide.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

Place = Literal["outdoors", "enclosed"]  # a covered entry may count as enclosed
Control = Literal["water", "shroud and collector"]

LONG_SHIFT_S = 4 * 3600.0
LIMIT_UG_M3 = 50.0  # permissible exposure limit, mean of eight hours
ACTION_LEVEL_UG_M3 = 25.0


@dataclass(frozen=True)
class Row:
    """One line of the table. Factors are the least assigned protection factor; 0: the table names none."""

    tool: str
    control: Control
    place: Place
    factor_short: int  # up to four hours a shift
    factor_long: int
    clause: str


ROWS: tuple[Row, ...] = (
    Row("stationary saw", "water", "outdoors", 0, 0, "(c)(1)(i)"),
    Row("stationary saw", "water", "enclosed", 0, 0, "(c)(1)(i)"),
    Row("handheld saw", "water", "outdoors", 0, 10, "(c)(1)(ii)"),
    Row("handheld saw", "water", "enclosed", 10, 10, "(c)(1)(ii)"),
    Row("walk-behind saw", "water", "outdoors", 0, 0, "(c)(1)(iv)"),
    Row("walk-behind saw", "water", "enclosed", 10, 10, "(c)(1)(iv)"),
    Row("chipping hammer", "water", "outdoors", 0, 10, "(c)(1)(x)"),
    Row("chipping hammer", "water", "enclosed", 10, 10, "(c)(1)(x)"),
    Row("chipping hammer", "shroud and collector", "outdoors", 0, 10, "(c)(1)(x)"),
    Row("chipping hammer", "shroud and collector", "enclosed", 10, 10, "(c)(1)(x)"),
    Row("grinder", "water", "outdoors", 0, 0, "(c)(1)(xii)"),
    Row("grinder", "shroud and collector", "outdoors", 0, 0, "(c)(1)(xii)"),
    Row("grinder", "shroud and collector", "enclosed", 0, 10, "(c)(1)(xii)"),
)


def row_for(tool: str, control: Control, place: Place) -> Row | None:
    """The row of a tool used so; `None`: the table has none and the employer must assess the exposure."""
    asked = (tool, control, place)
    return next((row for row in ROWS if (row.tool, row.control, row.place) == asked), None)


def factor(row: Row, shift_s: float) -> int:
    """Least assigned protection factor for a time at the tool in one shift; 0: the table names none."""
    return row.factor_long if shift_s > LONG_SHIFT_S else row.factor_short
