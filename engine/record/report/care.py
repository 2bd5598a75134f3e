"""The sheet for the people of the place: what to keep wet and covered, from when it bears whom, what to look for."""

from __future__ import annotations

from typing import Any

from engine.job.model import Pour
from engine.pour.around.aftercare import Aftercare, aftercare
from engine.pour.around.coming_back import old_enough_at, visit_table, visits_due
from engine.pour.reckoning import Moment
from engine.pour.times import iso
from engine.site.firstnight import said as night_said
from engine.words import Words

CLOSED, SALT, COATING, LOOK, WATER = "closed", "salt", "coating", "look", "water"
POINTS = (CLOSED, WATER, SALT, COATING, LOOK)


def care(moment: Moment, words: Words) -> dict[str, Any]:
    """By pour and in general, as plain JSON values; pours with nothing in them are left out."""
    after = [(pour, aftercare(moment, pour)) for pour in moment.day.pours]
    return {
        "pours": [_pour(moment, pour, found, words) for pour, found in after if found is not None],
        "points": [words(f"report.care.{point}") for point in POINTS],
        "visits": [visit_table(visit, words) for visit in visits_due(moment)],
    }


def _pour(moment: Moment, pour: Pour, after: Aftercare, words: Words) -> dict[str, Any]:
    cure = after.cure
    laid = [step.cover or "bare" for step in moment.day.covers if step.pour == pour.id]
    return {
        "pour": pour.id,
        "where": pour.where,
        "wet_again": iso(cure.next_at) if cure else None,
        "wet_until": iso(cure.until) if cure else None,
        "cover": laid[-1] if laid else None,
        "finished": cure is not None,
        "feet": iso(after.feet.at) if cure else None,
        "wheels": iso(after.wheels.at) if cure else None,
        "first_night": words(night_said(after.night)),
        "coating_from": iso(old_enough_at(moment, pour)),
    }
