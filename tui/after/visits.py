"""Visits still due: the day of each, whose work is looked at, what to do there."""

from __future__ import annotations

from collections.abc import Iterator

from engine.pour.after_view import VisitRow
from tui.after.listed import Listed
from tui.after.marker import place_of, visit_rows
from tui.paint.cells import clean
from tui.paint.columns import Column
from tui.paint.pen import Pen
from tui.paint.runs import Run
from tui.scene import Scene


def _day(one: VisitRow, _: Scene, pen: Pen) -> str:
    return one.day.isoformat() if one.day else pen.say("after.visit.no_day")


def _in(one: VisitRow, scene: Scene, pen: Pen) -> str:
    if one.day is None or scene.after is None:
        return ""
    days = (one.day - scene.after.today).days
    if days == 0:
        return pen.say("after.visit.today")
    return pen.say("after.visit.overdue" if one.overdue else "after.visit.in", days=abs(days))


def _pours(one: VisitRow, _scene: Scene, _pen: Pen) -> str:
    return clean(", ".join(one.pours))


COLUMNS: tuple[Column[VisitRow], ...] = (
    Column("day", 10, 0, _day),
    Column("in", 16, 1, _in),
    Column("visit", 17, 2, lambda one, _, pen: pen.word("look", one.kind)),
)


def visits(scene: Scene) -> Listed[VisitRow]:
    """One whose day is gone stands out."""
    return Listed(
        visit_rows(scene),
        COLUMNS,
        "pours",
        _pours,
        lambda one, _scene: "late" if one.overdue else "text",
        "after.no_visits",
    )


def visit_texts(scene: Scene, pen: Pen) -> Iterator[Run]:
    """What to do at the marked visit, and how its day is agreed or that it was made."""
    rows = visit_rows(scene)
    if not rows:
        return
    one = rows[place_of(scene)]
    yield pen.say(one.title), "strong"
    yield from ((f"- {pen.say(task)}", "text") for task in one.tasks)
    key = "after.visit.agree" if one.kind == "later pours" else "after.visit.made"
    yield pen.say(key, key=pen.key("aftercare.record"), line=f"{one.entry}_"), "text"
    yield pen.say("after.visit.calendar"), "text"
