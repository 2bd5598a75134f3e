"""Temperature of the fresh mix from what goes into the vessel: the heat balance of ACI 305R and 306R."""

from __future__ import annotations

from collections.abc import Iterable

from engine.mix.card import MixCard

SOLIDS_HEAT = 0.22  # specific heat of dry mix against water's 1
ICE_LATENT = 79.6  # kelvin of the same mass of water that melting takes
WATER_KG_L = 1.0


def mixture_c(
    parts: Iterable[tuple[float, float, float]],
    ice_kg: float = 0.0,
    ice_latent: float = ICE_LATENT,
    water_heat: float = 1.0,
) -> float:
    """Temperature in °C of parts of (mass, specific heat, °C) and ice that all melts, itself at 0 °C.

    Any units of mass and of specific heat, the same throughout; `ice_latent` in specific heat times kelvin.
    """
    held = [(mass * specific, temp_c) for mass, specific, temp_c in parts]
    capacity = sum(heat for heat, _ in held) + ice_kg * water_heat
    return (sum(heat * temp_c for heat, temp_c in held) - ice_kg * ice_latent) / capacity


def fresh_c(
    bag_kg: float,
    bag_c: float,
    water_kg: float,
    water_c: float,
    ice_kg: float = 0.0,
    ice_latent: float = ICE_LATENT,
) -> float:
    """Temperature in °C of a bag mixed with its water; ice is part of the water by mass.

    Raises `ValueError` where there is more ice than water.
    """
    parts = ((bag_kg, SOLIDS_HEAT, bag_c), (_liquid_kg(water_kg, ice_kg), 1.0, water_c))
    return mixture_c(parts, ice_kg, ice_latent)


def water_needed_c(
    bag_kg: float,
    bag_c: float,
    water_kg: float,
    target_c: float,
    ice_kg: float = 0.0,
    ice_latent: float = ICE_LATENT,
) -> float:
    """Water temperature in °C that brings the mix to a target; it may lie outside what a label allows.

    Raises `ValueError` where all the water, or more, is ice.
    """
    liquid_kg = _liquid_kg(water_kg, ice_kg)
    if liquid_kg == 0.0:
        raise ValueError("all the water is ice: no water is left to warm or cool")
    wanted = SOLIDS_HEAT * bag_kg * (target_c - bag_c) + ice_kg * (target_c + ice_latent)
    return target_c + wanted / liquid_kg


def mix_c(card: MixCard, bags_c: float, water_c: float, ice_kg: float) -> float:
    """Temperature in °C of one bag of the card at its target water; `ice_kg` per bag, in the water.

    With more ice than can melt the mix stays at freezing, the rest of the ice in it. Raises `ValueError` where there
    is more ice than the target water.
    """
    melted_c = fresh_c(card.bag.mass_kg, bags_c, card.water.target_l * WATER_KG_L, water_c, ice_kg)
    return max(melted_c, min(0.0, bags_c)) if ice_kg > 0.0 else melted_c


def _liquid_kg(water_kg: float, ice_kg: float) -> float:
    if not 0.0 <= ice_kg <= water_kg:
        raise ValueError(f"{ice_kg:g} kg of ice: ice is part of the {water_kg:g} kg of water")
    return water_kg - ice_kg
