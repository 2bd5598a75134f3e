"""What went up and down through the day: today's rate factor, air and slab, wind, humidity, sun, and what was read."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import asdict, replace
from typing import Any

from engine.pour.reckoning import Moment
from engine.pour.times import iso
from engine.site.conditions import Reading


def factor_table(moment: Moment, began: float) -> list[dict[str, Any]]:
    """The rate factor with its spread: as the day began, then after each sign, as plain JSON values."""
    signs = sorted(moment.day.signs, key=lambda sign: sign.at)
    steps = [_factor(moment, 0, began) | {"word": None, "subject": None, "pass": None}]
    for count, sign in enumerate(signs, start=1):
        told = {"word": sign.word, "subject": sign.subject, "pass": sign.name}
        steps.append(_factor(moment, count, sign.at) | told)
    return steps


def _factor(moment: Moment, count: int, at: float) -> dict[str, Any]:
    """After so many signs."""
    signs = tuple(sorted(moment.day.signs, key=lambda sign: sign.at)[:count])
    freezes = tuple(step for step in moment.day.freezes if step[0] <= at)
    factor = Moment(replace(moment.day, signs=signs, freezes=freezes), moment.at).factor
    return {"at": iso(at), "value": factor.value, "low": factor.low, "high": factor.high}


def weather_table(moment: Moment, began: float) -> list[dict[str, Any]]:
    """What was in force on the site from the day's first line to `at`, a row whenever something changed."""
    site = moment.site
    rows = {row.at for row in site.forecast} | {read.at for read in site.readings if not read.pour}
    times = [began, *sorted(at for at in rows if began < at <= moment.at)]
    return [_weather(moment, at) for at in times]


def _weather(moment: Moment, at: float) -> dict[str, Any]:
    weather = moment.site.weather("", at)
    return {
        "at": iso(at),
        "air_c": weather.air_c,
        "slab_c": moment.site.slab_c("", at),
        "humidity": weather.humidity,
        "wind_m_s": weather.wind_ms,
        "sun": weather.sun,
    }


def reading_table(moment: Moment) -> list[dict[str, Any]]:
    """What was read, in the order in which it was; only what each reading holds."""
    return [dict(_reading(read)) for read in sorted(moment.day.readings, key=lambda read: read.at)]


NAMED = {"wind_ms": "wind_m_s"}


def _reading(read: Reading) -> Iterator[tuple[str, Any]]:
    yield "at", iso(read.at)
    yield "pour", read.pour or None
    for name, value in asdict(read).items():
        if name not in ("at", "pour") and value is not None:
            yield NAMED.get(name, name), value
