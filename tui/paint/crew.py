"""Who is on what, what comes next, who is away; on wide screens the planned stretch ahead as a strip."""

from __future__ import annotations

from engine.pour.views import CrewRow, CrewTask
from tui.paint.cells import clean, clip, pad, width_of
from tui.paint.pen import Pen
from tui.paint.runs import Line, Lines, Run, beside, block, fit, row
from tui.paint.strip import paint_strip, windows_ahead
from tui.scene import Scene

STEPS_S = (5, 10, 15, 20, 30, 60, 120)
STRIP_S = 10 * 60.0  # what a strip should show at least
STRIP_FROM = 76  # cells of a row that has room for one beside the words
NAME, NOW, THEN = 8, 23, 27  # cells of a row's words


def paint_crew(scene: Scene, width: int, height: int, pen: Pen) -> Lines:
    """One person a line, or two where the lines are too few."""
    crew = scene.view.crew
    if len(crew) <= height or width < 60:
        return block([_person(scene, place, width, pen) for place in range(len(crew))], width, height)
    half = width // 2
    rows = -(-len(crew) // 2)
    left = [_person_short(scene, place, half - 1, pen) for place in range(min(rows, len(crew)))]
    right = [_person_short(scene, place, width - half, pen) for place in range(rows, len(crew))]
    return beside(block(left, half, height), block(right, width - half, height))


def _person(scene: Scene, place: int, width: int, pen: Pen) -> Line:
    """`2 F    first trowel P1 0:25    then float P2.1 1:40   ...`; the digit is the key that puts them on."""
    one = scene.view.crew[place]
    now = pad(_now(one, scene.now, pen), NOW, pen.glyphs.cut)
    words: list[Run] = [(_name(one, place, 4, pen), "text"), (now, _style(one)), (" ", "text")]
    if width < STRIP_FROM:
        return fit((*words, (_later(one, scene.now, pen, width), "text")), width, "text", pen.glyphs.cut)
    words.append((pad(_later(one, scene.now, pen, THEN), THEN, pen.glyphs.cut) + " ", "text"))
    cells = width - NAME - NOW - THEN - 2
    strip = paint_strip(one, windows_ahead(scene), scene.now, (cells, strip_step(cells)), pen, named=False)
    return fit((*fit(words, width - cells), *strip), width, "text", pen.glyphs.cut)


def _person_short(scene: Scene, place: int, width: int, pen: Pen) -> Line:
    """`2 F first trowel P1 0:25, then float P2.1`."""
    one = scene.view.crew[place]
    then = f", {pen.say('crew.then_short', task=_task(one.next, pen))}" if one.next and not one.away else ""
    body = ((_now(one, scene.now, pen), _style(one)), (then, "text"))
    return fit(
        ((_name(one, place, width_of(clean(one.id)), pen), "text"), *body), width, "text", pen.glyphs.cut
    )


def _name(one: CrewRow, place: int, width: int, pen: Pen) -> str:
    return f" {place + 1} {pad(clean(one.id), min(width, 6), pen.glyphs.cut)} "


def _style(one: CrewRow) -> str:
    return "strong" if one.now and not one.away else "text"


def _now(one: CrewRow, now: float, pen: Pen) -> str:
    if one.away:
        return pen.say("crew.away")
    if one.now is None:
        return pen.say("crew.free")
    return f"{_task(one.now, pen)} {pen.countdown(one.now.end, now)}"


def _later(one: CrewRow, now: float, pen: Pen, width: int) -> str:
    """What comes next and when; where that is too long, without the word before it."""
    if one.away or one.next is None:
        return ""
    task, time = _task(one.next, pen), pen.countdown(one.next.start, now)
    whole = pen.say("crew.then", task=task, time=time)
    return whole if width_of(whole) <= width else f"{task} {time}"


def _task(task: CrewTask, pen: Pen) -> str:
    return f"{pen.word('task', task.kind)} {clean(task.batch or task.pour)}"


def paint_timeline(scene: Scene, width: int, height: int, pen: Pen) -> Lines:
    """A ruler in minutes from now, and a strip for each person."""
    name_width = 44 if width >= 110 else 8
    strip = width - name_width
    step_s = strip_step(strip)
    ruler = row(pad(f" {pen.say('column.crew')}", name_width) + _ruler(strip, step_s, pen), width, "rule")
    rows = [_strip_row(scene, place, name_width, strip, step_s, pen) for place in range(len(scene.view.crew))]
    return block([ruler, *rows], width, height)


def strip_step(cells: int) -> int:
    """Seconds in a cell, so that a strip shows ten minutes and more."""
    return next((step for step in STEPS_S if step * cells >= STRIP_S), STEPS_S[-1])


def _ruler(cells: int, step_s: int, pen: Pen) -> str:
    """Minutes ahead, every five where they fit."""
    per_mark = 300 // step_s if step_s <= 60 else 5
    text = ""
    for minute in range(0, cells * step_s // 60 + 1, per_mark * step_s // 60 or 1):
        label = f"+{minute}" if minute else pen.say("column.now")
        text = pad(text, minute * 60 // step_s) + label
    return clip(text, cells, "")


def _strip_row(scene: Scene, place: int, name_width: int, strip: int, step_s: int, pen: Pen) -> Line:
    one = scene.view.crew[place]
    head = (*_person_short(scene, place, name_width - 1, pen), (" ", "text"))
    return head + paint_strip(one, windows_ahead(scene), scene.now, (strip, step_s), pen, named=True)
