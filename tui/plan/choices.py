"""Choices side by side, as far as they are weighed: last stroke, length, least slack, days missed, cost, promise."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field
from datetime import datetime
from typing import Any

from tui.paint.cells import clean, pad, pad_left, wrap
from tui.paint.pen import Pen
from tui.paint.runs import Line, Lines, block, row
from tui.scene import Scene

Table = dict[str, Any]
NUMBERS = (("end", 6), ("minutes", 5), ("slack", 9), ("missed", 10), ("cost", 10))
NUMBERS_WIDTH = sum(size for _, size in NUMBERS)
LEAST_NAME, OPENS = 18, 12
SLACK_TEXT = 3  # rows of what helps


@dataclass(frozen=True)
class Choices:
    """What was weighed: the latest table, of which queue, whether more is to come, and what went wrong."""

    queue: tuple[tuple[Any, ...], ...] = ()
    table: Table = field(default_factory=dict)
    going_on: bool = True
    fault: str = ""


def queue_of(scene: Scene) -> tuple[tuple[Any, ...], ...]:
    """What choices hang on, to see whether those shown are still of this queue."""
    rows = scene.plan.rows if scene.plan else ()
    return tuple(
        (one.id, one.state == "later visit", one.finish, one.bags, one.dose_stated and one.packets)
        for one in rows
    )


def paint_choices(scene: Scene, width: int, height: int, pen: Pen) -> Lines:
    """The first row says how far they are; the table can be moved on."""
    found = scene.choices
    if found is None:
        return block(
            (row(f" {pen.say('plan.choices.none', key=pen.key('planning.weigh'))}", width, "strong"),),
            width,
            height,
        )
    head = [row(f" {_standing(scene, found, pen)}", width, "strong", pen.glyphs.cut)]
    rows = found.table.get("choices", [])
    if not rows:
        return block(head, width, height)
    body = [_row(one, width, pen) for one in rows]
    texts = list(_texts(found.table, width, pen))
    room = max(1, height - 2 - len(texts))
    scroll = scene.desk.plan.scroll if scene.desk.plan else 0
    start = max(0, min(scroll, len(body) - room))
    return block([*head, _head(width, pen), *body[start : start + room], *texts], width, height)


def choice_lines(scene: Scene, width: int, pen: Pen) -> int:
    """Rows that all of it takes."""
    table = scene.choices.table if scene.choices else {}
    return 2 + len(table.get("choices", [])) + len(list(_texts(table, width, pen)))


def _standing(scene: Scene, found: Choices, pen: Pen) -> str:
    if found.fault:
        return pen.say("plan.choices.fault", what=found.fault)
    days = next((one["days"] for one in found.table.get("choices", [])), 0)
    if found.queue != queue_of(scene):
        return pen.say("plan.choices.old", key=pen.key("planning.weigh"))
    return pen.say("plan.choices.going_on" if found.going_on else "plan.choices.done", days=days)


def _head(width: int, pen: Pen) -> Line:
    name = max(LEAST_NAME, width - NUMBERS_WIDTH - OPENS)
    texts = "".join(pad_left(pen.say(f"plan.choices.{key}"), size) for key, size in NUMBERS)
    return row(
        f" {pad(pen.say('plan.choices.change'), name, pen.glyphs.cut)}{texts}  {pen.say('plan.choices.opens')}",
        width,
        "rule",
    )


def _row(one: Table, width: int, pen: Pen) -> Line:
    name = max(LEAST_NAME, width - NUMBERS_WIDTH - OPENS)
    slack_s = one["slack_s"] if one["usual_slack_s"] is None else one["usual_slack_s"]
    missed = "-" if one["missed_share"] is None else f"{one['missed_share']:.0%}"
    texts = (
        _clock(one["end"], pen),
        f"{one['length_s'] / 60:.0f}",
        pen.say("plan.choices.min", n=f"{slack_s / 60 + 0.0:.1f}"),
        missed,
        "-" if one["cost"] is None else f"{one['cost']:.0f}",
    )
    cells = "".join(pad_left(text, size) for text, (_, size) in zip(texts, NUMBERS, strict=True))
    mark = " " if one["windows_held"] else "*"
    return row(
        f" {pad(clean(one['text']), name, pen.glyphs.cut)}{cells}{mark} {_opens(one, pen)}",
        width,
        "text",
        pen.glyphs.cut,
    )


def _clock(iso: str, pen: Pen) -> str:
    return pen.clock(datetime.fromisoformat(iso).timestamp(), seconds=False)


def _opens(one: Table, pen: Pen) -> str:
    """The promise with the least room, in minutes; or that one is not kept."""
    margins = [target["margin_s"] for target in one["targets"]]
    if any(margin is None or margin < 0 for margin in margins):
        return pen.say("plan.choices.late")
    return pen.say("plan.choices.early", n=f"{min(margins) / 60:.0f}") if margins else ""


def _texts(table: Table, width: int, pen: Pen) -> Iterator[Line]:
    """What helps most, and packets that only cost."""
    best = table.get("helps_most")
    said = [
        pen.say("plan.choices.helps", text=best["text"]) if best else pen.say("plan.choices.nothing_helps")
    ]
    for text in [*said, *table.get("packets", []), pen.say("plan.choices.foot")]:
        for part in wrap(clean(text), max(1, width - 2), SLACK_TEXT, pen.glyphs.cut):
            yield row(f" {part}", width, "text", pen.glyphs.cut)
