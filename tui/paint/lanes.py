"""The two big lanes: what the mixers do, and the pass that presses most, or the water for the next bag.

The call stands on top. The second lane is the pass where it matters before the call does; the lane that matters
first has the taller figures, the sum of both never changes, so nothing below them moves.
"""

from __future__ import annotations

import math

from engine.pour.views import CallView, Row
from tui.paint.cells import clean
from tui.paint.figures import figure
from tui.paint.pen import Pen, decimal
from tui.paint.runs import Line, Lines, beside, blank, block, fit, parts, row
from tui.scene import Scene

SIDE = 12  # cells the details beside a figure need
PRESSING = ("mix now", "edge at risk", "joint")
LOUD = ("due", "late", "lost", "mix now", "edge at risk", "joint")
TOOLS = {"mixed": "mixing", "tipped": "tip", "water": "water"}


def paint_lanes(scene: Scene, width: int, heights: tuple[int, int], pen: Pen) -> Lines:
    """Both lanes; `heights` are the rows of the lane that matters first and of the other, headings included."""
    row_first = pass_first(scene)
    call_rows, other_rows = (heights[1], heights[0]) if row_first else heights
    if not other_rows:
        return (
            paint_pass(scene, width, call_rows, pen)
            if row_first
            else paint_call(scene, width, call_rows, pen)
        )
    below = paint_pass if pass_matters(scene) else paint_water
    return paint_call(scene, width, call_rows, pen) + below(scene, width, other_rows, pen)


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


def paint_call(scene: Scene, width: int, height: int, pen: Pen) -> Lines:
    """The order to the mixers, under its one reason."""
    call = scene.view.call
    heading = parts([pen.say(call.reason), _latest(scene, pen)], width - 2, f" {pen.glyphs.dot} ")
    return _lane(
        heading, _call_figures(scene, pen), _call_side(call, pen), call.state, (width, height, SIDE), pen
    )


def _latest(scene: Scene, pen: Pen) -> str:
    call, now = scene.view.call, scene.now
    if call.latest is None or call.state not in PRESSING:
        return ""
    return pen.say("lane.latest", time=pen.countdown(call.latest, now))


def _call_figures(scene: Scene, pen: Pen) -> list[str]:
    call = scene.view.call
    word = pen.say(f"call.{call.state}")
    if call.state == "hold" and call.at is not None:
        word = f"{word} {pen.countdown(call.at, scene.now)}"
    return [f"{word} {clean(call.pour).upper()}".strip(), word, pen.say(f"call.short.{call.state}")]


def _call_side(call: CallView, pen: Pen) -> list[str]:
    if not call.pour:
        return []
    mixer = pen.say("lane.mixer", who=call.who, station=call.station) if call.station else clean(call.who)
    bags = f"{pen.bags(call.bags)} {pen.water(call.water_l)}"
    return [f"{clean(call.pour)} {clean(call.where)}", mixer, bags, pen.packets(call.packets)]


def paint_pass(scene: Scene, width: int, height: int, pen: Pen) -> Lines:
    """The most urgent running row as large as the call."""
    row_ = scene.view.rows[0]
    state = state_of(row_)
    tool = pen.say(f"figure.{TOOLS.get(row_.step.kind, row_.step.kind)}")
    pour = clean(row_.pour).upper()
    time = pen.countdown(row_.until, scene.now) if row_.until is not None else ""
    texts = [f"{tool} {pour} {time}".strip(), f"{tool} {pour}", tool]
    heading = parts(_pass_words(scene, row_, pen), width - 2, f" {pen.glyphs.dot} ")
    side = [pen.word("state", state) if state else "", time, clean(row_.step.who), clean(row_.where)]
    return _lane(heading, texts, [line for line in side if line], state or "early", (width, height, 0), pen)


def _pass_words(scene: Scene, row_: Row, pen: Pen) -> list[str]:
    state = state_of(row_)
    return [
        pen.word("state", state).upper() if state else "",
        f"{pen.word('step', row_.step.kind)} {clean(row_.key)}",
        clean(row_.step.who),
        time_words(row_, scene.now, pen),
        clean(row_.where),
        pen.say("lane.finish", finish=pen.word("finish", row_.finish)),
    ]


