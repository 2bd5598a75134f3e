"""The queue as planned: each pour with its water, its last stroke, finish, dose and people; the marked one in sight."""

from __future__ import annotations

from engine.pour.plan_view import PlanRow
from engine.words import amount
from tui.paint.cells import clean, pad, width_of
from tui.paint.columns import Column, cells_of, first_shown, fitting
from tui.paint.pen import Pen
from tui.paint.runs import Line, Lines, block, row
from tui.plan.marker import marked, place_of, rows
from tui.scene import Scene


def _bags(one: PlanRow, _: Scene, pen: Pen) -> str:
    return pen.say("queue.of", left=amount(one.bags_left), bags=amount(one.bags))


def _clock(at: float | None, pen: Pen) -> str:
    return pen.clock(at, seconds=False) if at is not None else ""


def _dose(one: PlanRow) -> str:
    """Packets a bag; what the plan chose by itself is marked."""
    text = amount(one.packets)
    return text if one.dose_stated else f"~{text}"


def _finish(one: PlanRow, _: Scene, pen: Pen) -> str:
    return pen.word("finished", one.finish)


def _people(one: PlanRow, _: Scene, pen: Pen) -> str:
    """Who was put on it beforehand: `mix MB, finish F`."""
    return ", ".join(f"{pen.word('skill', work)} {clean(who)}" for work, who in one.put_on)


def _last(one: PlanRow, scene: Scene, pen: Pen) -> str:
    """The last water that keeps what is promised of it."""
    latest = min((call.latest for call in scene.view.last_calls if call.pour == one.id), default=None)
    return _clock(latest, pen)


def _rest(one: PlanRow, scene: Scene, spot: bool, pen: Pen) -> str:
    """A promise that breaks before flags, flags before the place, which may have a column of its own."""
    broken = next((kept for kept in scene.view.promises if one.id in kept.pours and not kept.kept), None)
    late = (
        pen.say("queue.not_kept", to=pen.word("queue", broken.open_to), by=_clock(broken.by, pen))
        if broken
        else ""
    )
    flags = ", ".join(pen.word("flag", flag) for flag in one.flags)
    return f" {pen.glyphs.dot} ".join(
        text for text in (late, flags, "" if spot else clean(one.where)) if text
    )


COLUMNS: tuple[Column[PlanRow], ...] = (
    Column("pour", 5, 0, lambda one, _scene, _pen: clean(one.id)),
    Column("bags", 9, 1, _bags),
    Column("state", 11, 2, lambda one, _, pen: pen.word("pour", one.state)),
    Column("water", 5, 3, lambda one, _, pen: _clock(one.water, pen)),
    Column("done", 5, 4, lambda one, _, pen: _clock(one.done, pen)),
    Column("finish", 6, 5, _finish),
    Column("in", 6, 6, lambda one, _, pen: pen.word("finish_in", one.finish_in) if one.finish_in else ""),
    Column("packets", 5, 7, lambda one, _scene, _pen: _dose(one)),
    Column("people", 16, 8, _people),
    Column("last", 10, 9, _last),
    Column("spot", 28, 10, lambda one, _scene, _pen: clean(one.where)),
)
LEAST_REST = 8


def columns_for(width: int) -> tuple[Column[PlanRow], ...]:
    """The columns that fit, in their order, with some room left for flags and place."""
    return fitting(COLUMNS, width, LEAST_REST)


def paint_queue(scene: Scene, width: int, height: int, pen: Pen) -> Lines:
    """A heading and as many pours as there is room for."""
    columns = columns_for(width)
    names = "".join(pad(pen.say(f"plan.column.{column.name}"), column.width + 1) for column in columns)
    head = row(f" {names}{pen.say('plan.column.rest')}", width, "rule", pen.glyphs.cut)
    room, found = height - 1, rows(scene)
    start = first_shown(place_of(scene), len(found), room)
    shown = [_row(scene, one, columns, width, pen) for one in found[start : start + max(0, room)]]
    if not found:
        shown = [row(f" {pen.say('plan.no_plan')}", width, "text", pen.glyphs.cut)]
    return block([head, *shown], width, height)


def _row(scene: Scene, one: PlanRow, columns: tuple[Column[PlanRow], ...], width: int, pen: Pen) -> Line:
    chosen = one is marked(scene)
    cells = cells_of(one, columns, scene, pen)
    spot = any(column.name == "spot" for column in columns)
    rest = _rest(one, scene, spot, pen) if width - width_of(cells) > 1 else ""
    text = f"{'>' if chosen else ' '}{cells}{rest}"
    return row(text, width, "chosen" if chosen else "text", pen.glyphs.cut)
