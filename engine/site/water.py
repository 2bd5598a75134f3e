"""What water a wanted mix temperature asks for: warmer water up to a cap, colder water, or ice in it.

Caps are practice values, and the label goes first. `temperature.water_most`: a dry bag cannot be given to hot water in
another order, so hot water may set it at once. `temperature.ice_most`: the share of the water up to which the balance holds.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from engine.mix.card import MixCard
from engine.mix.fresh import ICE_LATENT, SOLIDS_HEAT, WATER_KG_L, mix_c, water_needed_c
from engine.site.column import Numbers
from engine.units import System, show_mass, show_temperature
from engine.words import Say, say

Word = Literal["water", "ice", "too hot", "too much ice"]
GRAIN_K = 1e-6
MELTS_C = 1.0  # a mix so near freezing does not melt its ice while it is mixed


@dataclass(frozen=True)
class WaterPlan:
    """What to put in. `water` and `ice` reach the wanted temperature; the others stop at a cap, at `mix_c`.

    Temperatures in °C; `ice_kg` per bag is part of the bag's water; `needed_c` is what water alone would have to be.
    """

    word: Word
    water_c: float
    ice_kg: float
    mix_c: float
    needed_c: float


def water_for(target_c: float, card: MixCard, bags_c: float, tap_c: float, values: Numbers) -> WaterPlan:
    """Water that brings a bag mixed at its target water to a temperature; `tap_c` is the water at hand."""
    needed_c = water_needed_c(card.bag.mass_kg, bags_c, _water_kg(card), target_c)
    hottest_c = values["temperature.water_most"]
    if needed_c > hottest_c:
        return WaterPlan("too hot", hottest_c, 0.0, mix_c(card, bags_c, hottest_c, 0.0), needed_c)
    if needed_c < 0.0:
        return _iced(target_c, card, bags_c, max(tap_c, 0.0), needed_c, values)
    return WaterPlan("water", needed_c, 0.0, target_c, needed_c)


def _iced(
    target_c: float, card: MixCard, bags_c: float, tap_c: float, needed_c: float, values: Numbers
) -> WaterPlan:
    most_kg = values["temperature.ice_most"] * _water_kg(card)
    ice_kg = ice_needed_kg(target_c, card, bags_c, tap_c)
    if ice_kg > most_kg or target_c <= MELTS_C:
        return WaterPlan("too much ice", tap_c, most_kg, mix_c(card, bags_c, tap_c, most_kg), needed_c)
    return WaterPlan("ice", tap_c, ice_kg, target_c, needed_c)


def ice_needed_kg(target_c: float, card: MixCard, bags_c: float, water_c: float) -> float:
    """Ice per bag, taking the place of as much water, that brings the mix down to a temperature; 0 where none is needed.

    It may come out at more than the water there is.
    """
    solids = SOLIDS_HEAT * card.bag.mass_kg
    surplus = solids * (bags_c - target_c) + _water_kg(card) * (water_c - target_c)
    return max(surplus / (ICE_LATENT + water_c), 0.0)


def _water_kg(card: MixCard) -> float:
    return card.water.target_l * WATER_KG_L


def watched(
    card: MixCard, water_c: float, ice_kg: float, mix_at_c: float, values: Numbers
) -> tuple[Say, ...]:
    """What is wrong with the water of a bag as it stands: too hot, too much ice, ice that does not melt."""
    found = []
    if water_c > values["temperature.water_most"] + GRAIN_K:
        found.append(say("material.hot_water"))
    if ice_kg > 0.0 and mix_at_c <= MELTS_C:
        found.append(say("material.ice_left"))
    elif ice_kg > values["temperature.ice_most"] * _water_kg(card) * (1 + GRAIN_K):
        found.append(say("material.too_much_ice"))
    return tuple(found)


def said(plan: WaterPlan, system: System) -> Say:
    """The plan in words."""
    return say(
        f"water.{plan.word.replace(' ', '_')}",
        water=show_temperature(plan.water_c, system),
        ice=show_mass(plan.ice_kg, system),
        mix=show_temperature(plan.mix_c, system),
        needed=show_temperature(plan.needed_c, system),
    )