def time_words(row_: Row, now: float, pen: Pen) -> str:
    """The countdown with how sure it is and what it runs to: `0:40 ±0:10 to late`."""
    if row_.until is None:
        return ""
    kind = "until" if row_.until > now else "past"
    sure = pen.sure(row_.sure_s)
    return " ".join(
        word for word in (pen.countdown(row_.until, now), sure, pen.word(kind, row_.until_word)) if word
    )


def paint_water(scene: Scene, width: int, height: int, pen: Pen) -> Lines:
    """Water and packets of the next bag in figures, and the pass that comes after."""
    call = scene.view.call
    then = _then(scene, pen)
    if not call.pour:
        quiet = pen.say("lane.quiet", time=_quiet(scene, pen)) if scene.view.quiet_until else ""
        return _lane(parts([then or quiet], width - 2), [], [], "early", (width, height, 0), pen)
    quarts = pen.say(f"figure.water_value.{pen.units}", value=decimal(pen.water_value(call.water_l), 2))
    packets = pen.packets(call.packets).upper()
    heading = parts(
        [pen.say("lane.water", bags=pen.bags(call.bags), pour=call.pour), then],
        width - 2,
        f" {pen.glyphs.dot} ",
    )
    texts = [f"{quarts} {packets}", quarts] if call.packets else [quarts]
    return _lane(
        heading, texts, [pen.packets(call.packets), pen.bags(call.bags)], "early", (width, height, SIDE), pen
    )


def _quiet(scene: Scene, pen: Pen) -> str:
    until = scene.view.quiet_until
    return pen.countdown(until, scene.now) if until is not None else ""


def _then(scene: Scene, pen: Pen) -> str:
    """What comes after the call: the most urgent row."""
    if not scene.view.rows:
        return ""
    row_ = scene.view.rows[0]
    return pen.say(
        "lane.then",
        step=pen.word("step", row_.step.kind),
        key=row_.key,
        time=time_words(row_, scene.now, pen),
    )


def _lane(
    heading: str, texts: list[str], side: list[str], state: str, size: tuple[int, int, int], pen: Pen
) -> Lines:
    """A heading and below it the first text that can be drawn, with details beside it, on the fill of its state."""
    width, height, least_side = size
    head = row(f" {_mark(state)}{heading}", width, "strong", pen.glyphs.cut)
    rows = height - 1
    if rows <= 0:
        return (head,)
    fill = state if state in LOUD else "text"
    drawn = _drawn(texts, width, rows, least_side, pen)
    if not drawn:
        return (head, *_in_words(texts, side, width, rows, fill, pen))
    figure_block = _middle(tuple(((line, fill),) for line in drawn), rows, len(drawn[0]), fill)
    left = 1 if width > len(drawn[0]) + least_side else 0
    room = width - len(drawn[0]) - left
    margin = block((), left, rows, fill)
    details = block([(("  ", fill), (text, fill)) for text in side], room, rows, fill)
    return (head, *beside(beside(margin, figure_block), details))


def _mark(state: str) -> str:
    """The state by shape, before the heading."""
    return {"late": "!! ", "lost": "xx ", "edge at risk": "!! ", "joint": "xx "}.get(state, "")


def _drawn(texts: list[str], width: int, rows: int, least_side: int, pen: Pen) -> tuple[str, ...]:
    for room in (width - least_side, width):
        for text in texts:
            if drawn := figure(text, room, rows, pen.glyphs):
                return drawn
    return ()


def _middle(lines: Lines, rows: int, width: int, fill: str) -> Lines:
    """The figure in the middle of its lane where the lane is taller."""
    above = max(0, (rows - len(lines)) // 2)
    return block([blank(width, fill)] * above + list(lines), width, rows, fill)


def _in_words(texts: list[str], side: list[str], width: int, rows: int, fill: str, pen: Pen) -> Lines:
    """The lane in letters of the usual size, where no figure fits or its signs have none."""
    first = parts([texts[0] if texts else "", *side], width - 2)
    lines: list[Line] = [fit(((f" {first}", fill),), width, fill, pen.glyphs.cut)]
    return block(lines, width, rows, fill)
