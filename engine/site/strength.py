"""Compressive strength at a set age, from the ages a card states: straight lines over the logarithm of age.

Strength is nothing at final set, as nothing better is known before the card's first age; past its last age the last
value is kept. These are the label's figures under the clock's temperature, not a test of the work.
"""

from __future__ import annotations

import math
from itertools import pairwise

from engine.mix.card import MixCard
from engine.site.column import Numbers
from engine.site.trajectory import Trajectory

MILESTONES = ("frost.least_strength", "opening.traffic_strength", "frost.repeated_strength")


def strength_pa(card: MixCard, age_s: float) -> float | None:
    """Strength in Pa at a set age in seconds; None where the card states no strengths."""
    points = _points(card)
    if not points:
        return None
    if age_s <= points[0][0]:
        return points[0][1] if age_s == points[0][0] else 0.0
    for (young_s, low), (old_s, high) in pairwise(points):
        if age_s <= old_s:
            return low + (high - low) * math.log(age_s / young_s) / math.log(old_s / young_s)
    return points[-1][1]


def age_of_strength(card: MixCard, wanted_pa: float) -> float | None:
    """The first set age in seconds with a strength; None where the card never states that much."""
    points = _points(card)
    if points and wanted_pa <= points[0][1]:
        return points[0][0]
    for (young_s, low), (old_s, high) in pairwise(points):
        if wanted_pa <= high:
            share = (wanted_pa - low) / (high - low)
            return float(young_s * (old_s / young_s) ** share)
    return None


def _points(card: MixCard) -> tuple[tuple[float, float], ...]:
    """Ages and strengths, from nothing at final set on."""
    stated = tuple(zip(card.strength.age_s, card.strength.value_pa, strict=True))
    final_s = card.setting.final_set_s
    return ((final_s, 0.0), *stated) if stated and final_s < stated[0][0] else stated


def milestones(path: Trajectory, card: MixCard, values: Numbers) -> tuple[tuple[str, float | None], ...]:
    """When a batch has the strengths people ask about, by practice key; None: not within card or reckoned days."""
    return tuple((key, _strong_at(path, card, values[key])) for key in MILESTONES)


def _strong_at(path: Trajectory, card: MixCard, wanted_pa: float) -> float | None:
    age_s = age_of_strength(card, wanted_pa)
    return None if age_s is None else path.time_of(age_s)
