"""One plain table of a day on paper, in SI units: the sheet is written from this and from nothing else."""

from __future__ import annotations

import math
from dataclasses import asdict
from typing import Any

from engine.job.model import PASSES_OF, PassName, Pour
from engine.job.safety import cautions
from engine.mix.card import MixCard
from engine.pour.dayplan import DayPlan
from engine.pour.reckoning import Moment
from engine.pour.times import iso
from engine.record.paper.stamps import Row, rows_of
from engine.record.paper.windows import Dose, degrees_around, dose_at, doses_of
from engine.site.windows import WindowTimes
from engine.words import Words

SLACK_S = 4 * 3600.0  # a day may run so much longer than planned, and its temperatures still count as its own


def paper_table(moment: Moment, plan: DayPlan, words: Words) -> dict[str, Any]:
    """A day before its first bag as plain JSON values; `moment` is its start with nothing done."""
    job, rows = moment.job, rows_of(moment, plan)
    return {
        "job": job.name,
        "date": job.date,
        "time_zone": job.zone,
        "units": job.units,
        "feasible": not plan.misses and bool(rows),
        "reasons": _reasons(plan, rows, words),
        "queue": [_queued(moment, plan, pour, rows) for pour in moment.day.pours if pour.visit == 1],
        "batches": [_batch(row) for row in rows],
        "windows": _windows(moment, plan),
        "readings": _readings(moment),
        "cautions": [words(one) for one in cautions("start of day", job)],
    }


def _reasons(plan: DayPlan, rows: tuple[Row, ...], words: Words) -> list[str]:
    if not rows and plan.call.reason is not None:
        return [words(plan.call.reason)]
    return [words(miss) for miss in plan.misses]


def _queued(moment: Moment, plan: DayPlan, pour: Pour, rows: tuple[Row, ...]) -> dict[str, Any]:
    taken, card = moment.takeoffs[pour.id], moment.card(pour.id)
    own = [row for row in rows if row.pour == pour.id]
    return {
        "pour": pour.id,
        "where": pour.where,
        "depth_m": taken.mean_depth_m,
        "lifts": taken.lifts,
        "mix": card.key,
        "bags": taken.bags,
        "bags_a_batch": [row.bags for row in own if not row.source],
        "shared_from": next((row.source for row in own if row.source), None),
        "water_l_a_bag": asdict(card.water),
        "ice_kg_a_bag": moment.site.ice_kg(pour.id, moment.at),
        "packets_a_bag": plan.packets(pour.id) if not pour.shares else plan.packets(pour.shares),
        "finish": pour.finish,
        "water_contact": iso(min((row.water_at for row in own), default=None)),
    }


def _batch(row: Row) -> dict[str, Any]:
    return {
        "id": row.id,
        "pour": row.pour,
        "source": row.source or None,
        "bags": row.bags,
        "packets_a_bag": row.packets,
        "station": row.station,
        "water_contact": iso(row.water_at),
        "stamps": [asdict(stamp) for stamp in row.stamps],
    }


def _windows(moment: Moment, plan: DayPlan) -> dict[str, Any]:
    """Of every mix that is used, at temperatures around the forecast of the hours of work."""
    until = plan.end + SLACK_S
    low_c, high_c = _range_c(moment, until)
    passes: dict[str, list[PassName]] = {}
    for pour in moment.day.pours:
        if pour.visit == 1:
            own = passes.setdefault(moment.card(pour.id).key, [])
            own += [n for n in PASSES_OF[pour.finish] if n != "float" and n not in own]
    degrees = degrees_around(low_c, high_c, moment.job.units)
    return {
        "isothermal": True,
        "from": iso(moment.at),
        "until": iso(until),
        "low_c": low_c,
        "high_c": high_c,
        "mixes": [
            {"mix": key, "passes": names, "rows": _degree_rows(moment, moment.job.mix(key), names, degrees)}
            for key, names in passes.items()
        ],
    }


def _range_c(moment: Moment, until: float) -> tuple[float, float]:
    """The coldest and the hottest of air and slab that is forecast."""
    site = moment.site
    times = [moment.at, *(row.at for row in moment.job.conditions if moment.at < row.at <= until)]
    found = [value for at in times for value in (site.air_c("", at), site.slab_c("", at))]
    return min(found), max(found)


def _degree_rows(
    moment: Moment, card: MixCard, names: list[PassName], degrees: tuple[tuple[float, bool], ...]
) -> list[dict[str, Any]]:
    return [
        {
            "temperature_c": at_c,
            "of_the_day": marked,
            "doses": [_dose(dose_at(card, dose, at_c, names, moment.job)) for dose in doses_of(card)],
        }
        for at_c, marked in degrees
    ]


def _dose(dose: Dose) -> dict[str, Any]:
    return {
        "packets_a_bag": dose.packets,
        "workable_until_s": _seconds(dose.workable_s),
        "passes": {name: _window(times) for name, times in dose.passes},
    }


def _window(times: WindowTimes) -> dict[str, float | None]:
    return {
        "open_s": _seconds(times.open),
        "due_s": _seconds(times.due),
        "late_s": _seconds(times.late),
        "lost_s": _seconds(times.lost),
    }


def _seconds(value: float) -> float | None:
    return None if math.isinf(value) else value


def _readings(moment: Moment) -> dict[str, Any]:
    """What is forecast for the first water; the readings taken stand beside it."""
    site, at = moment.site, moment.at
    here = site.weather("", at)
    return {
        "again_after_s": moment.job.practice["readings.stale"],
        "air_c": here.air_c,
        "slab_c": site.slab_c("", at),
        "bags_c": site.bags_c("", at),
        "water_c": site.water_c("", at),
        "humidity": here.humidity,
        "wind_m_s": here.wind_ms,
        "sun": here.sun,
    }
