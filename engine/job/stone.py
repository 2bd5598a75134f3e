"""Small stone added to a bag to stretch it, where its label allows that: what it yields, and the water that is left to add."""

from __future__ import annotations

from dataclasses import dataclass

from engine.job.model import Practice
from engine.mix.card import MixCard
from engine.mix.fresh import WATER_KG_L

KG_M3 = 1000.0 * WATER_KG_L


@dataclass(frozen=True)
class Stretched:
    """One bag with its stone. `share` is the stone by weight of the bag; water low, target and high to add, in litres."""

    yield_m3: float
    share: float
    water_l: tuple[float, float, float]


def solid_m3(stone_kg: float, practice: Practice) -> float:
    """Volume of the stone itself, without the gaps of the heap: that much a mix grows by."""
    return stone_kg / (practice["buying.stone_gravity"] * KG_M3)


def stretched(card: MixCard, stone_kg: float, practice: Practice, damp: float = 0.0) -> Stretched:
    """A bag stretched by a weight of dry stone that carries `damp` of it as free water, 0 to 1.

    Raises `ValueError` for less than no stone, dampness out of range, or stone wetter than the label's least water.
    """
    if stone_kg < 0.0 or not 0.0 <= damp <= 1.0:
        raise ValueError("stone is a weight from nothing up, and its free water a share of that, 0 to 100 %")
    carried_l = stone_kg * damp / WATER_KG_L
    if carried_l > card.water.low_l:
        raise ValueError(
            f"the stone alone carries {carried_l:.2f} L, more than the least water of {card.name}"
        )
    water = card.water
    return Stretched(
        yield_m3=card.bag.yield_m3 + solid_m3(stone_kg, practice),
        share=stone_kg / card.bag.mass_kg,
        water_l=(water.low_l - carried_l, water.target_l - carried_l, water.high_l - carried_l),
    )
