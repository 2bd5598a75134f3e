"""The crew on the call board: a line a person, or each in figures where there is room; one alone once picked."""

from __future__ import annotations

from engine.pour.views import CrewRow, CrewTask
from tui.paint.boarded import figure_names
from tui.paint.cells import clean, pad, width_of
from tui.paint.fat import fat_figure
from tui.paint.layout import NARROW
from tui.paint.pen import Pen
from tui.paint.runs import Line, Lines, beside, block, fit, row
from tui.scene import Scene

LEAST_FIGURE = 3
COLUMN = 58  # cells that a pass and its pour take in the lowest figures
GAP = 2
LONGEST_NAME = 8
NOW_CELLS = 29
Ladder = tuple[tuple[str, ...], ...]  # texts to try, the next ones only where none of those before fits


def paint_people(scene: Scene, width: int, height: int, pen: Pen) -> Lines:
    """Exactly `height` rows."""
    crew, place = scene.view.crew, scene.desk.person
    if 0 < place <= len(crew):
        return paint_one(scene, place - 1, width, height, pen)
    columns = _columns(len(crew), width, height)
    if not columns:
        return _in_words(scene, width, height, pen)
    return _in_columns(scene, columns, width, height, pen)


def _columns(people: int, width: int, height: int) -> int:
    """How many beside each other leave the tallest figures; 0 where there is no room for any."""
    found = {
        columns: height // -(-people // columns)
        for columns in (1, 2)
        if people and width // columns >= COLUMN
    }
    best = max(found, key=lambda columns: found[columns], default=0)
    return best if best and found[best] > LEAST_FIGURE else 0


def _in_columns(scene: Scene, columns: int, width: int, height: int, pen: Pen) -> Lines:
    people = len(scene.view.crew)
    down = -(-people // columns)
    each, wide = height // down, width // columns
    painted = block((), 0, height)
    for column in range(columns):
        places = range(column * down, min(people, (column + 1) * down))
        lines = [line for place in places for line in _person(scene, place, wide - GAP, each, pen)]
        painted = beside(
            painted, block(lines, width - wide * (columns - 1) if column == columns - 1 else wide, height)
        )
    return painted


def _in_words(scene: Scene, width: int, height: int, pen: Pen) -> Lines:
    """A line a person, now and next; two on a line where the lines are too few, then without what comes next."""
    crew = scene.view.crew
    if len(crew) <= height or not height:
        wide = min(LONGEST_NAME, max((width_of(clean(one.id)) for one in crew), default=0))
        each = _two_lines if width < NARROW and 2 * len(crew) <= height else _one_line
        lines = [line for place in range(len(crew)) for line in each(scene, place, wide, width, pen)]
        return block(lines, width, height)
    half = width // 2
    heads = [
        row(f" {place + 1} {clean(one.id)}  {_now(one, scene.now, pen)}", half, "text", pen.glyphs.cut)
        for place, one in enumerate(crew)
    ]
    down = -(-len(crew) // 2)
    return beside(block(heads[:down], half, height), block(heads[down:], width - half, height))


def _two_lines(scene: Scene, place: int, name: int, width: int, pen: Pen) -> Lines:
    """Now, and below it what comes next: beside each other they would be cut."""
    one = scene.view.crew[place]
    busy = one.now is not None and not one.away
    head = (f" {place + 1} {pad(clean(one.id), name, pen.glyphs.cut)}  ", "strong")
    now = (_now(one, scene.now, pen), "strong" if busy else "text")
    then = _then(one.next, scene.now, pen) if one.next and not one.away else ""
    below = f"{' ' * width_of(head[0])}{then}"
    return fit((head, now), width, "text", pen.glyphs.cut), row(below, width, "text", pen.glyphs.cut)


def _one_line(scene: Scene, place: int, name: int, width: int, pen: Pen) -> Lines:
    one = scene.view.crew[place]
    busy = one.now is not None and not one.away
    then = _then(one.next, scene.now, pen) if one.next and not one.away else ""
    runs = (
        (f" {place + 1} {pad(clean(one.id), name, pen.glyphs.cut)}  ", "strong"),
        (pad(_now(one, scene.now, pen), NOW_CELLS, pen.glyphs.cut), "strong" if busy else "text"),
        (f" {then}", "text"),
    )
    return (fit(runs, width, "text", pen.glyphs.cut),)


def _person(scene: Scene, place: int, width: int, height: int, pen: Pen) -> Lines:
    """A line of words, and below it what they do now in figures."""
    one = scene.view.crew[place]
    head = row(_words(one, place, " ", scene.now, pen), width, "text", pen.glyphs.cut)
    return block([head, *_figures(_now_texts(one, scene.now, pen), width, height - 1, pen)], width, height)


def paint_one(scene: Scene, place: int, width: int, height: int, pen: Pen) -> Lines:
    """One person's row in full: now in figures, and next in figures too where there is room."""
    one = scene.view.crew[place]
    head = row(_words(one, place, ">", scene.now, pen), width, "chosen", pen.glyphs.cut)
    next_ = one.next if not one.away else None
    rows = height - 1 if next_ is None or height < 2 * LEAST_FIGURE + 2 else (height - 2) // 2
    now = block(_figures(_now_texts(one, scene.now, pen), width, rows, pen), width, rows)
    if next_ is None or rows == height - 1:
        return block([head, *now], width, height)
    then = row(f"   {_then(next_, scene.now, pen)}", width, "rule", pen.glyphs.cut)
    figures = _figures(_task_texts(next_, next_.start, scene.now, pen), width, height - 2 - rows, pen)
    return block([head, *now, then, *figures], width, height)


def _figures(ladder: Ladder, width: int, height: int, pen: Pen) -> list[Line]:
    tried = (fat_figure(texts, width - 1, height, pen.glyphs) for texts in ladder)
    drawn = next(filter(None, tried), ())
    return [row(f" {line}", width, "strong", pen.glyphs.cut) for line in drawn]


def _words(one: CrewRow, place: int, mark: str, now: float, pen: Pen) -> str:
    """` 2 F  first trowel P1 0:25  then float P2.1 in 1:40`."""
    told = [f"{mark}{place + 1} {clean(one.id)}", _now(one, now, pen)]
    if one.next and not one.away:
        told.append(_then(one.next, now, pen))
    return "  ".join(told)


def _now(one: CrewRow, now: float, pen: Pen) -> str:
    if one.away or one.now is None:
        return pen.say("crew.away" if one.away else "crew.free")
    return f"{_task(one.now, pen)} {pen.countdown(one.now.end, now)}"


def _then(task: CrewTask, now: float, pen: Pen) -> str:
    return pen.say("crew.then", task=_task(task, pen), time=pen.countdown(task.start, now))


def _task(task: CrewTask, pen: Pen) -> str:
    return f"{pen.word('task', task.kind)} {clean(task.batch or task.pour)}"


def _now_texts(one: CrewRow, now: float, pen: Pen) -> Ladder:
    if one.away or one.now is None:
        return ((pen.say("figure.away" if one.away else "figure.free"),),)
    return _task_texts(one.now, one.now.end, now, pen)


def _task_texts(task: CrewTask, moment: float, now: float, pen: Pen) -> Ladder:
    """`TROWEL P1 0:25` or `TROWEL P1`, and only where neither fits `TROWEL`."""
    name, pour = figure_names(task.kind, pen)[-1], clean(task.pour).upper()
    return (f"{name} {pour} {pen.countdown(moment, now)}", f"{name} {pour}"), (name,)
