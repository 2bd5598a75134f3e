"""Days made exactly as planned, and with one thing changed; a small job of our own, weather and surface still."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import replace
from functools import cache

from engine.clock import Stamp
from engine.job.model import Job, Target
from engine.pour import events as e
from engine.pour.body import Body
from engine.pour.planning import day_plan
from engine.pour.reckoning import Moment
from engine.pour.state import new_day
from engine.record.causes import Missed, causes_of
from tests.pour.driving import library

Line = tuple[float, Body, str]
HOURS_S = 36 * 3600.0  # long enough to have every opening behind it


@cache
def small(*pours: str) -> Job:
    """Some pours of the library with no promise, one finisher."""
    job = library()
    chosen = tuple(replace(job.pour(pour), packets=0.0) for pour in pours)
    people = tuple(person for person in job.people if person.id != "Lead")
    return replace(job, pours=chosen, targets=(), people=people, start=job.start + 3 * 3600.0)


def promised(job: Job, pour: str, by: float) -> Job:
    return replace(job, targets=(Target((pour,), "feet", by),))


def as_planned(job: Job, packets: float = 0.0) -> list[Line]:
    """Every stamp where the plan has it."""
    plan = day_plan(Moment(new_day(job), job.start))
    times, lines = job.times, list[Line]()
    for task in plan.tasks:
        batch, pour = task.batches[0], task.pour
        if task.kind == "mix":
            mixed = task.start + job.mix(job.mixes[0].key).mixing_s
            lines.append((task.start, e.WaterAdded(batch, pour, plan.bags[batch], packets), task.person))
            lines.append((mixed, e.Mixed(batch), task.person))
        elif task.kind == "place":
            lines.append((task.start + times.tip_s, e.Tipped(batch), task.person))
        else:
            lines.append((task.end, e.StrokeDone(task.kind, task.batches), task.person))  # type: ignore[arg-type]
    return lines


def log(job: Job, lines: Iterable[Line]) -> tuple[e.Event, ...]:
    """The lines in the order of their times, behind the first line of a log."""
    bodies: list[Line] = [(job.start, e.DayOpened(job), ""), *sorted(lines, key=lambda line: line[0])]
    return tuple(
        e.Event(number, at, body, Stamp(at, at, "made"), who)
        for number, (at, body, who) in enumerate(bodies, 1)
    )


def later(lines: list[Line], by_s: float, which: Callable[[Body], bool]) -> list[Line]:
    """Those lines so many seconds later."""
    return [(at + by_s if which(body) else at, body, who) for at, body, who in lines]


def of(body: Body, batch: str) -> bool:
    """Whether a line speaks of a batch."""
    return batch in getattr(body, "batches", ()) or getattr(body, "batch", "") == batch


def missed(job: Job, lines: Iterable[Line]) -> tuple[Missed, ...]:
    events = log(job, lines)
    return causes_of(job, events, events[-1].at + HOURS_S)
