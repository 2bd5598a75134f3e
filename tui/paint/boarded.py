"""What the call board says: call, pass or water, each as figures to try and as words beside them.

Nothing here knows how large anything is drawn.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from engine.pour.views import CallView, Row
from tui.paint.cells import clean
from tui.paint.lane import MARKS
from tui.paint.lanes import PRESSING, TOOLS, name_of, pass_first, state_of, time_words
from tui.paint.pen import Pen, decimal
from tui.scene import Scene

FORMS = ("full.", "middle.", "")  # of a pass in figures, the fullest first
BEHIND = ("late", "lost")
WATER_AND_PACKETS = 2  # the first details of a call


@dataclass(frozen=True)
class Called:
    """`first` stands alone on line one, `second` on line two, `whole` where there is but one line; the fullest text first.

    `badge` goes into figures beside line two where there is room, else its word does; `details` are words, those that
    matter most first; the first `must` of them are always in sight.
    """

    state: str
    first: tuple[str, ...]
    second: tuple[str, ...]
    whole: tuple[str, ...]
    badge: tuple[str, str] = ("", "")
    details: tuple[str, ...] = ()
    must: int = 0


def most_urgent(scene: Scene, pen: Pen) -> Called:
    """What takes the big figures: a late pass, what the call presses for, or the pass that comes before the call."""
    return pass_called(scene, pen) if pass_first(scene) else call_called(scene, pen)


def the_other(scene: Scene, pen: Pen) -> Called:
    """What stands in the band below: the call where a pass took the figures, else the pass, else the next water."""
    if pass_first(scene):
        return call_called(scene, pen)
    return pass_called(scene, pen) if scene.view.rows else water_called(scene, pen)


def call_called(scene: Scene, pen: Pen) -> Called:
    """The order to the mixers."""
    call, now = scene.view.call, scene.now
    words = (pen.say(f"call.{call.state}"), pen.say(f"call.short.{call.state}"))
    pour, left = clean(call.pour).upper(), _left(call, now, pen)
    second = _with(pour, left) or _with(_quiet(scene, pen))
    told = (
        f"{words[0]} {pour} {left}",
        f"{words[0]} {pour}",
        f"{words[1]} {pour} {left}",
        f"{words[1]} {pour}",
    )
    whole = tuple(" ".join(text.split()) for text in (*told, *words))
    value = _water_value(call, pen) if call.pour else ""
    must = WATER_AND_PACKETS if call.pour else 0
    return Called(call.state, words, second, whole, (value, ""), _call_details(scene, pen), must)


def _with(pour: str, time: str = "") -> tuple[str, ...]:
    return tuple(dict.fromkeys(text for text in (f"{pour} {time}".strip(), pour) if text))


def _left(call: CallView, now: float, pen: Pen) -> str:
    """Time to the last moment for the water, or to the end of a hold."""
    moment = call.at if call.state == "hold" else call.latest if call.state in PRESSING else None
    return pen.countdown(moment, now) if moment is not None and math.isfinite(moment) else ""


def _quiet(scene: Scene, pen: Pen) -> str:
    until = scene.view.quiet_until
    return pen.countdown(until, scene.now) if until is not None else ""


def _water_value(call: CallView, pen: Pen) -> str:
    return pen.say(f"figure.water_value.{pen.units}", value=decimal(pen.water_value(call.water_l), 2))


def _call_details(scene: Scene, pen: Pen) -> tuple[str, ...]:
    call = scene.view.call
    if not call.pour:
        quiet = _quiet(scene, pen)
        return (pen.say(call.reason), pen.say("lane.quiet", time=quiet) if quiet else "")
    who, station = clean(call.who), clean(call.station)
    mixer = pen.say("lane.mixer", who=who, station=station) if station else who
    return (
        pen.water(call.water_l),
        pen.packets(call.packets),
        pen.bags(call.bags),
        mixer,
        _until_when(call, scene.now, pen),
        pen.say(call.reason),
        clean(call.where),
    )


def _until_when(call: CallView, now: float, pen: Pen) -> str:
    if call.state == "hold" and call.at is not None:
        return pen.say("lane.at", clock=pen.clock(call.at))
    left = _left(call, now, pen)
    return pen.say("lane.latest", time=left) if left else ""


def pass_called(scene: Scene, pen: Pen) -> Called:
    """The most urgent running row."""
    row = scene.view.rows[0]
    names = figure_names(TOOLS.get(row.step.kind, row.step.kind), pen)
    pour = clean(row.pour).upper()
    time = pen.countdown(row.until, scene.now) if row.until is not None else ""
    whole = tuple(
        " ".join(text.split()) for name in names[-1:] for text in (f"{name} {pour} {time}", f"{name} {pour}")
    )
    return Called(
        state_of(row) or "early",
        names,
        _with(pour, time),
        (*whole, *names[-1:]),
        _badge(row, pen),
        _pass_details(scene, row, pen),
    )


def figure_names(kind: str, pen: Pen) -> tuple[str, ...]:
    """A pass in capitals, the fullest wording first."""
    keys = [f"figure.{form}{kind}" for form in FORMS]
    return tuple(dict.fromkeys(pen.say(key) for key in keys if key in pen.words)) or (kind.upper(),)


def _badge(row: Row, pen: Pen) -> tuple[str, str]:
    state = state_of(row)
    word = pen.word("state", state).upper() if state else ""
    return word, f"{MARKS.get(state, '')}{word}"


def _pass_details(scene: Scene, row: Row, pen: Pen) -> tuple[str, ...]:
    more = sum(state_of(one) in BEHIND for one in scene.view.rows[1:])
    return (
        f"{pen.word('step', row.step.kind)} {clean(name_of(row))}",
        clean(row.step.who),
        time_words(row, scene.now, pen),
        pen.say("board.more_late", n=more) if more else "",
        clean(row.where),
    )


def water_called(scene: Scene, pen: Pen) -> Called:
    """Water and packets of the next bag, while nothing runs."""
    call = scene.view.call
    if not call.pour:
        return Called("early", (), (), ())
    value, packets = _water_value(call, pen), pen.packets(call.packets).upper()
    whole = (f"{value} {packets}", value) if call.packets else (value,)
    water = pen.say("lane.water", bags=pen.bags(call.bags), pour=call.pour)
    return Called("early", (), (), whole, details=(pen.packets(call.packets), water))
