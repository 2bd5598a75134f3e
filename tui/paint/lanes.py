"""What the two big lanes say: the order to the mixers, and the pass that presses most, or the water for the next bag.

The call stands on top. The second lane is the pass where it matters before the call does; the lane that matters
first has the taller figures, the sum of both never changes, so nothing below them moves.
"""

from __future__ import annotations

import math

from engine.pour.views import CallView, Row
from tui.paint.cells import clean, clip, width_of
from tui.paint.lane import Lane, draw_lane
from tui.paint.pen import Pen, decimal
from tui.paint.runs import Lines, parts
from tui.scene import Scene

SIDE = 12  # cells the details beside the call need at the least: water and packets are never left out for figures
GAP = 2
BREAK_S = 180.0  # shorter than that nobody puts the tools down; common practice, no source
PRESSING = ("mix now", "edge at risk", "joint")
TOOLS = {"mixed": "mixing", "tipped": "tip"}


def paint_lanes(scene: Scene, width: int, heights: tuple[int, int], pen: Pen) -> Lines:
    """Both lanes; `heights` are the rows of the lane that matters first and of the other, headings included."""
    first, other = heights
    if not other:
        lane = pass_lane if pass_first(scene) else call_lane
        return draw_lane(lane(scene, width, pen), width, first, pen)
    call_rows, rest_rows = (other, first) if pass_first(scene) else (first, other)
    below = pass_lane if pass_matters(scene) else water_lane
    call = draw_lane(call_lane(scene, width, pen), width, call_rows, pen)
    return call + draw_lane(below(scene, width, pen), width, rest_rows, pen)


def call_moment(call: CallView, now: float) -> float:
    """When the call asks for hands; infinity where it asks for none."""
    if call.state in PRESSING:
        return now
    return call.at if call.state == "hold" and call.at is not None else math.inf


def row_moment(row: Row, now: float) -> float:
    """When a running row asks for hands: the moment its pass is due, never before now."""
    moment = row.window.due if row.window else row.until
    return max(now, moment) if moment is not None else math.inf


def pass_matters(scene: Scene) -> bool:
    """Whether the most urgent row asks for hands no later than the call does."""
    rows = scene.view.rows
    return bool(rows) and row_moment(rows[0], scene.now) <= call_moment(scene.view.call, scene.now)


def pass_first(scene: Scene) -> bool:
    """Whether that row is the bigger of the two: the call is not pressing, or the pass is late already."""
    late = bool(scene.view.rows) and state_of(scene.view.rows[0]) in ("late", "lost")
    return pass_matters(scene) and (late or scene.view.call.state not in PRESSING)


def state_of(row: Row) -> str:
    """The state of its window; a batch in its vessel has none."""
    return row.window.state if row.window else ""


def name_of(row: Row) -> str:
    """The batch, or the pour finished whole; of a bag only called, its pour."""
    return row.key if row.batches else row.pour


def _heading(texts: list[str], width: int, pen: Pen) -> str:
    """The first text in any case, cut where it must be; of the others those that fit whole."""
    first = clip(texts[0], width - 5, pen.glyphs.cut)
    return parts([first, *texts[1:]], width - 5, f" {pen.glyphs.dot} ")


def call_lane(scene: Scene, width: int, pen: Pen) -> Lane:
    """The order to the mixers, under its one reason."""
    call = scene.view.call
    word, short = pen.say(f"call.{call.state}"), pen.say(f"call.short.{call.state}")
    if call.state == "hold" and call.at is not None:
        word = short = f"{word} {pen.countdown(call.at, scene.now)}"
    texts = (f"{word} {clean(call.pour).upper()}".strip(), word, short)
    heading = _heading([pen.say(call.reason), _until_when(scene, pen)], width, pen)
    details = _call_details(call, pen)
    return Lane(
        call.state, heading, texts, details, max([SIDE, *(width_of(texts[-1]) + GAP for texts in details)])
    )


