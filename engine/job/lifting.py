"""How heavy a bag is for one pair of hands: the revised NIOSH lifting equation, metric form.

NIOSH 94-110, revised 2021: RWL = LC · HM · VM · DM · AM · FM · CM; lifting index = load / RWL.
"""

from __future__ import annotations

from dataclasses import dataclass

from engine.mix.card import MixCard

LOAD_CONSTANT_KG = 23.0
NEAREST_M, FARTHEST_M = 0.25, 0.63  # of the hands in front of the ankles
HIGHEST_M = 1.75
KNUCKLE_M = 0.75  # height of the hands at which lifting costs least
SHORTEST_M, LONGEST_M = 0.25, 1.75  # travel of the hands
MOST_TURN_DEG = 135.0
WATER_KG_L = 1.0


@dataclass(frozen=True)
class Lift:
    """One lift; metres and degrees. `frequency` and `coupling` are the multipliers of the manual's tables."""

    reach_m: float
    height_m: float
    travel_m: float
    turn_deg: float = 0.0
    frequency: float = 1.0
    coupling: float = 1.0


def multipliers(lift: Lift) -> dict[str, float]:
    """The six multipliers by their names in the manual; 0 where a lift is beyond the equation's reach."""
    reach, travel = max(lift.reach_m, NEAREST_M), max(lift.travel_m, SHORTEST_M)
    height_ok = 0 <= lift.height_m <= HIGHEST_M
    return {
        "HM": NEAREST_M / reach if reach <= FARTHEST_M else 0.0,
        "VM": 1 - 0.3 * abs(lift.height_m - KNUCKLE_M) if height_ok else 0.0,
        "DM": 0.82 + 0.045 / travel if travel <= LONGEST_M else 0.0,
        "AM": 1 - 0.0032 * lift.turn_deg if lift.turn_deg <= MOST_TURN_DEG else 0.0,
        "FM": lift.frequency,
        "CM": lift.coupling,
    }


def recommended_kg(lift: Lift) -> float:
    """Recommended weight limit (RWL) for one person."""
    limit_kg = LOAD_CONSTANT_KG
    for multiplier in multipliers(lift).values():
        limit_kg *= multiplier
    return limit_kg


def lifting_index(load_kg: float, lift: Lift) -> float:
    """Load over the recommended limit; above 1 some backs are overtaxed. Infinite out of reach."""
    limit_kg = recommended_kg(lift)
    return load_kg / limit_kg if limit_kg > 0 else float("inf")


FROM_THE_FLOOR = Lift(0.30, 0.15, 0.75, frequency=0.94, coupling=0.90)  # one a minute, a bag without handles
AT_THE_WAIST = Lift(0.25, 0.75, 0.25)  # the best there is: from a table, close to the body


def bucket_kg(card: MixCard, vessel_kg: float, bags: float = 1.0) -> float:
    """What a mixed vessel weighs: bags, water at the label's target, and the vessel itself."""
    return bags * (card.bag.mass_kg + card.water.target_l * WATER_KG_L) + vessel_kg
