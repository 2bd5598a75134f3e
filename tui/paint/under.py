"""A screen of pages under the two lines that stay on top: the page turned to, then alarms, messages, banners and keys."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from tui.actions import BY_ID as LIVE
from tui.actions import Action, available
from tui.paint.alarms import alarm_rows, kept_rows, paint_alarms
from tui.paint.foot import label_of, paint_banners, paint_message, paint_message_above
from tui.paint.layout import FOOT
from tui.paint.pen import Pen
from tui.paint.runs import Line, Lines, Run, block, fit, line_width, row
from tui.plan.top import ROWS as TOP
from tui.plan.top import paint_top
from tui.scene import Scene


@dataclass(frozen=True)
class Under:
    """What a screen puts there: its page in so many rows, the question that waits (or none), its keys and their labels."""

    body: Callable[[int], Lines]
    asked: Callable[[], str]
    keys: Callable[[], list[tuple[Action, str]]]


def paint_under(scene: Scene, width: int, height: int, pen: Pen, under: Under) -> Lines:
    """Exactly `height` rows of exactly `width` cells; a part that cannot be drawn stays blank and is told."""
    faults: list[Exception] = []
    banner_rows, rows = _rows(scene, height)
    alarms = paint_alarms(scene, width, alarm_rows(scene, rows), pen)
    told = paint_message_above(scene, width, max(0, rows - 1 - len(alarms)), pen)
    own = rows - max(len(alarms) + len(told), kept_rows(scene, rows))
    above = _guarded(faults, lambda: paint_top(scene, width, pen), width, min(height, TOP))
    body = _guarded(faults, lambda: under.body(own), width, rows - len(alarms) - len(told))
    banners = _guarded(faults, lambda: paint_banners(scene, width, banner_rows, pen), width, banner_rows)
    foot = _guarded(faults, lambda: _foot(scene, width, pen, under, faults), width, FOOT)
    return block([*above, *body, *alarms, *told, *banners, *foot], width, height)


def page_rows(scene: Scene, height: int) -> int:
    """Rows of the page with its tabs, while nothing is told over it."""
    return _rows(scene, height)[1]


def _rows(scene: Scene, height: int) -> tuple[int, int]:
    """Rows for banners, and for the page with what is told over it."""
    room = max(0, height - TOP - FOOT)
    banner_rows = min(scene.banner_rows, max(0, room - 1))
    return banner_rows, room - banner_rows


def _guarded(faults: list[Exception], paint: Callable[[], Lines], width: int, height: int) -> Lines:
    """What a painter painted, in exactly its place; a fault of it is noted."""
    try:
        return block(paint(), width, height)
    except Exception as fault:
        faults.append(fault)
        return block((), width, height)


def tabs(name: str, pages: list[tuple[str, bool]], told: str, width: int, pen: Pen) -> Line:
    """The screen's name, its pages with the one turned to in brackets, and what is worth saying of them all."""
    runs: list[Run] = [(f" {name} ", "strong")]
    for text, on in pages:
        runs.append((f"[{text}]" if on else f" {text} ", "chosen" if on else "rule"))
    if told:
        runs.append((f"  {told}", "text"))
    return fit(runs, width, "text", pen.glyphs.cut)


def _foot(scene: Scene, width: int, pen: Pen, under: Under, faults: list[Exception]) -> Lines:
    return _message(scene, width, pen, under, faults), _footer(scene, width, pen, under)


def _message(scene: Scene, width: int, pen: Pen, under: Under, faults: list[Exception]) -> Line:
    if faults:
        return row(f" {pen.say('screen.fault', what=repr(faults[0]))}", width, "bad", pen.glyphs.cut)
    if asked := under.asked():
        return row(f" {asked}", width, "ask", pen.glyphs.cut)
    return paint_message(scene, width, pen)


def _footer(scene: Scene, width: int, pen: Pen, under: Under) -> Line:
    """The clock; what space and enter do to the lines on top, then the keys of this page, as many whole ones as fit."""
    clock: Run = (f" {pen.clock(scene.now)} ", "clock")
    shared = [LIVE[name] for name in ("advance", "call") if available(LIVE[name], scene)]
    told = [(action, label_of(action, scene, pen)) for action in shared]
    return fit((clock, *_hints([*told, *under.keys()], width - line_width((clock,)), pen)), width, "footer")


def hint_line(told: list[tuple[Action, str]], width: int, pen: Pen) -> Line:
    """Keys with what they would do, as many whole ones as fit."""
    return fit(_hints(told, width, pen), width, "footer")


def _hints(told: list[tuple[Action, str]], room: int, pen: Pen) -> list[Run]:
    runs: list[Run] = []
    for action, label in told:
        hint = ((f" {pen.key(action.id)} ", "key"), (f"{label} ", "footer"))
        if line_width(hint) <= room:
            runs += hint
            room -= line_width(hint)
    return runs
