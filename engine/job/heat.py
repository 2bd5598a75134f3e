"""Heat on people: the heat index of the weather service and the bands of the labour agency's guide."""

from __future__ import annotations

from typing import Literal

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


def heat_band(index_c: float) -> Band:
    """OSHA, Using the Heat Index: under 91 °F caution, to 103 moderate, to 115 high, above very high."""
    index_f = round(index_c * 1.8 + 32, 6)
    if index_f > 115:
        return "very high"
    if index_f >= 103:
        return "high"
    return "moderate" if index_f >= 91 else "caution"
