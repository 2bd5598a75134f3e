"""What air, slab and materials do to the work now: drying, dew point, what is too hot or too cold and what would change it."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from engine.job.model import Pour
from engine.pour.needs import bags_left
from engine.pour.prospects import GRID_S, prospects
from engine.pour.reckoning import Moment
from engine.site.bands import Finding, Temperatures, findings, lowest_air_c
from engine.site.bands import said as band_said
from engine.site.conditions import Weather
from engine.site.drying import Drying, advice, drying
from engine.site.humid import dew_point_c
from engine.site.water import watched
from engine.words import Say, Words


@dataclass(frozen=True)
class Surroundings:
    """Conditions in force for the next bag; temperatures in °C. `surface_c` is the warmest its bare surface gets."""

    pour: str
    weather: Weather
    slab_c: float
    bags_c: float
    water_c: float
    mix_c: float
    surface_c: float
    dew_point_c: float | None  # None in air without any moisture
    drying: Drying
    findings: tuple[Finding, ...]
    water: tuple[Say, ...]  # what is wrong with the mixing water and its ice


def surroundings(moment: Moment, pour: Pour | None = None) -> Surroundings:
    """For a pour, or for the one that takes the next bag."""
    pour = pour or _next(moment)
    site, at, practice = moment.site, moment.at, moment.job.practice
    weather, slab_c = site.weather(pour.id, at), site.slab_c(pour.id, at)
    mix_c = moment.vessel_c(moment.card(pour.id), pour.id, at)
    soon = (at // GRID_S + 1) * GRID_S  # the same clock for minutes: a screen asks every second
    surface_c = max(mix_c, prospects(moment, pour, True, soon)[0].bare_c)
    lowest_c = lowest_air_c(site.weather_from(pour.id, at), at, practice)
    return Surroundings(
        pour=pour.id,
        weather=weather,
        slab_c=slab_c,
        bags_c=site.bags_c(pour.id, at),
        water_c=site.water_c(pour.id, at),
        mix_c=mix_c,
        surface_c=surface_c,
        dew_point_c=dew_point_c(weather.air_c, weather.humidity) if weather.humidity > 0.0 else None,
        drying=drying(surface_c, weather, practice),
        findings=findings(Temperatures(slab_c, mix_c, surface_c), weather, lowest_c, practice),
        water=watched(
            moment.card(pour.id), site.water_c(pour.id, at), site.ice_kg(pour.id, at), mix_c, practice
        ),
    )


def _next(moment: Moment) -> Pour:
    waiting = (pour for pour in moment.day.pours if bags_left(moment, pour) > 0)
    return next(waiting, moment.day.pours[-1])


def surroundings_table(here: Surroundings, moment: Moment, words: Words) -> dict[str, Any]:
    """As plain JSON values; the sentences advise."""
    weather, units = here.weather, moment.job.units
    return {
        "for_pour": here.pour,
        "air_c": weather.air_c,
        "slab_c": here.slab_c,
        "humidity": weather.humidity,
        "wind_m_s": weather.wind_ms,
        "sun": weather.sun,
        "bags_c": here.bags_c,
        "water_c": here.water_c,
        "mix_c": here.mix_c,
        "surface_c": here.surface_c,
        "dew_point_c": here.dew_point_c,
        "evaporation_kg_m2_h": here.drying.rate,
        "drying": here.drying.band,
        "drying_advice": words(advice(here.drying, units)),
        "findings": [_finding(finding, moment, words) for finding in here.findings],
        "water": [words(one) for one in here.water],
    }


def _finding(finding: Finding, moment: Moment, words: Words) -> dict[str, Any]:
    return {
        "of": finding.of,
        "band": finding.band,
        "value_c": finding.value_c,
        "limit_c": finding.limit_c,
        "key": finding.key,
        "text": words(band_said(finding, moment.job.units)),
        "would_change_it": [words(change) for change in finding.changes],
    }
