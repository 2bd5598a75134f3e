"""Moist air and drying concrete: saturation pressure, dew point, and evaporation after Menzel (ACI 305R)."""

from __future__ import annotations

import math

ZERO_C_IN_K = 273.15
TRIPLE_POINT_C = 0.01
# Hyland and Wexler 1983, as printed in ASHRAE Fundamentals (psychrometrics, equations 5 and 6); K to Pa.
OVER_ICE = (-5.6745359e3, 6.3925247, -9.677843e-3, 6.2215701e-7, 2.0747825e-9, -9.484024e-13, 4.1635019)
OVER_WATER = (-5.8002206e3, 1.3914993, -4.8640239e-2, 4.1764768e-5, -1.4452093e-8, 0.0, 6.5459673)


def saturation_kpa(t_c: float) -> float:
    """Saturation pressure of water vapour in kPa, over ice below 0 °C; good from −100 to 200 °C."""
    a, b, c, d, e, f, g = OVER_ICE if t_c <= TRIPLE_POINT_C else OVER_WATER
    k = t_c + ZERO_C_IN_K
    return math.exp(a / k + b + k * (c + k * (d + k * (e + k * f))) + g * math.log(k)) / 1000.0


def dew_point_c(air_c: float, humidity: float) -> float:
    """Temperature in °C at which air of a humidity (0 to 1) starts to wet a surface.

    Raises `ValueError` at no humidity at all, where there is no dew point.
    """
    if humidity <= 0.0:
        raise ValueError("air without moisture has no dew point")
    wanted = math.log(humidity * saturation_kpa(air_c))
    low, high = -100.0, max(air_c, -99.0) + 50.0
    for _ in range(60):
        middle = (low + high) / 2.0
        low, high = (middle, high) if math.log(saturation_kpa(middle)) < wanted else (low, middle)
    return low


def evaporation(surface_c: float, air_c: float, humidity: float, wind_kmh: float) -> float:
    """Water leaving a wet surface in kg/(m²·h), Menzel's SI form; never below zero (dew is not counted)."""
    excess_kpa = saturation_kpa(surface_c) - humidity * saturation_kpa(air_c)
    return max(excess_kpa, 0.0) * wind_kg_m2_h_kpa(wind_kmh)


def wind_kg_m2_h_kpa(wind_kmh: float) -> float:
    """Evaporation per kPa of excess pressure at the surface, in kg/(m²·h·kPa)."""
    return 0.315 * (0.253 + 0.060 * wind_kmh)


def evaporation_us(surface_psi: float, vapour_psi: float, wind_mph: float) -> float:
    """Menzel's US form in lb/(ft²·h) from vapour pressures at the surface and in the air; never below 0."""
    return max(0.44 * (surface_psi - vapour_psi) * (0.253 + 0.096 * wind_mph), 0.0)
