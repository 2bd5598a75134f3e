"""A job before its first bag: take-off, batches in time, buy list, targets, bottleneck, as plain JSON values."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

from engine.job.buying import BuyList, buy_list
from engine.job.safety import cautions as day_cautions
from engine.job.takeoff import JobTakeoff, PourTakeoff, job_takeoff
from engine.pour.around.coming_back import visit_table, visits_due
from engine.pour.around.explained import explained, explained_table
from engine.pour.around.last_calls import last_call_table, last_calls
from engine.pour.around.nights import nights_table
from engine.pour.around.preparing import preparing_table
from engine.pour.around.promises import Expected, expected, promise_table, promises
from engine.pour.around.surroundings import surroundings, surroundings_table
from engine.pour.dayplan import DayPlan, Task
from engine.pour.foreseen import foreseen_table, impossible_pours, sums_table
from engine.pour.planning import pour_of
from engine.pour.reckoning import Moment
from engine.pour.times import iso
from engine.words import Say, Words


def planned(moment: Moment, plan: DayPlan, words: Words) -> dict[str, Any]:
    """The plan of a day; `moment` is its start with nothing done."""
    taken = job_takeoff(moment.job)
    opens = {pour.id: expected(moment, plan, pour) for pour in moment.job.pours if pour.visit == 1}
    buy = buy_list(moment.job, taken, plan.doses)
    return {
        "job": moment.job.name,
        "date": moment.job.date,
        "time_zone": moment.job.zone,
        "units": moment.job.units,
        "currency": moment.job.currency,
        "pours": [_pour(plan, take, opens[take.id]) for take in taken.pours],
        "batches": _batches(moment, plan),
        "buy": _buy(buy),
        "finish": iso(plan.end),
        **explained_table(explained(moment, plan), moment.job, words),
        "targets": [promise_table(promise) for promise in promises(moment, plan)],
        "feasible": not plan.misses,
        "impossible": [foreseen_table(one, words) for one in impossible_pours(moment)],
        "sums": [sums_table(moment, pour) for pour in moment.job.pours if pour.visit == 1],
        "reasons": [words(miss) for miss in plan.misses],
        "cautions": [words(one) for one in (*cautions(taken), *day_cautions("planning", moment.job))],
        "conditions": surroundings_table(surroundings(moment), moment, words),
        "conditions_later": _later(moment, opens, words),
        **preparing_table(moment, buy, words),
        **nights_table(
            moment,
            {task.pour: task.start for task in reversed(plan.tasks) if task.kind == "mix"},
            plan.doses,
            words,
        ),
        "last_calls": [last_call_table(call) for call in last_calls(moment, plan)],
        "visits": [visit_table(visit, words) for visit in visits_due(moment)],
        "notes": [words(note) for note in taken.notes],
    }


def _later(moment: Moment, opens: dict[str, Expected], words: Words) -> list[dict[str, Any]]:
    """Conditions of the other pours when they are planned, where something is then out of its band."""
    later = []
    for pour in moment.job.pours:
        start = opens[pour.id].start if pour.id in opens else None
        if start is not None and start > moment.at:
            then = Moment(moment.day, start)
            here = surroundings(then, pour)
            if here.findings or here.drying.band in ("fast", "very fast"):
                later.append({"at": iso(start), **surroundings_table(here, then, words)})
    return later


def cautions(taken: JobTakeoff) -> tuple[Say, ...]:
    """The sentences of all flags, each once, naming every pour it speaks of."""
    pours: dict[Say, list[str]] = {}
    for pour in taken.pours:
        for caution in pour.cautions:
            pours.setdefault(_without_pour(caution), []).append(pour.id)
    return tuple(replace(said, values=(*said.values, ("pour", ", ".join(of)))) for said, of in pours.items())


def _without_pour(caution: Say) -> Say:
    return replace(caution, values=tuple(value for value in caution.values if value[0] != "pour"))


def _pour(plan: DayPlan, take: PourTakeoff, opens: Expected) -> dict[str, Any]:
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
        "start": iso(opens.start),
        "feet": iso(opens.feet),
        "wheels": iso(opens.wheels),
    }


def _batches(moment: Moment, plan: DayPlan) -> list[dict[str, Any]]:
    mixes = sorted(
        (task for task in plan.tasks if task.kind == "mix"), key=lambda task: (task.start, task.batches)
    )
    return [_batch(moment, plan, mix) for mix in mixes]


def _batch(moment: Moment, plan: DayPlan, mix: Task) -> dict[str, Any]:
    batch_id = mix.batches[0]
    own = [task for task in plan.tasks if batch_id in task.batches and task.kind != "mix"]
    others = dict.fromkeys(task.pour for task in own if task.pour != pour_of(batch_id))
    return {
        "id": batch_id,
        "pour": pour_of(batch_id),
        "bags": plan.bags.get(batch_id, 0.0),
        "water_contact": iso(mix.start),
        "who": mix.person,
        "station": mix.station,
        **_laid(moment, own, pour_of(batch_id)),
        "shared": [{"pour": pour, **_laid(moment, own, pour)} for pour in others],
    }


def _laid(moment: Moment, tasks: list[Task], pour: str) -> dict[str, Any]:
    """When a batch is tipped into a pour, and the passes of what it fills there."""
    mine = [task for task in tasks if task.pour == pour]
    place = next((task for task in mine if task.kind == "place"), None)
    return {
        "tipped": iso(place.start + moment.job.times.tip_s) if place else None,
        "passes": {
            task.kind: {"who": task.person, "start": iso(task.start), "end": iso(task.end)}
            for task in mine
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
