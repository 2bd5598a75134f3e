"""What the plan had for each batch: water, tip, ends of its passes, packets.

The plan is the job's own schedule laid out from the day's first water on: a day that begins later is no later within.
Live batches of a pour are counted through: the second that was mixed stands beside the second that was planned. A
portion of a shared batch stands beside the same portion of the plan, the rest of a pour that was split beside the
batches planned for the whole of it. A batch that the plan does not have keeps its distance to the one before it.
"""

from __future__ import annotations

import functools
import math
from collections.abc import Iterable
from dataclasses import dataclass, field, replace

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
def plan_from(job: Job, at: float) -> tuple[Moment, DayPlan]:
    """A day with nothing done, and its plan from a moment on."""
    moment = Moment(new_day(job), at)
    return moment, day_plan(moment)


def first_water(day: Day) -> float:
    """When the day's first batch got its water; the job's start before that."""
    first = min((batch.water_at for batch in day.batches), default=math.inf)
    return day.job.start if math.isinf(first) else first


def planned_batches(job: Job, day: Day, events: Iterable[Event]) -> dict[str, Planned]:
    """What was planned for each batch of a day, by its id."""
    _, plan = plan_from(job, first_water(day))
    origin = _origins(events)
    numbered = _numbered(day, origin)
    found: dict[str, Planned] = {}
    before: dict[str, Batch] = {}
    for batch in sorted(day.batches, key=lambda one: (one.water_at, one.seq)):
        planned = _planned(job, plan, batch, origin, numbered)
        if planned.water is None and batch.pour in before:
            planned = _as_far_behind(planned, batch, before[batch.pour], found)
        found[batch.id] = planned
        before[batch.pour] = batch
    return found


def _as_far_behind(planned: Planned, batch: Batch, before: Batch, found: dict[str, Planned]) -> Planned:
    """Planned as far behind the batch before it as it came."""
    water = found[before.id].water
    return planned if water is None else replace(planned, water=water + batch.water_at - before.water_at)


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
