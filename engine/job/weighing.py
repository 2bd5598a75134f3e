"""A scale on site: whether a bag weighs what it says, and water weighed in place of measured."""

from __future__ import annotations

from engine.job.limits import ROUNDING, Verdict, Word
from engine.job.model import Practice
from engine.mix.card import MixCard
from engine.mix.fresh import WATER_KG_L

TOLERANCE = "buying.bag_tolerance"


def bag_verdict(read_kg: float, card: MixCard, practice: Practice, accuracy_kg: float = 0.0) -> Verdict:
    """A weighed bag against the mass printed on it, as shares of that; ASTM C928 lets it be 2 % off either way.

    `accuracy_kg`: how far the scale may be off; `cannot tell` where the limit lies within that.
    """
    printed_kg, limit = card.bag.mass_kg, practice[TOLERANCE]
    off = read_kg / printed_kg - 1.0
    return Verdict(_word(off, limit, accuracy_kg / printed_kg), off, limit, TOLERANCE)


def _word(off: float, limit: float, accuracy: float) -> Word:
    past = abs(off) - limit
    if past - accuracy > ROUNDING:
        return "over" if off > 0 else "under"
    return "within" if past + accuracy <= ROUNDING else "cannot tell"


def water_l(weighed_kg: float) -> float:
    """Litres of water of a weight, at a kilogram to the litre."""
    return weighed_kg / WATER_KG_L


def water_kg(card: MixCard, bags: float = 1.0) -> tuple[float, float, float]:
    """What the water of so many bags weighs: the label's least, target and most."""
    water = card.water
    low, target, high = (litres * bags * WATER_KG_L for litres in (water.low_l, water.target_l, water.high_l))
    return low, target, high
