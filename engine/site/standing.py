"""What goes stale while work waits: a soaked base, a cleaned hole, a reading."""

from __future__ import annotations

from collections.abc import Sequence

from engine.site.column import Numbers
from engine.site.conditions import Weather
from engine.site.curing import is_exposed, runs_out_at

Weathers = Sequence[tuple[float, Weather]]


def damp_until(soaked_at: float, weather: Weathers, values: Numbers) -> float:
    """When a soaked base has lost its damp and is soaked again: sooner in sun or wind, later in still shade.

    `weather` is (from when, weather) in order; before its first step that one holds.
    """

    def lasts_s(at: float) -> float:
        here = next((step for start, step in reversed(weather) if start <= at), weather[0][1])
        return values["cure.soak_sun" if is_exposed(here, values) else "cure.soak_shade"]

    return runs_out_at(soaked_at, [at for at, _ in weather], lasts_s)


def clean_until(cleaned_at: float, values: Numbers) -> float:
    """When a prepared hole has stood open so long that it is cleaned again."""
    return cleaned_at + values["cure.open_hole"]


def is_stale(read_at: float, now: float, values: Numbers) -> bool:
    """Whether a reading is so old that it is asked for again."""
    return now - read_at > values["readings.stale"]
