"""After the last stroke: wetting and covers, the first night, and what each opening time rests on."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Any

from engine.job.hours import morning_after
from engine.job.model import Pour
from engine.pour.needs import bags_left
from engine.pour.reckoning import Moment
from engine.pour.stages import next_stroke
from engine.pour.state import Batch
from engine.pour.times import iso
from engine.site.curing import LiftWord, WetCure, blanket_word, wet_cure
from engine.site.firstnight import FirstNight, first_night, needed_age_s
from engine.site.firstnight import said as night_said
from engine.site.opening import OpeningTime, Tipped, opening_time
from engine.site.opening import said as opening_said
from engine.words import Words

DAY_S = 86400.0


@dataclass(frozen=True)
class Aftercare:
    """A pour with something in it. `cure` None: not finished yet; `blanket` None: none lies on it."""

    pour: str
    cure: WetCure | None
    night: FirstNight
    blanket: LiftWord | None
    feet: OpeningTime
    wheels: OpeningTime


def aftercare(moment: Moment, pour: Pour) -> Aftercare | None:
    """What a pour asks for from its last stroke on; None while nothing is tipped."""
    batches = [batch for batch in moment.day.batches_of(pour.id) if batch.tipped_at is not None]
    if not batches:
        return None
    tipped = [
        Tipped(batch.id, moment.trajectory(batch), batch.tipped_at)
        for batch in batches
        if batch.tipped_at is not None
    ]
    opening = moment.card(pour.id).opening
    return Aftercare(
        pour=pour.id,
        cure=cure_of(moment, pour),
        night=min((_night(moment, pour, batch) for batch in batches), key=_behind),
        blanket=_blanket(moment, pour, batches),
        feet=opening_time(tipped, opening.feet_s),
        wheels=opening_time(tipped, opening.wheels_s),
    )


def cure_of(moment: Moment, pour: Pour) -> WetCure | None:
    """The wet cure of a pour from its last stroke on, once nothing is left to mix or to finish."""
    batches = moment.day.batches_of(pour.id)
    unfinished = (b.tipped_at is None or next_stroke(moment, b) is not None for b in batches)
    if not batches or bags_left(moment, pour) > 0 or any(unfinished):
        return None
    strokes = [stroke.at for batch in batches for stroke in batch.strokes]
    since = max(strokes, default=batches[-1].tipped_at or moment.at)
    return wet_cure(
        pour.id,
        [moment.trajectory(batch) for batch in batches],
        since,
        [at for soaked, at in moment.day.soaked if soaked == pour.id and at >= since],
        moment.site.weather_from(pour.id, since),
        [(step.at, step.cover != "") for step in moment.day.covers if step.pour == pour.id],
        moment.job.practice,
    )


def _night(moment: Moment, pour: Pour, batch: Batch) -> FirstNight:
    tip = batch.tipped_at or moment.at
    return first_night(
        moment.trajectory(batch),
        moment.card(pour.id),
        moment.site.weather_from(pour.id, tip),
        (tip, morning_after(tip, moment.job)),
        max(row.at for row in moment.job.conditions),
        moment.job.practice,
        [(step.at, step.cover == "blanket") for step in moment.day.covers if step.pour == pour.id],
    )


def _behind(night: FirstNight) -> tuple[float, float]:
    """The batch furthest behind first."""
    return -(night.reached_at or math.inf), night.equivalent_s


def _blanket(moment: Moment, pour: Pour, batches: list[Batch]) -> LiftWord | None:
    laid = [step.cover for step in moment.day.covers if step.pour == pour.id][-1:]
    if laid != ["blanket"]:
        return None
    warmest_c = max(moment.trajectory(batch).temperature_at(moment.at) for batch in batches)
    weather = [
        (at, here) for at, here in moment.site.weather_from(pour.id, moment.at) if at <= moment.at + DAY_S
    ]
    low_c = min(here.air_c for _, here in weather)
    needed_s = needed_age_s(moment.card(pour.id), moment.job.practice)
    ages_s = [moment.trajectory(batch).age_at(moment.at) for batch in batches]
    strong = needed_s is not None and min(ages_s) >= needed_s
    return blanket_word(warmest_c, weather[0][1].air_c, low_c, strong, moment.job.practice)


def aftercare_table(after: Aftercare, words: Words) -> dict[str, Any]:
    """As plain JSON values."""
    night = after.night
    return {
        "cure": _cure_table(after.cure),
        "blanket": words(f"blanket.{after.blanket.replace(' ', '_')}") if after.blanket else None,
        "first_night": {
            "word": night.word,
            "text": words(night_said(night)),
            "freeze_at": iso(night.freeze_at),
            "low_c": night.low_c,
            "equivalent_h": night.equivalent_s / 3600.0,
            "needed_h": None if night.needed_s is None else night.needed_s / 3600.0,
            "strength_mpa": None if night.strength_pa is None else night.strength_pa / 1e6,
            "reached_at": iso(night.reached_at),
        },
        "feet_rests_on": words(opening_said(after.feet)),
        "wheels_rests_on": words(opening_said(after.wheels)),
    }


def _cure_table(cure: WetCure | None) -> dict[str, Any] | None:
    if cure is None:
        return None
    return {"wet_at": iso(cure.wet_at), "next_at": iso(cure.next_at), "until": iso(cure.until)}
