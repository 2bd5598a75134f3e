"""Bonding grout brushed onto a base, where a label asks for it: cement, sand and the most water.

It goes on a dry base and is covered before it dries; most rapid mixes want none, and a damp base instead.
"""

from __future__ import annotations

from dataclasses import dataclass

from engine.job.model import Practice
from engine.mix.fresh import WATER_KG_L


@dataclass(frozen=True)
class Grout:
    """Weight of cement, loose volumes of cement and sand, and the most water, in kilograms and litres."""

    cement_kg: float
    cement_l: float
    sand_l: float
    most_water_l: float


def bonding_grout(cement_kg: float, practice: Practice) -> Grout:
    """The grout of a weight of cement; figures under `grout.`. Raises `ValueError` for less than no cement."""
    if cement_kg < 0.0:
        raise ValueError("grout needs a weight of cement from nothing up")
    cement_l = cement_kg / practice["grout.cement_loose"] * 1000.0
    return Grout(
        cement_kg=cement_kg,
        cement_l=cement_l,
        sand_l=cement_l * practice["grout.sand_parts"],
        most_water_l=cement_kg * practice["grout.most_water"] / WATER_KG_L,
    )
