"""A day at a moment as plain JSON values: stable keys, SI units in their names, ISO times in UTC."""

from __future__ import annotations

from typing import Any

from engine.job.model import Pour
from engine.job.safety import cautions
from engine.pour.around.aftercare import aftercare, aftercare_table
from engine.pour.around.changed import changes_table
from engine.pour.around.coming_back import coating, coating_table, visit_table, visits_due
from engine.pour.around.handing_over import hand_over, hand_over_table
from engine.pour.around.last_calls import last_call_table, last_calls
from engine.pour.around.promises import promise_table, promises
from engine.pour.around.readiness import readiness, readiness_table
from engine.pour.around.surface_reads import surface_table
from engine.pour.around.surroundings import surroundings, surroundings_table
from engine.pour.around.teaching import teaching_table
from engine.pour.around.used import batch_table, standing_lots, use_table, weighed_table
from engine.pour.dayplan import DayPlan
from engine.pour.needs import bags_needed, batches_needed, batches_tipped, stock
from engine.pour.openings import openings
from engine.pour.reckoning import Moment
from engine.pour.stages import combined, finish_in, pour_state, stage
from engine.pour.state import Batch, Called
from engine.pour.times import iso
from engine.site.windows import WindowTimes, window_state
from engine.words import Words


def status(moment: Moment, plan: DayPlan, words: Words) -> dict[str, Any]:
    """Everything the log says at a moment. `words` renders the reason of the call."""
    factor = moment.factor
    return {
        "at": iso(moment.at),
        "job": moment.job.name,
        "time_zone": moment.job.zone,
        "units": moment.job.units,
        "rate_factor": {
            "value": factor.value,
            "low": factor.low,
            "high": factor.high,
            "observations": factor.observations,
            **teaching_table(moment, words),
        },
        "batches": [
            *(_batch(moment, batch) for batch in moment.day.batches),
            *(_called(moment, call) for call in moment.day.called),
        ],
        "pours": [_pour(moment, pour, words) for pour in moment.day.pours],
        "call": _call(moment, plan, words),
        "stock": _stock(moment),
        "targets": [promise_table(promise) for promise in promises(moment, plan)],
        "last_calls": [last_call_table(call) for call in last_calls(moment, plan)],
        "conditions": surroundings_table(surroundings(moment), moment, words),
        "surface_readings": surface_table(moment),
        "used": use_table(moment),
        "changes": changes_table(moment),
        "visits": [visit_table(visit, words) for visit in visits_due(moment)],
        "cautions": [words(caution) for caution in cautions("report", moment.job)],
    }


def _batch(moment: Moment, batch: Batch) -> dict[str, Any]:
    path = moment.trajectory(batch)
    until = moment.workable_until(batch)
    windows = moment.windows(batch)
    return {
        "id": batch.id,
        "pour": batch.pour,
        "stage": stage(moment, batch),
        "packets": batch.packets,
        "bags": batch.bags,
        **batch_table(moment, batch),
        "who": batch.mixer,
        "water_contact": iso(batch.water_at),
        "mixed": iso(batch.mixed_at),
        "tipped": iso(batch.tipped_at),
        "set_age_min": path.age_at(moment.at) / 60.0,
        "temperature_c": path.temperature_at(moment.at),
        "workable_until": iso(until),
        "windows": {name: _window(moment, batch, name, times) for name, times in windows.items()},
    }


def _window(moment: Moment, batch: Batch, name: str, times: WindowTimes) -> dict[str, Any]:
    done = next((stroke for stroke in batch.strokes if stroke.name == name), None)
    window = _times(times) | {"state": window_state(times, done.at if done else moment.at)}
    if done:
        window |= {"done": iso(done.at), "who": done.who, "who_assumed": done.assumed}
    if name in batch.skipped:
        window |= {"skipped": True}
    return window


def _times(times: WindowTimes) -> dict[str, Any]:
    return {"open": iso(times.open), "due": iso(times.due), "late": iso(times.late), "lost": iso(times.lost)}


def _called(moment: Moment, call: Called) -> dict[str, Any]:
    """A bag called and not yet wet has no clock."""
    number = 1 + sum(1 for b in moment.day.batches if b.pour == call.pour and not b.source)
    return {
        "id": f"{call.pour}.{number}",
        "pour": call.pour,
        "stage": "called",
        "packets": call.packets,
        "who": call.who,
        "water_contact": None,
        "windows": {},
    }


def _pour(moment: Moment, pour: Pour, words: Words) -> dict[str, Any]:
    live = moment.day.batches_of(pour.id)
    tipped = [batch for batch in live if batch.tipped_at is not None]
    latest = max(tipped, key=lambda batch: batch.tipped_at or 0.0, default=None)
    opens = openings(moment, pour)
    shared = combined(moment, live) if finish_in(moment, pour) == "whole" else {}
    return {
        "id": pour.id,
        "state": pour_state(moment, pour),
        "batches_needed": batches_needed(moment, pour),
        "batches_tipped": batches_tipped(moment, pour),
        "edge_until": iso(moment.workable_until(latest)) if latest else None,
        "finish_in": finish_in(moment, pour),
        "feet": iso(opens.feet),
        "wheels": iso(opens.wheels),
        "initial_set": iso(opens.initial_set),
        "final_set": iso(opens.final_set),
        "windows": {name: _times(times) for name, times in shared.items()},
        "opened": [
            {"to": o.to, "at": iso(o.at), "who": o.who} for o in moment.day.opened if o.pour == pour.id
        ],
        "ready": readiness_table(readiness(moment, pour)),
        **_after(moment, pour, words),
    }


def _after(moment: Moment, pour: Pour, words: Words) -> dict[str, Any]:
    """What follows the last stroke; None for what a pour is not ready for."""
    after, coat = aftercare(moment, pour), coating(moment, pour)
    return {
        "after": aftercare_table(after, words) if after else None,
        "checks": hand_over_table(hand_over(moment, pour), words),
        "coating": coating_table(coat, moment, words) if coat else None,
    }


def _call(moment: Moment, plan: DayPlan, words: Words) -> dict[str, Any]:
    call = plan.call
    return {
        "state": call.state,
        "pour": call.pour or None,
        "who": call.who or None,
        "station": call.station or None,
        "bags": call.bags,
        "packets": call.packets,
        "water_l": call.water_l,
        "in_s": None if call.at is None else max(0.0, round(call.at - moment.at, 1)),
        "latest": iso(call.latest),
        "reason": words(call.reason),
    }


def _stock(moment: Moment) -> dict[str, Any]:
    left = stock(moment)
    return {
        "bags": left.bags,
        "bags_by_mix": dict(left.by_mix),
        "packets": left.packets,
        "vessels": left.vessels,
        "bags_needed": bags_needed(moment),
        "lots": standing_lots(moment),
        "weighed": weighed_table(moment),
    }
