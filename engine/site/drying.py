"""How fast a fresh surface dries, in bands that say what to do; and the wind at the work from a weather station's.

The formula may be off by two fifths either way (ACI SP-338, 2020), so people are shown one digit. Limits are
practice values: `evaporation.caution` for mixes that bleed little, as rapid ones do, and `evaporation.limit`.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from engine.site.column import KMH, Numbers
from engine.site.conditions import Weather
from engine.site.humid import evaporation, saturation_kpa
from engine.units import FT2_M2, POUND_KG, System, show_evaporation
from engine.words import Say, say

Band = Literal["dew", "slow", "fast", "very fast"]
Terrain = Literal["open country", "town"]

# ASHRAE Fundamentals 2005, local wind: exponent and thickness in metres of the moving layer
TERRAINS: dict[Terrain, tuple[float, float]] = {"open country": (0.14, 270.0), "town": (0.33, 460.0)}
STATION: Terrain = "open country"
STATION_M = 10.0
WORK_M = 0.5  # the height above the surface at which the formula takes its wind
ROUNDING = 1e-9  # a rate this close to a limit, as a share of it, is on it


@dataclass(frozen=True)
class Drying:
    """Water leaving the surface in kg/(m²·h), and its band. `dew`: the surface is too cold to give off any."""

    rate: float
    band: Band


def wind_share(terrain: Terrain) -> float:
    """Wind half a metre above ground as a share of a weather station's, which stands at 10 m in open country."""
    (met, met_m), (here, here_m) = TERRAINS[STATION], TERRAINS[terrain]
    return float((met_m / STATION_M) ** met * (WORK_M / here_m) ** here)


def wind_at_work_ms(station_ms: float, terrain: Terrain) -> float:
    """Wind at the work in m/s from a forecast's; a wind measured at the work needs no such step."""
    return station_ms * wind_share(terrain)


def drying(surface_c: float, weather: Weather, values: Numbers) -> Drying:
    """How a surface of a temperature dries in a weather. A rate on a limit is not yet past it."""
    air_kpa = weather.humidity * saturation_kpa(weather.air_c)
    if saturation_kpa(surface_c) <= air_kpa:
        return Drying(0.0, "dew")
    rate = evaporation(surface_c, weather.air_c, weather.humidity, weather.wind_ms * KMH)
    return Drying(rate, _band(rate, values))


def _band(rate: float, values: Numbers) -> Band:
    if _past(rate, values["evaporation.limit"]):
        return "very fast"
    return "fast" if _past(rate, values["evaporation.caution"]) else "slow"


def _past(rate: float, limit: float) -> bool:
    return rate > limit * (1.0 + ROUNDING)


def one_digit(value: float) -> float:
    """A value with one digit that counts."""
    return float(f"{value:.1g}")


def crew_rate(rate: float, system: System) -> str:
    """A rate in kg/(m²·h) as the crew is shown it: one digit in the unit of the job."""
    scale = POUND_KG / FT2_M2 if system == "us" else 1.0
    return show_evaporation(one_digit(rate / scale) * scale, system)


def advice(dries: Drying, system: System) -> Say:
    """What to do about it, in words."""
    return say(f"drying.{dries.band.replace(' ', '_')}", rate=crew_rate(dries.rate, system))