def _until_when(scene: Scene, pen: Pen) -> str:
    """The last moment for the water, or the time of day at which a hold ends."""
    call = scene.view.call
    if call.state == "hold" and call.at is not None:
        return pen.say("lane.at", clock=pen.clock(call.at))
    if call.latest is None or call.state not in PRESSING:
        return ""
    if call.latest < scene.now:
        return pen.say("lane.latest_over", time=pen.countdown(call.latest, scene.now).lstrip("+"))
    return pen.say("lane.latest", time=pen.countdown(call.latest, scene.now))


def _call_details(call: CallView, pen: Pen) -> tuple[tuple[str, ...], ...]:
    if not call.pour:
        return ()
    pour, who, water = clean(call.pour), clean(call.who), pen.water(call.water_l)
    at_station = pen.say("lane.mixer", who=who, station=call.station)
    return (
        (f"{pour} {clean(call.where)}", pour),
        (at_station, who) if call.station else (who,),
        (f"{pen.bags(call.bags)} {water}", water),
        (pen.packets(call.packets),),
    )


def pass_lane(scene: Scene, width: int, pen: Pen) -> Lane:
    """The most urgent running row as large as the call."""
    row = scene.view.rows[0]
    tool = pen.say(f"figure.{TOOLS.get(row.step.kind, row.step.kind)}")
    pour = clean(row.pour).upper()
    time = pen.countdown(row.until, scene.now) if row.until is not None else ""
    texts = (f"{tool} {pour} {time}".strip(), f"{tool} {pour}", tool)
    details = tuple(
        (text,) for text in (_state(row, pen), time, clean(row.step.who), clean(row.where)) if text
    )
    return Lane(state_of(row) or "early", _heading(_pass_words(scene, row, pen), width, pen), texts, details)


def _state(row: Row, pen: Pen) -> str:
    return pen.word("state", state_of(row)).upper() if state_of(row) else ""


def _pass_words(scene: Scene, row: Row, pen: Pen) -> list[str]:
    state = _state(row, pen)
    step = f"{pen.word('step', row.step.kind)} {clean(name_of(row))}"
    return [
        f"{state} {pen.glyphs.dot} {step}" if state else step,
        clean(row.step.who),
        time_words(row, scene.now, pen),
        clean(row.where),
        pen.say("lane.finish", finish=pen.word("finish", row.finish)),
    ]


def time_words(row: Row, now: float, pen: Pen) -> str:
    """The countdown with how sure it is and what it runs to: `0:40 ±0:10 to late`."""
    if row.until is None:
        return ""
    words = (pen.countdown(row.until, now), pen.sure(row.sure_s), until_word(row, now, pen))
    return " ".join(word for word in words if word)


def until_word(row: Row, now: float, pen: Pen) -> str:
    """What its countdown runs to, or has run past."""
    if row.until is None:
        return ""
    return pen.word("until" if row.until > now else "past", row.until_word)


def water_lane(scene: Scene, width: int, pen: Pen) -> Lane:
    """Water and packets of the next bag in figures, and the pass that comes after."""
    call = scene.view.call
    then = _break(scene, pen) or _then(scene, pen)
    if not call.pour:
        return Lane("early", _heading([then], width, pen))
    quarts = pen.say(f"figure.water_value.{pen.units}", value=decimal(pen.water_value(call.water_l), 2))
    texts = (f"{quarts} {pen.packets(call.packets).upper()}", quarts) if call.packets else (quarts,)
    water = pen.say("lane.water", bags=pen.bags(call.bags), pour=call.pour)
    details = ((pen.packets(call.packets),), (pen.bags(call.bags),))
    return Lane("early", _heading([water, then], width, pen), texts, details, SIDE)


def _break(scene: Scene, pen: Pen) -> str:
    """Where nobody has to do anything for a good while."""
    until = scene.view.quiet_until
    if until is None or until - scene.now < BREAK_S:
        return ""
    return pen.say("lane.quiet", time=pen.countdown(until, scene.now))


def _then(scene: Scene, pen: Pen) -> str:
    """What comes after the call: the most urgent row."""
    if not scene.view.rows:
        return ""
    row = scene.view.rows[0]
    step = pen.word("step", row.step.kind)
    return pen.say("lane.then", step=step, key=name_of(row), time=time_words(row, scene.now, pen))
