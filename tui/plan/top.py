"""The lines that stay on top of the plan: the call, and the pass that presses most, each on one line with its countdown."""

from __future__ import annotations

from engine.pour.views import CallView, Row
from tui.paint.cells import clean, clip
from tui.paint.lane import LOUD, MARKS
from tui.paint.lanes import PRESSING, name_of, state_of, time_words
from tui.paint.pen import Pen
from tui.paint.runs import Line, Lines, parts, row
from tui.scene import Scene

ROWS = 2


def paint_top(scene: Scene, width: int, pen: Pen) -> Lines:
    """Exactly two rows, whatever runs."""
    return _call(scene, width, pen), _pass(scene, width, pen)


def _line(state: str, texts: list[str], width: int, pen: Pen) -> Line:
    """State by word, by mark and by fill; the first text in any case, of the others those that fit whole."""
    style = state if state in LOUD else "strong"
    first, *more = (text for text in texts if text)
    head = clip(f"{MARKS.get(state, '')}{first}", max(1, width - 2), pen.glyphs.cut)
    text = parts([head, *more], width - 2, f" {pen.glyphs.dot} ")
    return row(f" {text}", width, style, pen.glyphs.cut)


def _call(scene: Scene, width: int, pen: Pen) -> Line:
    call = scene.view.call
    word = pen.say(f"call.{call.state}")
    time = _call_time(call, scene.now, pen)
    head = " ".join(text for text in (word, clean(call.pour), time) if text)
    load = f"{pen.bags(call.bags)} {pen.water(call.water_l)} {pen.packets(call.packets)}" if call.pour else ""
    return _line(
        call.state, [head, pen.say(call.reason), load, clean(call.who), clean(call.where)], width, pen
    )


def _call_time(call: CallView, now: float, pen: Pen) -> str:
    """To the end of a hold; of a call that presses, to its last moment while that is ahead."""
    if call.state == "hold" and call.at is not None:
        return pen.countdown(call.at, now)
    if call.state in PRESSING and call.latest is not None and call.latest > now:
        return pen.say("plan.within", time=pen.countdown(call.latest, now))
    return ""


def _pass(scene: Scene, width: int, pen: Pen) -> Line:
    if not scene.view.rows:
        return row(f" {pen.say('screen.nothing_runs')}", width, "text", pen.glyphs.cut)
    one: Row = scene.view.rows[0]
    state = state_of(one)
    word = f"{pen.word('state', state).upper()} " if state else ""
    head = f"{word}{pen.word('step', one.step.kind)} {clean(name_of(one))} {time_words(one, scene.now, pen)}"
    return _line(state, [head, clean(one.step.who), clean(one.where)], width, pen)
