"""Promised openings against expected ones, while planning and while working."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from engine.job.model import OpenTo, Pour
from engine.pour.dayplan import DayPlan
from engine.pour.needs import bags_left
from engine.pour.openings import openings
from engine.pour.prospects import prospects
from engine.pour.reckoning import Moment
from engine.pour.times import iso
from engine.site.opening import TargetResult, target_result


@dataclass(frozen=True)
class Expected:
    """A pour's first planned water contact still to come, and its openings; None where it is not placed."""

    start: float | None
    feet: float | None
    wheels: float | None


@dataclass(frozen=True)
class Promise:
    """One promise of the job and how it stands."""

    pours: tuple[str, ...]
    open_to: OpenTo
    by: float
    result: TargetResult


def expected(moment: Moment, plan: DayPlan, pour: Pour) -> Expected:
    """As stamped where the pour is filled, else as the plan places the rest of it."""
    source = pour.shares or pour.id
    mixes = [task.start for task in plan.tasks if task.kind == "mix" and task.pour == source]
    places = [task.start for task in plan.tasks if task.kind == "place" and task.pour == pour.id]
    ahead = [at for at in mixes if at >= moment.at]
    if bags_left(moment, pour) <= 0 and moment.day.batches_of(pour.id):
        opens = openings(moment, pour)
        return Expected(None, opens.feet, opens.wheels)
    if not mixes or not places:
        return Expected(None, None, None)
    doses = prospects(moment, pour, True, max(mixes))
    dose = next((one for one in doses if one.packets == plan.doses.get(pour.id, 0.0)), doses[0])
    tip = max(places) + moment.job.times.tip_s
    return Expected(min(ahead, default=None), tip + dose.feet_s, tip + dose.wheels_s)


def promises(moment: Moment, plan: DayPlan) -> tuple[Promise, ...]:
    """Every target of the job; pours that are left, or never placed, do not keep one."""
    return tuple(
        Promise(
            target.pours,
            target.open_to,
            target.by,
            _result(moment, plan, target.pours, target.open_to, target.by),
        )
        for target in moment.job.targets
    )


def _result(
    moment: Moment, plan: DayPlan, pours: tuple[str, ...], open_to: OpenTo, by: float
) -> TargetResult:
    times = [
        _opens(moment, plan, moment.day.pour(pour), open_to) for pour in pours if moment.day.has_pour(pour)
    ]
    known = [at for at in times if at is not None]
    return target_result(max(known) if len(known) == len(times) else None, by)


def _opens(moment: Moment, plan: DayPlan, pour: Pour, open_to: OpenTo) -> float | None:
    opens = expected(moment, plan, pour)
    return opens.feet if open_to == "feet" else opens.wheels


def promise_table(promise: Promise) -> dict[str, Any]:
    """As plain JSON values."""
    result = promise.result
    return {
        "pours": list(promise.pours),
        "open_to": promise.open_to,
        "by": iso(promise.by),
        "expected": iso(result.expected),
        "met": result.met,
        "margin_s": result.margin_s,
    }
