"""How fast a mix hardens at a temperature: the Arrhenius rate, equivalent age and the older linear sum.

Forms of ASTM C1074; temperatures in °C, absolute where the form needs it.
"""

from __future__ import annotations

import math
from collections.abc import Iterable

GAS_CONSTANT = 8.314  # J/(mol·K)
ZERO_C_IN_K = 273.15


def rate(temperature_c: float, reference_c: float, activation_j_mol: float) -> float:
    """Rate of hardening relative to the reference temperature: γ = exp[−(E/R)(1/T − 1/T_ref)]."""
    warmth = 1.0 / (temperature_c + ZERO_C_IN_K) - 1.0 / (reference_c + ZERO_C_IN_K)
    return math.exp(-activation_j_mol / GAS_CONSTANT * warmth)


def equivalent_age(
    intervals: Iterable[tuple[float, float]], reference_c: float, activation_j_mol: float
) -> float:
    """Hours at the reference temperature worth the intervals of (hours, mean °C)."""
    return sum(hours * rate(mean_c, reference_c, activation_j_mol) for hours, mean_c in intervals)


def temperature_time_factor(intervals: Iterable[tuple[float, float]], datum_c: float = 0.0) -> float:
    """Nurse-Saul sum in °C·h of intervals of (hours, mean °C); an interval below the datum earns nothing."""
    return sum(hours * max(mean_c - datum_c, 0.0) for hours, mean_c in intervals)


def activation_from(time_1_s: float, temp_1_c: float, time_2_s: float, temp_2_c: float) -> float:
    """Activation energy in J/mol from one working time met at two temperatures.

    Raises `ValueError` where the two cannot tell: equal temperatures, or a time that is not above zero.
    """
    if temp_1_c == temp_2_c:
        raise ValueError("two different temperatures are needed to tell an activation energy")
    if time_1_s <= 0.0 or time_2_s <= 0.0:
        raise ValueError("both times must be above zero")
    warmth = 1.0 / (temp_1_c + ZERO_C_IN_K) - 1.0 / (temp_2_c + ZERO_C_IN_K)
    return GAS_CONSTANT * math.log(time_1_s / time_2_s) / warmth
