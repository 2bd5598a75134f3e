"""What the plan at the day's start had for each batch: water, tip, ends of its passes, packets.

Live batches of a pour are counted through: the second that was mixed stands beside the second that was planned. A
portion of a shared batch stands beside the same portion of the plan, the rest of a pour that was split beside the
batches planned for the whole of it.
"""

from __future__ import annotations

import functools
from collections.abc import Iterable
from dataclasses import dataclass, field

from engine.job.model import Job
from engine.pour.dayplan import DayPlan, Task
from engine.pour.events import Event, PourSplit
from engine.pour.planning import day_plan
from engine.pour.reckoning import Moment
from engine.pour.state import Batch, Day, new_day


@dataclass(frozen=True)
class Planned:
    """A batch of the plan; None and left out: the plan does not have it. Times are log time."""

    water: float | None = None
    tip: float | None = None
    packets: float | None = None
    ends: dict[str, float] = field(default_factory=dict)  # of passes, by name
    seconds: dict[str, float] = field(default_factory=dict)  # how long a pass takes


@functools.lru_cache(maxsize=8)
def start_plan(job: Job) -> tuple[Moment, DayPlan]:
    """The day before its first bag, and its plan."""
    moment = Moment(new_day(job), job.start)
    return moment, day_plan(moment)


def planned_batches(job: Job, day: Day, events: Iterable[Event]) -> dict[str, Planned]:
    """What was planned for each batch of a day, by its id."""
    _, plan = start_plan(job)
    origin = _origins(events)
    sources = _numbered(day, origin)
    return {batch.id: _planned(job, plan, batch, origin, sources) for batch in day.batches}


def _origins(events: Iterable[Event]) -> dict[str, str]:
    """The pour of the job behind each pour that came of a split."""
    found: dict[str, str] = {}
    for event in events:
        if isinstance(event.body, PourSplit):
            found[event.body.rest] = found.get(event.body.pour, event.body.pour)
    return found


def _numbered(day: Day, origin: dict[str, str]) -> dict[str, str]:
    """The id in the plan of each batch that was mixed; one lost stands beside the one that came for it."""
    found: dict[str, str] = {}
    count: dict[str, int] = {}
    for batch in sorted((b for b in day.batches if not b.source), key=lambda b: (b.water_at, b.seq)):
        pour = origin.get(batch.pour, batch.pour)
        found[batch.id] = f"{pour}.{count.get(pour, 0) + 1}"
        count[pour] = count.get(pour, 0) + batch.live
    return found


def _planned(
    job: Job, plan: DayPlan, batch: Batch, origin: dict[str, str], numbered: dict[str, str]
) -> Planned:
    number = numbered.get(batch.source or batch.id, "")
    pour = origin.get(batch.pour, batch.pour)
    own = [task for task in plan.tasks if number in task.batches]
    mix = next((task for task in own if task.kind == "mix"), None)
    here = {task.kind: task for task in own if task.pour == pour and task.kind != "mix"}
    place = here.pop("place", None)
    return Planned(
        water=mix.start if mix else None,
        tip=place.start + job.times.tip_s if place else None,
        packets=_dose(plan, mix),
        ends={name: task.end for name, task in here.items()},
        seconds={name: task.end - task.start for name, task in here.items()},
    )


def _dose(plan: DayPlan, mix: Task | None) -> float | None:
    return plan.packets(mix.pour) if mix else None
