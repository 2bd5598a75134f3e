"""Checks at hand-over: each with what is asked for, what was read, and where its limit comes from."""

from __future__ import annotations

from collections.abc import Iterator

from engine.pour.after_view import CheckRow
from engine.pour.told_measured import slope_text
from engine.sources import Source
from engine.units import show_length
from tui.after.listed import Listed
from tui.after.marker import check_rows, place_of
from tui.paint.cells import clean
from tui.paint.columns import Column
from tui.paint.pen import Pen
from tui.paint.runs import Run
from tui.scene import Scene

OUTSIDE = ("over", "under", "hollow", "slick", "cannot tell")
FAMILIES = {"sounding": "sounding", "wet feel": "felt"}


def _word(one: CheckRow, _: Scene, pen: Pen) -> str:
    family = FAMILIES.get(one.name, "") if one.word != "not read" else ""
    return pen.word(family or "after.word", one.word)


def _number(one: CheckRow, number: float | None, pen: Pen) -> str:
    if number is None:
        return ""
    return slope_text(number) if one.sense == "one in" else show_length(number, pen.units)


def _asked(one: CheckRow, _: Scene, pen: Pen) -> str:
    """The limit as short as it goes: a slope as one in so much."""
    if one.limit is None:
        return pen.word(FAMILIES.get(one.name, ""), one.wanted) if one.wanted else ""
    limit = f"1:{1.0 / one.limit:.4g}" if one.sense == "one in" else show_length(one.limit, pen.units)
    return pen.say("after.check.at_least" if one.sense == "at least" else "after.check.at_most", limit=limit)


COLUMNS: tuple[Column[CheckRow], ...] = (
    Column("pour", 5, 0, lambda one, _scene, _pen: clean(one.pour)),
    Column("check", 15, 1, lambda one, _, pen: pen.word("after.named", one.name)),
    Column("verdict", 11, 2, _word),
    Column("asked", 14, 3, _asked),
    Column("read", 14, 4, lambda one, _, pen: _number(one, one.value, pen)),
    Column("before", 14, 6, lambda one, _, pen: _number(one, one.before, pen)),
)


def checks(scene: Scene) -> Listed[CheckRow]:
    """What is outside its limit, or cannot be told, stands out."""
    return Listed(
        check_rows(scene),
        COLUMNS,
        "spot",
        lambda one, _scene, _pen: clean(one.spot),
        lambda one, _scene: "bad" if one.word in OUTSIDE else "text",
        "after.no_checks",
    )


def check_count(scene: Scene, pen: Pen) -> str:
    """How many checks nobody made, and how many are outside their limit."""
    missing = sum(one.word == "not read" and one.asked for one in check_rows(scene))
    outside = sum(one.word in OUTSIDE for one in check_rows(scene))
    return pen.say("after.check.count", missing=missing, outside=outside)


def check_texts(scene: Scene, pen: Pen) -> Iterator[Run]:
    """The verdict on the marked check, its source, and the line it is entered by."""
    rows = check_rows(scene)
    if not rows:
        return
    one = rows[place_of(scene)]
    name = pen.word("check", one.name)
    yield f"{clean(one.pour)} {name}: {_word(one, scene, pen)}", "strong"
    if one.said is not None:
        yield pen.say(one.said), "text"
    if one.name == "readiness":
        yield from _ticks(one, pen)
    if one.limit is not None:
        yield _cited(one, scene, pen), "text"
    if not one.asked:
        yield pen.say("after.check.not_listed"), "text"
    yield from ((pen.say(note), "text") for note in one.notes)
    if one.entry:
        line = f"{one.entry}_{one.tail}"
        yield pen.say("after.types", key=pen.key("aftercare.record"), line=line), "text"
    yield pen.say("answer.decides"), "text"


def _ticks(one: CheckRow, pen: Pen) -> Iterator[Run]:
    if one.done:
        yield pen.say("after.check.done", ticks=", ".join(one.done)), "text"
    if one.missing:
        yield pen.say("after.check.missing", ticks=", ".join(one.missing)), "text"
    if not one.entry and one.missing:
        yield pen.say("after.check.at_first_bag"), "text"


def _cited(one: CheckRow, scene: Scene, pen: Pen) -> str:
    asked = _asked(one, scene, pen)
    if one.source is None:
        return pen.say("after.check.own_limit", asked=asked)
    return pen.say("after.check.cited", asked=asked, source=citation(one.source))


def citation(source: Source) -> str:
    """`ADA Standards for Accessible Design, 2010, 405.2 and its table`."""
    return ", ".join(text for text in (source.title, source.edition, source.clause) if text)
