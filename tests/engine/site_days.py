"""Days, cards and the shipped practice values for the tests of what the site asks for."""

from __future__ import annotations

import dataclasses

from fine_column import celsius, small_stone

from engine.job.files import shipped_practice
from engine.job.model import Practice
from engine.job.practice import as_practice
from engine.mix.card import MixCard, Strength
from engine.site.conditions import Weather

SHIPPED = as_practice({value.key: value.number for value in shipped_practice()})
PSI = 6894.757293168361
HOUR = 3600.0
DAY = 86400.0
TO_SI = {
    "degF": celsius,
    "step": lambda value: value / 1.8,
    "psi": lambda value: value * PSI,
    "hour": lambda value: value * HOUR,
    "day": lambda value: value * DAY,
}


def changed(**values: float) -> Practice:
    """The shipped values with some changed; a double underscore stands for the dot."""
    own = {name.replace("__", "."): value for name, value in values.items()}
    return as_practice({**dict(SHIPPED.values), **own})


def strong(ages_h: tuple[float, ...], values_psi: tuple[float, ...], **changes: object) -> MixCard:
    """The example card with strengths, without heat of its own."""
    strength = Strength(tuple(age * HOUR for age in ages_h), tuple(value * PSI for value in values_psi))
    return dataclasses.replace(small_stone(rise_k=0.0), strength=strength, **changes)  # type: ignore[arg-type]


def still(air_c: float, humidity: float = 1.0, wind_ms: float = 0.0, sun: bool = False) -> Weather:
    return Weather(air_c, humidity, wind_ms, sun)
