"""The plan screen: call and most urgent pass on top, the page turned to, then messages, banners and keys."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

from tui.actions import BY_ID as LIVE
from tui.actions import Action, available
from tui.desk import Ask
from tui.paint.alarms import alarm_rows, kept_rows, paint_alarms
from tui.paint.foot import label_of, paint_banners, paint_message, paint_message_above
from tui.paint.layout import FOOT
from tui.paint.pages import in_pages, key_lines
from tui.paint.pen import Pen
from tui.paint.runs import Line, Lines, Run, block, fit, line_width, row
from tui.plan.cautions import caution_lines, paint_cautions
from tui.plan.choices import choice_lines, paint_choices
from tui.plan.crew import paint_crew
from tui.plan.keys import PLAN, SHARED, hints
from tui.plan.marker import PAGES, marked, page_of
from tui.plan.press import WORK, offered
from tui.plan.queue import paint_queue
from tui.plan.takeoff import paint_takeoff
from tui.plan.top import ROWS as TOP
from tui.plan.top import paint_top
from tui.scene import Scene

LEAST_QUEUE = 4
HELP_COLUMN = 80
LENGTHS: dict[str, Callable[[Scene, int, Pen], int]] = {  # of pages that can be moved on, in rows
    "cautions": lambda scene, width, pen: len(caution_lines(scene, width, pen)),
    "choices": choice_lines,
}


def paint_plan(scene: Scene, width: int, height: int, pen: Pen) -> Lines:
    """Exactly `height` rows of exactly `width` cells; a part that cannot be drawn stays blank and is told."""
    faults: list[Exception] = []
    banner_rows, rows = _rows(scene, height)
    alarms = paint_alarms(scene, width, alarm_rows(scene, rows), pen)
    told = paint_message_above(scene, width, max(0, rows - 1 - len(alarms)), pen)
    own = rows - max(len(alarms) + len(told), kept_rows(scene, rows))
    above = _guarded(faults, lambda: paint_top(scene, width, pen), width, min(height, TOP))
    body = _guarded(faults, lambda: _body(scene, width, own, pen), width, rows - len(alarms) - len(told))
    banners = _guarded(faults, lambda: paint_banners(scene, width, banner_rows, pen), width, banner_rows)
    foot = _guarded(faults, lambda: _foot(scene, width, pen, faults), width, FOOT)
    return block([*above, *body, *alarms, *told, *banners, *foot], width, height)


def _rows(scene: Scene, height: int) -> tuple[int, int]:
    """Rows for banners, and for the page with what is told over it."""
    room = max(0, height - TOP - FOOT)
    banner_rows = min(scene.banner_rows, max(0, room - 1))
    return banner_rows, room - banner_rows


def clamped(scene: Scene, width: int, height: int, pen: Pen) -> Scene:
    """With a text moved on no further than to its end, so that the way back is as short."""
    plan = scene.desk.plan
    if plan is None or not plan.scroll or page_of(scene) not in LENGTHS:
        return scene
    rows = max(1, _rows(scene, height)[1] - 1)
    most = max(0, LENGTHS[page_of(scene)](scene, width, pen) - rows)
    if plan.scroll <= most:
        return scene
    return replace(scene, desk=replace(scene.desk, plan=replace(plan, scroll=most)))


def _guarded(faults: list[Exception], paint: Callable[[], Lines], width: int, height: int) -> Lines:
    """What a painter painted, in exactly its place; a fault of it is noted."""
    try:
        return block(paint(), width, height)
    except Exception as fault:
        faults.append(fault)
        return block((), width, height)


def _body(scene: Scene, width: int, height: int, pen: Pen) -> Lines:
    """The names of the pages over the one turned to."""
    if height <= 1:
        return block((_tabs(scene, width, pen),), width, height)
    paint = _help if scene.desk.plan and scene.desk.plan.help else _PAGES[page_of(scene)]
    return _tabs(scene, width, pen), *paint(scene, width, height - 1, pen)


def _tabs(scene: Scene, width: int, pen: Pen) -> Line:
    """The page turned to in brackets, and when the last stroke is planned."""
    runs: list[Run] = [(f" {pen.say('plan.name')} ", "strong")]
    for name in PAGES:
        text = pen.say(f"plan.page.{name}")
        on = name == page_of(scene)
        runs.append((f"[{text}]" if on else f" {text} ", "chosen" if on else "rule"))
    if scene.plan and scene.plan.rows:
        runs.append((f"  {pen.say('plan.end', clock=pen.clock(scene.plan.end, seconds=False))}", "text"))
    return fit(runs, width, "text", pen.glyphs.cut)


def _queue_page(scene: Scene, width: int, height: int, pen: Pen) -> Lines:
    """The queue, what may be done to it, and the crew, which goes first where the rows are too few."""
    people = 1 + (len(scene.plan.crew) if scene.plan else 0)
    crew = people if height > people + LEAST_QUEUE else 0
    edits = (_edits(scene, width, pen),) if height >= LEAST_QUEUE else ()
    queue = paint_queue(scene, width, height - crew - len(edits), pen)
    return *queue, *edits, *paint_crew(scene, width, crew, pen)


def _takeoff_page(scene: Scene, width: int, height: int, pen: Pen) -> Lines:
    edits = (_edits(scene, width, pen),) if height >= LEAST_QUEUE else ()
    return *paint_takeoff(scene, width, height - len(edits), pen), *edits


_PAGES: dict[str, Callable[[Scene, int, int, Pen], Lines]] = {
    "queue": _queue_page,
    "takeoff": _takeoff_page,
    "cautions": paint_cautions,
    "choices": paint_choices,
}


def _help(scene: Scene, width: int, height: int, pen: Pen) -> Lines:
    """Every key of the plan screen, and those of the live screen that go on working."""
    told = [(action, pen.say(f"help.{action.id}")) for action in PLAN]
    told += [(LIVE[name], pen.say(f"help.{name}")) for name in SHARED]
    pages = in_pages("plan.help", key_lines(told, min(width, HELP_COLUMN), pen), (width, height), pen)
    number = scene.desk.plan.help if scene.desk.plan else 1
    return pages[(number - 1) % len(pages)]


def _foot(scene: Scene, width: int, pen: Pen, faults: list[Exception]) -> Lines:
    return _message(scene, width, pen, faults), _footer(scene, width, pen)


def _message(scene: Scene, width: int, pen: Pen, faults: list[Exception]) -> Line:
    ask = scene.desk.plan.ask if scene.desk.plan else None
    if faults:
        return row(f" {pen.say('screen.fault', what=repr(faults[0]))}", width, "bad", pen.glyphs.cut)
    if ask:
        return row(f" {question(scene, ask, pen)}", width, "ask", pen.glyphs.cut)
    return paint_message(scene, width, pen)


def question(scene: Scene, ask: Ask, pen: Pen) -> str:
    """The question that waits, with the second keys it takes."""
    keys = "  ".join(f"{choice.key} {pen.say(choice.text)}" for choice in offered(scene, ask))
    name = "planning_work" if ask.action == WORK else ask.action.replace(".", "_")
    return f"{pen.say(f'ask.{name}', which=ask.key)} {keys}"


def _footer(scene: Scene, width: int, pen: Pen) -> Line:
    """The clock; what space and enter do to the lines on top, then the keys of this page, as many whole ones as fit."""
    clock: Run = (f" {pen.clock(scene.now)} ", "clock")
    shared = [LIVE[name] for name in ("advance", "call") if available(LIVE[name], scene)]
    told = [(action, label_of(action, scene, pen)) for action in shared]
    told += [(action, pen.say(f"action.{action.id}")) for action in hints(scene, edits=False)]
    return fit((clock, *_hints(told, width - line_width((clock,)), pen)), width, "footer")


def _edits(scene: Scene, width: int, pen: Pen) -> Line:
    """What the keys would do to the pour under the marker, as many whole ones as fit."""
    told = [(action, _label(action, scene, pen)) for action in hints(scene, edits=True)]
    return fit(_hints(told, width, pen), width, "footer")


def _hints(told: list[tuple[Action, str]], room: int, pen: Pen) -> list[Run]:
    runs: list[Run] = []
    for action, label in told:
        hint = ((f" {pen.key(action.id)} ", "key"), (f"{label} ", "footer"))
        if line_width(hint) <= room:
            runs += hint
            room -= line_width(hint)
    return runs


def _label(action: Action, scene: Scene, pen: Pen) -> str:
    """Of a key that goes two ways, the way it would go now."""
    one = marked(scene)
    taken_up = action.id == "planning.leave" and one is not None and one.state == "later visit"
    return pen.say("plan.take_up" if taken_up else f"action.{action.id}")
