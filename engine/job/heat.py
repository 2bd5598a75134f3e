"""Heat on people: the heat index of the weather service, bands and rests of the labour agency.

Bands, rests and the days of somebody new are practice values under `safety.`.
"""

from __future__ import annotations

import math
from typing import Literal

from engine.job.model import Practice

GRAIN_K = 1e-6  # a heat index this close to a limit is on it

Band = Literal["caution", "moderate", "high", "very high"]
# NWS technical attachment SR 90-23 (Rothfusz 1990), °F and per cent, factors of
# 1, T, R, TR, TT, RR, TTR, TRR, TTRR
_REGRESSION = (
    -42.379,
    2.04901523,
    10.14333127,
    -0.22475541,
    -6.83783e-3,
    -5.481717e-2,
    1.22874e-3,
    8.5282e-4,
    -1.99e-6,
)


def heat_index_c(air_c: float, humidity: float) -> float:
    """Heat index in °C in the shade; full sun can add 8 °C. `humidity` 0 to 1.

    The regression applies from 80 °F on; below, the weather service's simple form is used.
    """
    air_f, percent = air_c * 1.8 + 32, humidity * 100
    simple_f = 0.5 * (air_f + 61 + (air_f - 68) * 1.2 + percent * 0.094)
    mean_f = (simple_f + air_f) / 2
    index_f = mean_f if mean_f < 80 else _regression_f(air_f, percent) + _adjustment_f(air_f, percent)
    return (index_f - 32) / 1.8


def _regression_f(t: float, r: float) -> float:
    terms = (1.0, t, r, t * r, t * t, r * r, t * t * r, t * r * r, t * t * r * r)
    return sum(factor * term for factor, term in zip(_REGRESSION, terms, strict=True))


def _adjustment_f(t: float, r: float) -> float:
    """The weather service's corrections for very dry and for very damp air."""
    if r < 13 and 80 <= t <= 112:
        return float(-(13 - r) / 4 * ((17 - abs(t - 95)) / 17) ** 0.5)
    if r > 85 and 80 <= t <= 87:
        return (r - 85) / 10 * (87 - t) / 5
    return 0.0


def heat_band(index_c: float, practice: Practice) -> Band:
    """The band of a heat index: a boundary begins the band above it, but the last one ends its own."""
    if index_c > practice["safety.heat_very_high"] + GRAIN_K:
        return "very high"
    if index_c >= practice["safety.heat_high"] - GRAIN_K:
        return "high"
    return "moderate" if index_c >= practice["safety.heat_moderate"] - GRAIN_K else "caution"


def rest_s(index_c: float, work_s: float, practice: Practice) -> float:
    """Rest in the shade owed for a time at work, in seconds: none under the index from which rests are owed.

    The proposed heat rule of the labour agency, which is not law.
    """
    if index_c < practice["safety.rest_index"] - GRAIN_K:
        return 0.0
    return practice["safety.rest"] * math.floor(work_s / practice["safety.rest_every"] + GRAIN_K)


def new_worker_share(day: int, practice: Practice) -> float:
    """Part of a usual day that somebody new to the heat works on the first, second, ... day of it, 0 to 1.

    Raises `ValueError` for a day before the first.
    """
    if day < 1:
        raise ValueError("days in the heat are counted from 1")
    return min(1.0, day * practice["safety.new_worker"])
