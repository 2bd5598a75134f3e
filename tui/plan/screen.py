"""The plan screen: call and most urgent pass on top, the page turned to, then messages, banners and keys."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

from tui.actions import BY_ID as LIVE
from tui.actions import Action
from tui.desk import Ask
from tui.paint.pages import in_pages, key_lines
from tui.paint.pen import Pen
from tui.paint.runs import Line, Lines, block
from tui.paint.under import Under, hint_line, page_rows, paint_under, tabs
from tui.plan.cautions import caution_lines, paint_cautions
from tui.plan.choices import choice_lines, paint_choices
from tui.plan.crew import paint_crew
from tui.plan.keys import PLAN, SHARED, hints
from tui.plan.marker import PAGES, marked, page_of
from tui.plan.press import WORK, offered
from tui.plan.queue import paint_queue
from tui.plan.takeoff import paint_takeoff
from tui.scene import Scene

LEAST_QUEUE = 4
HELP_COLUMN = 80
LENGTHS: dict[str, Callable[[Scene, int, Pen], int]] = {  # of pages that can be moved on, in rows
    "cautions": lambda scene, width, pen: len(caution_lines(scene, width, pen)),
    "choices": choice_lines,
}


def paint_plan(scene: Scene, width: int, height: int, pen: Pen) -> Lines:
    """Exactly `height` rows of exactly `width` cells; a part that cannot be drawn stays blank and is told."""
    under = Under(
        body=lambda rows: _body(scene, width, rows, pen),
        asked=lambda: _asked(scene, pen),
        keys=lambda: [(one, pen.say(f"action.{one.id}")) for one in hints(scene, edits=False)],
    )
    return paint_under(scene, width, height, pen, under)


def clamped(scene: Scene, width: int, height: int, pen: Pen) -> Scene:
    """With a text moved on no further than to its end, so that the way back is as short."""
    plan = scene.desk.plan
    if plan is None or not plan.scroll or page_of(scene) not in LENGTHS:
        return scene
    rows = max(1, page_rows(scene, height) - 1)
    most = max(0, LENGTHS[page_of(scene)](scene, width, pen) - rows)
    if plan.scroll <= most:
        return scene
    return replace(scene, desk=replace(scene.desk, plan=replace(plan, scroll=most)))


def _body(scene: Scene, width: int, height: int, pen: Pen) -> Lines:
    """The names of the pages over the one turned to."""
    if height <= 1:
        return block((_tabs(scene, width, pen),), width, height)
    paint = _help if scene.desk.plan and scene.desk.plan.help else _PAGES[page_of(scene)]
    return _tabs(scene, width, pen), *paint(scene, width, height - 1, pen)


def _tabs(scene: Scene, width: int, pen: Pen) -> Line:
    """The page turned to in brackets, and when the last stroke is planned."""
    pages = [(pen.say(f"plan.page.{name}"), name == page_of(scene)) for name in PAGES]
    planned = scene.plan is not None and bool(scene.plan.rows)
    end = pen.clock(scene.plan.end, seconds=False) if scene.plan else ""
    return tabs(pen.say("plan.name"), pages, pen.say("plan.end", clock=end) if planned else "", width, pen)


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


def _asked(scene: Scene, pen: Pen) -> str:
    ask = scene.desk.plan.ask if scene.desk.plan else None
    return question(scene, ask, pen) if ask else ""


def question(scene: Scene, ask: Ask, pen: Pen) -> str:
    """The question that waits, with the second keys it takes."""
    keys = "  ".join(f"{choice.key} {pen.say(choice.text)}" for choice in offered(scene, ask))
    name = "planning_work" if ask.action == WORK else ask.action.replace(".", "_")
    return f"{pen.say(f'ask.{name}', which=ask.key)} {keys}"


def _edits(scene: Scene, width: int, pen: Pen) -> Line:
    """What the keys would do to the pour under the marker, as many whole ones as fit."""
    told = [(action, _label(action, scene, pen)) for action in hints(scene, edits=True)]
    return hint_line(told, width, pen)


def _label(action: Action, scene: Scene, pen: Pen) -> str:
    """Of a key that goes two ways, the way it would go now."""
    one = marked(scene)
    taken_up = action.id == "planning.leave" and one is not None and one.state == "later visit"
    return pen.say("plan.take_up" if taken_up else f"action.{action.id}")
