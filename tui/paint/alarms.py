"""The alarms that wait for an answer, worst first: mark and word, then what, who and how long."""

from __future__ import annotations

from tui.paint.cells import clean, pad, width_of
from tui.paint.pen import Pen
from tui.paint.runs import Line, Lines, parts, row
from tui.scene import Scene
from tui.sound.alarms import LATE, LONG, LOST, Alarm
from tui.sound.ringing import MOST, Standing

MARKS = {1: "*", 2: "!", 3: "!!", 4: "xx"}
STYLES = {1: "due", 2: "due", 3: "late", 4: "lost"}
PASS_STATES = {1: "due", LATE: "late", LOST: "lost"}
CALL_STATES = {1: "mix now", LATE: "edge at risk", LOST: "joint"}


def alarm_rows(scene: Scene, height: int) -> int:
    """Rows that alarms take of so many."""
    return max(0, min(MOST, len(scene.alarms), height - 1))


def kept_rows(scene: Scene, height: int) -> int:
    """Rows kept for alarms as soon as one stands, so that none moves when another comes."""
    return max(0, min(MOST, height - 1)) if scene.alarms else 0


def paint_alarms(scene: Scene, width: int, rows: int, pen: Pen) -> Lines:
    """So many rows; the first names the key that answers, the last how many more there are."""
    shown = scene.alarms[:rows]
    more = len(scene.alarms) - len(shown)
    lines: list[Line] = []
    for place, one in enumerate(shown):
        last = more > 0 and place == len(shown) - 1
        ends = (pen.say("alarm.more", n=more) if last else "", pen.answer if place == 0 else "")
        lines.append(_row(one, f" {pen.glyphs.dot} ".join(filter(None, ends)), scene.now, width, pen))
    return tuple(lines)


def _row(one: Standing, end: str, now: float, width: int, pen: Pen) -> Line:
    room = max(1, width - width_of(end) - 2)
    gap = f" {pen.glyphs.dot} "
    told = _call(one, now, pen) if one.alarm.kind == "call" else _pass(one, now, pen)
    head = f" {MARKS[one.level]:<2} {told[0]}"
    text = parts([head, *told[1:]], room, gap) or head
    return row(f"{pad(text, room, pen.glyphs.cut)} {end} ", width, STYLES[one.level], pen.glyphs.cut)


def _pass(one: Standing, now: float, pen: Pen) -> list[str]:
    """`LATE first trowel P1`, `0:40 to lost`, `F`."""
    alarm = one.alarm
    state = pen.say("alarm.long") if one.level == LONG else pen.word("state", PASS_STATES[one.level])
    what = f"{state.upper()} {pen.word('step', alarm.step)} {clean(alarm.which)}"
    return [what, _until(alarm, now, pen), clean(alarm.who)]


def _until(alarm: Alarm, now: float, pen: Pen) -> str:
    if alarm.until is None:
        return ""
    return f"{pen.countdown(alarm.until, now)} {pen.word('until' if alarm.until > now else 'past', alarm.until_word)}"


def _call(one: Standing, now: float, pen: Pen) -> list[str]:
    """`NOT FOLLOWED for 0:45: mix P2`, `EDGE AT RISK P2`, `water within 0:30`."""
    alarm, pour = one.alarm, clean(one.alarm.which)
    if one.level == LONG:
        age = pen.countdown(one.since, now).lstrip("+")
        return [pen.say("alarm.not_followed", pour=pour, time=age), clean(alarm.who)]
    latest = pen.say("lane.latest", time=pen.countdown(alarm.until, now)) if alarm.until is not None else ""
    return [f"{pen.word('call', CALL_STATES[one.level])} {pour}", latest, clean(alarm.who)]
