"""The rest of the day as a row a person: what each works on, pour after pour, along one ruler of clock times."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass

from engine.pour.plan_view import PlanCrew
from engine.pour.views import CrewTask
from tui.paint.cells import clean, pad, width_of
from tui.paint.pen import Pen
from tui.paint.runs import Line, Lines, Run, block, fit, row
from tui.plan.marker import marked
from tui.scene import Scene

NAME = 9
CELLS_S = (5, 10, 15, 20, 30, 60, 120, 180, 300, 600, 1200, 1800, 3600)
MARKS_S = (60, 120, 300, 600, 900, 1800, 3600, 7200, 14400, 28800)
LABEL = 6  # cells of `|09:45`
LEAST_MARK = 8  # cells from one time on the ruler to the next


@dataclass(frozen=True)
class Stretch:
    """Work on one pour without a longer break: mixing, or everything else."""

    pour: str
    mixing: bool
    start: float
    end: float


def stretches(tasks: tuple[CrewTask, ...], gap_s: float) -> list[Stretch]:
    """Tasks in order, those of one kind and pour with less than a gap between them joined."""
    found: list[Stretch] = []
    for task in tasks:
        last = found[-1] if found else None
        mixing = task.kind == "mix"
        if last and (last.pour, last.mixing) == (task.pour, mixing) and task.start - last.end < gap_s:
            found[-1] = Stretch(last.pour, mixing, last.start, max(last.end, task.end))
        else:
            found.append(Stretch(task.pour, mixing, task.start, task.end))
    return found


def cell_s(span_s: float, cells: int) -> int:
    """Seconds in a cell, so that all of a span is shown."""
    return next(
        (step for step in CELLS_S if step * cells >= span_s),
        max(CELLS_S[-1], math.ceil(span_s / max(1, cells))),
    )


def paint_crew(scene: Scene, width: int, height: int, pen: Pen) -> Lines:
    """A ruler in clock times, then a row a person; the stretches of the marked pour begin with `>`."""
    if scene.plan is None or height <= 0:
        return block((), width, height)
    start, cells = scene.now, max(1, width - NAME)
    step = cell_s(max(60.0, scene.plan.end - start), cells)
    ruler = row(pad(f" {pen.say('column.crew')}", NAME) + _ruler(start, step, cells, pen), width, "rule")
    people = [_person(scene, place, (start, step, cells), pen) for place in range(len(scene.plan.crew))]
    return block([ruler, *people], width, height)


def _ruler(start: float, step: int, cells: int, pen: Pen) -> str:
    """The first times of day that are round, as far apart as they can be read."""
    every = next((mark for mark in MARKS_S if mark >= LEAST_MARK * step), MARKS_S[-1])
    text, at = "", math.ceil(start / every) * every
    while (place := round((at - start) / step)) + LABEL <= cells:
        text = pad(text, place, "") + f"|{pen.clock(at, seconds=False)}"
        at += every
    return text


def _person(scene: Scene, place: int, scale: tuple[float, int, int], pen: Pen) -> Line:
    assert scene.plan is not None
    one, cells = scene.plan.crew[place], scale[2]
    head = (pad(f" {place + 1} {clean(one.id)}", NAME, pen.glyphs.cut), "strong" if not one.away else "text")
    if one.away:
        return fit((head, (pen.say("crew.away"), "text")), NAME + cells, "text", pen.glyphs.cut)
    return fit((head, *_strip(one, _marked_id(scene), scale)), NAME + cells)


def _marked_id(scene: Scene) -> str:
    one = marked(scene)
    return one.id if one else ""


def _strip(one: PlanCrew, chosen: str, scale: tuple[float, int, int]) -> Iterator[Run]:
    start, step, cells = scale
    done = 0
    for place, work in enumerate(stretches(one.tasks, 2.0 * step)):
        first = max(done, round((work.start - start) / step))
        last = min(cells, max(first + 1, round((work.end - start) / step)))
        if first >= cells or last <= first:
            continue
        yield " " * (first - done), "text"
        head = ">" if work.pour == chosen else "|"
        name = clean(work.pour)
        text = head + (name if width_of(name) < last - first else "")
        yield pad(text, last - first, ""), ("bar", "bar2")[place % 2]
        done = last
