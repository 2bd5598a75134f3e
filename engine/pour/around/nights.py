"""The first night and the season ahead of a planned day, as plain values."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from engine.job.hours import outlook
from engine.pour.reckoning import Moment
from engine.pour.times import iso
from engine.site.coating import first_day, season_said
from engine.site.firstnight import said as night_said
from engine.words import Words


def nights_table(
    moment: Moment, starts: Mapping[str, float], doses: Mapping[str, float], words: Words
) -> dict[str, Any]:
    """`first_nights` of pours planned where the forecast is cold weather, bare; `coating` where days are expected."""
    cold_c = moment.job.practice["frost.air_under"]
    cold = min(row.air_c for row in moment.job.conditions) < cold_c
    nights = [_night(moment, pour, at, doses, words) for pour, at in sorted(starts.items())] if cold else []
    return {"first_nights": nights, "coating": _season(moment, starts, words)}


def _night(
    moment: Moment, pour_id: str, at: float, doses: Mapping[str, float], words: Words
) -> dict[str, Any]:
    pour = moment.day.pour(pour_id)
    hour = outlook(moment.job, pour, (at,))[0]
    wanted = doses.get(pour_id, pour.packets or 0.0)
    dose = next((one for one in hour.doses if one.packets == wanted), hour.doses[0])
    night = dose.night
    return {"pour": pour_id, "word": night.word, "low_c": night.low_c, "text": words(night_said(night))}


def _season(moment: Moment, starts: Mapping[str, float], words: Words) -> dict[str, Any] | None:
    """When a film could go on at the earliest, by the days the job expects."""
    expected, practice = moment.job.expected, moment.job.practice
    if not expected or not starts:
        return None
    old_enough = max(starts.values()) + practice["coating.least_age"]
    day = first_day(expected, old_enough, practice)
    season = season_said(day)
    return {
        "old_enough": iso(old_enough),
        "first_day": iso(day.at) if day else None,
        "season": words(season) if season else None,
    }
