"""The day hour by hour as plain values: what each pour would have of working time and opening, were it begun then."""

from __future__ import annotations

from typing import Any

from engine.job.hours import DoseOutlook, HourOutlook, hour_starts, outlook
from engine.pour.reckoning import Moment
from engine.pour.times import iso
from engine.site.bands import said as band_said
from engine.words import Words

DAY_S = 10 * 3600.0


def hourly_table(moment: Moment, words: Words) -> list[dict[str, Any]]:
    """Every pour of this visit now and at each full hour of a working day after it."""
    starts = hour_starts(moment.at, moment.at + DAY_S, moment.job.zone)
    pours = [pour for pour in moment.job.pours if pour.visit == 1]
    return [_hour(hour, moment, words) for pour in pours for hour in outlook(moment.job, pour, starts)]


def _hour(hour: HourOutlook, moment: Moment, words: Words) -> dict[str, Any]:
    return {
        "pour": hour.pour,
        "at": iso(hour.at),
        "slab_c": hour.slab_c,
        "mix_c": hour.mix_c,
        "evaporation_kg_m2_h": hour.drying.rate,
        "drying": hour.drying.band,
        "findings": [words(band_said(finding, moment.job.units)) for finding in hour.findings],
        "doses": [_dose(dose) for dose in hour.doses],
    }


def _dose(dose: DoseOutlook) -> dict[str, Any]:
    return {
        "packets": dose.packets,
        "working_time_s": dose.workable_s,
        "feet": iso(dose.feet),
        "wheels": iso(dose.wheels),
        "first_night": dose.night.word,
        "keeps_targets": dose.keeps_targets,
    }
