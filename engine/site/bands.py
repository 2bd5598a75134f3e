"""Hot and cold: what slab, air and mix are outside of, by whose limit, and what would change it.

Limits are practice values; a finding carries the key of its own, where the source stands. A finding advises: the label
and the finisher decide, and a day without findings is not thereby fit for work.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Literal

from engine.site.column import Numbers
from engine.site.conditions import Weather
from engine.site.drying import drying
from engine.units import System, show_temperature
from engine.words import Say, say

GRAIN_K = 1e-6  # a temperature this close to a limit is on it, whichever unit it was read in

Of = Literal["slab", "air", "mix"]
Band = Literal["too cold", "cold", "hot", "too hot"]

CHANGES: dict[tuple[Of, Band], tuple[str, ...]] = {
    ("slab", "too cold"): ("blankets_before", "sun_hours"),
    ("slab", "cold"): ("blankets_after", "longer_cure"),
    ("slab", "hot"): ("shade_slab", "soak_slab", "early_hours"),
    ("air", "cold"): ("blankets_after", "no_packets"),
    ("air", "hot"): ("windbreak", "early_hours"),
    ("mix", "too cold"): ("warm_water", "bags_indoors"),
    ("mix", "cold"): ("warm_water", "bags_indoors"),
    ("mix", "hot"): ("cool_water", "bags_shade"),
    ("mix", "too hot"): ("cool_water", "bags_shade", "ice"),
}


@dataclass(frozen=True)
class Finding:
    """A temperature outside a limit, both in °C; `key` names the practice value."""

    of: Of
    band: Band
    value_c: float
    limit_c: float
    key: str

    @property
    def changes(self) -> tuple[Say, ...]:
        """What would change it."""
        return tuple(say(f"change.{name}") for name in CHANGES[self.of, self.band])


@dataclass(frozen=True)
class Temperatures:
    """°C when a batch is placed: its slab, the mix in the vessel, the surface while it is bare."""

    slab_c: float
    mix_c: float
    surface_c: float


def findings(at: Temperatures, weather: Weather, lowest_air_c: float, values: Numbers) -> tuple[Finding, ...]:
    """Everything outside a limit when a batch is placed.

    `lowest_air_c` is the coldest air forecast while the work needs protection (`frost.protection` from the tip):
    it is cold weather already when that lies under the limit. Minimums are those of sections under 12 in. (300 mm).
    """
    coldest_c = min(lowest_air_c, weather.air_c)
    return (
        *_slab(at.slab_c, values),
        *_air(weather, coldest_c, at.surface_c, values),
        *_mix(at.mix_c, weather.air_c, is_cold_weather(coldest_c, values), values),
    )


def is_cold_weather(lowest_air_c: float, values: Numbers) -> bool:
    """ACI: the air has fallen, or is expected to fall, under the limit while the work needs protection."""
    return _under(lowest_air_c, values["frost.air_under"])


def is_hot_weather(surface_c: float, weather: Weather, values: Numbers) -> bool:
    """ACI 305.1: warm air together with fast drying; neither alone."""
    warm = not _under(weather.air_c, values["temperature.hot_air"])
    return warm and drying(surface_c, weather, values).band == "very fast"


def lowest_air_c(weather: Sequence[tuple[float, Weather]], start: float, values: Numbers) -> float:
    """The coldest air from `start` until protection ends; `weather` as (from when, weather), in order."""
    until = start + values["frost.protection"]
    before = [step.air_c for at, step in weather if at <= start][-1:] or [weather[0][1].air_c]
    return min(before + [step.air_c for at, step in weather if start < at < until])


def least_mixed_c(air_c: float, values: Numbers) -> float:
    """ACI 306R: the least temperature of the mix in the vessel; the colder the air, the warmer."""
    return values[_least_mixed_key(air_c, values)]


def _least_mixed_key(air_c: float, values: Numbers) -> str:
    if _under(air_c, values["temperature.bitter_air"]):
        return "temperature.mixed_least_bitter"
    return (
        "temperature.mixed_least_frosty"
        if air_c <= values["temperature.frosty_air"]
        else "temperature.mixed_least"
    )


def _under(value_c: float, limit_c: float) -> bool:
    return value_c < limit_c - GRAIN_K


def _over(value_c: float, limit_c: float) -> bool:
    return value_c > limit_c + GRAIN_K


def _slab(slab_c: float, values: Numbers) -> Iterator[Finding]:
    if _under(slab_c, values["temperature.hold_under"]):
        yield _finding("slab", "too cold", slab_c, "temperature.hold_under", values)
    elif _under(slab_c, values["temperature.insulate_under"]):
        yield _finding("slab", "cold", slab_c, "temperature.insulate_under", values)
    elif _over(slab_c, values["temperature.hot_over"]):
        yield _finding("slab", "hot", slab_c, "temperature.hot_over", values)


def _air(weather: Weather, coldest_c: float, surface_c: float, values: Numbers) -> Iterator[Finding]:
    if is_cold_weather(coldest_c, values):
        yield _finding("air", "cold", coldest_c, "frost.air_under", values)
    if is_hot_weather(surface_c, weather, values):
        yield _finding("air", "hot", weather.air_c, "temperature.hot_air", values)


def _mix(mix_c: float, air_c: float, cold_weather: bool, values: Numbers) -> Iterator[Finding]:
    if _over(mix_c, values["temperature.mix_ceiling"]):
        yield _finding("mix", "too hot", mix_c, "temperature.mix_ceiling", values)
    elif _over(mix_c, values["temperature.mix_most"]):
        yield _finding("mix", "hot", mix_c, "temperature.mix_most", values)
    elif cold_weather:
        yield from _mix_in_cold(mix_c, air_c, values)


def _mix_in_cold(mix_c: float, air_c: float, values: Numbers) -> Iterator[Finding]:
    """ACI 306R: warm enough when placed, warmer in the vessel, and not much warmer than that."""
    key = _least_mixed_key(air_c, values)
    if _under(mix_c, values["temperature.mix_least"]):
        yield _finding("mix", "too cold", mix_c, "temperature.mix_least", values)
    elif _under(mix_c, values[key]):
        yield _finding("mix", "cold", mix_c, key, values)
    most_c = values[key] + values["temperature.over_mixed_least"]
    if _over(mix_c, most_c):
        yield Finding("mix", "hot", mix_c, most_c, "temperature.over_mixed_least")


def _finding(of: Of, band: Band, value_c: float, key: str, values: Numbers) -> Finding:
    return Finding(of, band, value_c, values[key], key)


def said(finding: Finding, system: System) -> Say:
    """The finding in words."""
    return say(
        f"band.{finding.of}_{finding.band.replace(' ', '_')}",
        value=show_temperature(finding.value_c, system),
        limit=show_temperature(finding.limit_c, system),
    )
