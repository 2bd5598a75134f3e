"""A job before its first bag: take-off, batches in time, buy list, targets, bottleneck, as plain JSON values."""

from __future__ import annotations

from typing import Any

from engine.job.buying import BuyList, buy_list
from engine.job.model import Pour, Target
from engine.job.takeoff import JobTakeoff, PourTakeoff, job_takeoff
from engine.pour.dayplan import DayPlan, Task
from engine.pour.pace import bottleneck
from engine.pour.planning import pour_of
from engine.pour.prospects import Prospect, prospects
from engine.pour.reckoning import Moment
from engine.pour.status import iso
from engine.words import Say, Words


def planned(moment: Moment, plan: DayPlan, words: Words) -> dict[str, Any]:
    """The plan of a day; `moment` is its start with nothing done."""
    taken = job_takeoff(moment.job)
    opens = {pour.id: _opens(moment, plan, pour) for pour in moment.job.pours if pour.visit == 1}
    buy = buy_list(moment.job, taken, plan.doses)
    slow = bottleneck(moment)
    return {
        "job": moment.job.name,
        "date": moment.job.date,
        "time_zone": moment.job.zone,
        "units": moment.job.units,
        "currency": moment.job.currency,
        "pours": [_pour(plan, take, *opens[take.id]) for take in taken.pours],
        "batches": _batches(moment, plan),
        "buy": _buy(buy),
        "finish": iso(plan.end),
        "bottleneck": slow.name,
        "bags_per_hour": slow.bags_per_hour,
        "targets": [_target(target, opens) for target in moment.job.targets],
        "feasible": not plan.misses,
        "reasons": [words(miss) for miss in plan.misses],
        "cautions": [words(caution) for caution in cautions(taken)],
        "notes": [words(note) for note in taken.notes],
    }


def cautions(taken: JobTakeoff) -> tuple[Say, ...]:
    """The sentences of all flags, each once."""
    return tuple(dict.fromkeys(caution for pour in taken.pours for caution in pour.cautions))


def _opens(moment: Moment, plan: DayPlan, pour: Pour) -> tuple[float | None, float | None, float | None]:
    """Planned first water contact, feet and wheels of a pour."""
    mixes = [task for task in plan.tasks if task.kind == "mix" and task.pour == pour.id]
    places = [task for task in plan.tasks if task.kind == "place" and task.pour == pour.id]
    if not mixes or not places:
        return None, None, None
    last_water, last_tip = max(task.start for task in mixes), max(task.start for task in places)
    dose = plan.doses.get(pour.id, 0.0)
    ahead = prospects(moment, pour, True, last_water)
    prospect = next((one for one in ahead if one.packets == dose), ahead[0])
    return min(task.start for task in mixes), *_opened(prospect, last_tip + moment.job.times.tip_s)


def _opened(prospect: Prospect, tip: float) -> tuple[float, float]:
    return tip + prospect.feet_s, tip + prospect.wheels_s


def _pour(
    plan: DayPlan, take: PourTakeoff, start: float | None, feet: float | None, wheels: float | None
) -> dict[str, Any]:
    return {
        "id": take.id,
        "area_m2": take.area_m2,
        "mean_depth_m": take.mean_depth_m,
        "volume_net_m3": take.volume_net_m3,
        "volume_with_waste_m3": take.volume_with_waste_m3,
        "mix": take.mix,
        "bags_exact": take.bags_exact,
        "bags": take.bags,
        "packets": plan.doses.get(take.id, 0.0) * take.bags,
        "spare_fraction": take.spare_fraction,
        "flags": list(take.flags),
        "lifts": take.lifts,
        "start": iso(start),
        "feet": iso(feet),
        "wheels": iso(wheels),
    }


def _batches(moment: Moment, plan: DayPlan) -> list[dict[str, Any]]:
    mixes = sorted(
        (task for task in plan.tasks if task.kind == "mix"), key=lambda task: (task.start, task.batches)
    )
    return [_batch(moment, plan, mix) for mix in mixes]


def _batch(moment: Moment, plan: DayPlan, mix: Task) -> dict[str, Any]:
    batch_id = mix.batches[0]
    own = [task for task in plan.tasks if batch_id in task.batches and task.kind != "mix"]
    place = next((task for task in own if task.kind == "place"), None)
    return {
        "id": batch_id,
        "pour": pour_of(batch_id),
        "bags": plan.bags.get(batch_id, 0.0),
        "water_contact": iso(mix.start),
        "tipped": iso(place.start + moment.job.times.tip_s) if place else None,
        "who": mix.person,
        "station": mix.station,
        "passes": {
            task.kind: {"who": task.person, "start": iso(task.start), "end": iso(task.end)}
            for task in own
            if task.kind != "place"
        },
    }


def _buy(buy: BuyList) -> dict[str, Any]:
    return {
        "bags": {line.mix: line.need for line in buy.lines},
        "bags_missing": {line.mix: line.to_buy for line in buy.lines},
        "packets": buy.packets,
        "packets_missing": buy.packets_to_buy,
        "water_l": buy.water.total_l,
        "ice_kg": buy.ice_kg,
        "cost": buy.cost,
    }


def _target(
    target: Target, opens: dict[str, tuple[float | None, float | None, float | None]]
) -> dict[str, Any]:
    """Whether a promise is met by the plan; a pour of another visit or never placed does not meet it."""
    times = [
        opens.get(pour_id, (None, None, None))[1 if target.open_to == "feet" else 2]
        for pour_id in target.pours
    ]
    known = [at for at in times if at is not None]
    expected = max(known) if len(known) == len(times) else None
    return {
        "pours": list(target.pours),
        "open_to": target.open_to,
        "by": iso(target.by),
        "expected": iso(expected),
        "met": expected is not None and expected <= target.by,
        "margin_s": None if expected is None else target.by - expected,
    }
