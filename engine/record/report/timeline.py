"""The day across the page, and every pour by itself: batches, their passes, the windows behind them."""

from __future__ import annotations

from collections.abc import Iterator

from engine.record.report.document import Drawing
from engine.record.report.markup import Markup
from engine.record.report.shown import Shown, Table
from engine.record.report.svg import (
    GREY,
    INK,
    LIGHT,
    WIDTH,
    TimeAxis,
    axis_over,
    box,
    cross,
    dot,
    drawing,
    line,
    ticked,
    words,
)

LEFT, RIGHT = 130.0, WIDTH - 62.0
ROW, TOP, FOOT = 15.0, 6.0, 18.0
BATCHES_A_DRAWING = 10


def day_line(table: Table, spoken: Shown) -> Iterator[Drawing]:
    """One row a pour: each bag from its water to its last stroke; nothing where nothing was wet."""
    wet = [batch for batch in table["batches"] if batch["water_contact"]]
    if not wet:
        return
    ends = [one for batch in wet for one in (batch["water_contact"], _last(batch, spoken))]
    axis = axis_over((spoken.at(one) for one in ends), LEFT, RIGHT, spoken.zone)
    pours = dict.fromkeys(batch["pour"] for batch in wet)
    bottom = TOP + ROW * len(pours)
    inside = [*ticked(axis, TOP, bottom)]
    for number, pour in enumerate(pours):
        inside += _day_row(pour, [b for b in wet if b["pour"] == pour], TOP + ROW * number, axis, spoken)
    told = spoken.word("told.day")
    yield Drawing(drawing(bottom + FOOT, told, *inside), told)


def _last(batch: Table, spoken: Shown) -> str:
    """The last thing stamped on a batch."""
    stamps = [batch[key] for key in ("water_contact", "mixed", "tipped", "finished", "lost_at") if batch[key]]
    last: str = max(stamps, key=spoken.at)
    return last


def _day_row(pour: str, batches: list[Table], top: float, axis: TimeAxis, spoken: Shown) -> Iterator[Markup]:
    yield words(LEFT - 6.0, top + 11.0, pour, anchor="end", bold=True)
    for batch in batches:
        start, end = (axis.x(spoken.at(one)) for one in (batch["water_contact"], _last(batch, spoken)))
        if batch["stage"] == "lost":
            yield cross(start, top + ROW / 2.0)
        else:
            yield box(start, top + 3.0, end, ROW - 6.0, LIGHT)
            yield line(start, top + 2.0, start, top + ROW - 2.0, width=2.0)
    last = max((_last(batch, spoken) for batch in batches), key=spoken.at)
    yield words(RIGHT + 4.0, top + 11.0, spoken.clock(last))


def pour_lines(pour: Table, batches: list[Table], spoken: Shown) -> Iterator[Drawing]:
    """A pour on its own clock, so many batches a drawing; those lost in their vessel are left out."""
    live = [batch for batch in batches if batch["passes"]]
    for first in range(0, len(live), BATCHES_A_DRAWING):
        yield _pour_line(pour, live[first : first + BATCHES_A_DRAWING], spoken)


def _pour_line(pour: Table, batches: list[Table], spoken: Shown) -> Drawing:
    axis = axis_over(_times(batches, spoken), LEFT, RIGHT, spoken.zone)
    rows = sum(1 + len(batch["passes"]) for batch in batches)
    bottom, top = TOP + ROW * rows, TOP
    inside = [*ticked(axis, TOP, bottom)]
    for batch in batches:
        inside += _mixing_row(batch, top, axis, spoken)
        for done in batch["passes"]:
            top += ROW
            inside += _pass_row(done, top, axis, spoken)
        top += ROW
        inside.append(line(LEFT - 120.0, top, axis.right, top, stroke=LIGHT))
    told = spoken.words("report.told.pour", pour=pour["id"])
    return Drawing(drawing(bottom + FOOT, told, *inside), told)


def _times(batches: list[Table], spoken: Shown) -> Iterator[float]:
    """What the axis of a pour must show: every stamp, every window up to late."""
    for batch in batches:
        yield spoken.at(batch["water_contact"])
        for done in batch["passes"]:
            window = done["window"] or {}
            for one in (done["done"], window.get("late")):
                if one:
                    yield spoken.at(one)


def _mixing_row(batch: Table, top: float, axis: TimeAxis, spoken: Shown) -> Iterator[Markup]:
    """A box while it was mixed, a line while it was carried and placed, dashes as long as it stayed workable."""
    yield words(LEFT - 6.0, top + 11.0, f"{batch['id']} {spoken.word('pass.tip')}", anchor="end", bold=True)
    yield words(RIGHT + 4.0, top + 11.0, spoken.stamp(batch["tipped"]))
    middle = top + ROW / 2.0
    water, tip = (axis.x(spoken.at(batch[key])) for key in ("water_contact", "tipped"))
    mixed = axis.x(spoken.at(batch["mixed"])) if batch["mixed"] else water
    if batch["workable_until"]:
        until = axis.x(spoken.at(batch["workable_until"]))
        yield line(tip, middle, until, middle, dashes="2 2")
        yield line(until, top + 3.0, until, top + ROW - 3.0)
    yield line(mixed, middle, tip, middle)
    yield box(water, top + 3.5, mixed, ROW - 7.0, "#fff")
    yield dot(tip, middle)


def _pass_row(done: Table, top: float, axis: TimeAxis, spoken: Shown) -> Iterator[Markup]:
    """The window behind a pass and its stamp: a dot inside the window, a cross outside."""
    yield words(LEFT - 6.0, top + 11.0, spoken.word(f"pass.{done['pass']}"), anchor="end")
    if done["window"]:
        yield from _window(done["window"], top, axis, spoken)
    if done["done"] is None:
        yield words(RIGHT + 4.0, top + 11.0, spoken.word("skipped" if done["skipped"] else "no_stamp"))
        return
    x, middle = axis.x(spoken.at(done["done"])), top + ROW / 2.0
    yield cross(x, middle) if done["outside_s"] else dot(x, middle)
    yield words(RIGHT + 4.0, top + 11.0, spoken.stamp(done["done"]))


def _window(window: Table, top: float, axis: TimeAxis, spoken: Shown) -> Iterator[Markup]:
    """Light from may start to due, grey to late, open to lost."""
    times = [
        spoken.at(window[name]) if window[name] else axis.end for name in ("open", "due", "late", "lost")
    ]
    opens, due, late, lost = (axis.x(at) for at in times)
    for start, end, fill in ((opens, due, LIGHT), (due, late, GREY), (late, lost, "#fff")):
        if end > start:
            yield box(start, top + 3.0, end, ROW - 6.0, fill, stroke=INK if fill != "#fff" else GREY)
