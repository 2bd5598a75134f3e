"""Every promise, pour by pour: its last water, the chance of it as the queue stands, and what would still keep it."""

from __future__ import annotations

from typing import TYPE_CHECKING

from tui.paint.cells import wrap
from tui.paint.pen import Pen
from tui.scene import Scene

if TYPE_CHECKING:
    from engine.pour.views import LastCallView

ROWS = 2  # of one promise where the screen is narrow


def water_lines(scene: Scene, width: int, pen: Pen) -> list[str]:
    """The most pressing first, as the view has them."""
    return [
        line
        for call in scene.view.last_calls
        for line in wrap(_said(call, scene.now, pen), width, ROWS, pen.glyphs.cut)
    ]


def _said(call: LastCallView, now: float, pen: Pen) -> str:
    head = pen.say("waters.of", pour=call.pour, what=pen.word("promise", call.what), by=_clock(call.by, pen))
    latest = _clock(call.latest, pen)
    if call.latest <= now:
        return f"{head} {pen.say('waters.gone', time=latest)}"
    chance = f"{call.chance:.0%}"
    if call.decide_by is not None and call.decide_by > now:
        by = _clock(call.decide_by, pen)
        return f"{head} {pen.say('waters.move', before=call.take_before, by=by, time=latest, chance=chance)}"
    planned = _clock(call.planned, pen)
    return f"{head} {pen.say('waters.stands', time=latest, planned=planned, chance=chance)}"


def _clock(at: float | None, pen: Pen) -> str:
    return pen.glyphs.rule if at is None else pen.clock(at, seconds=False)
