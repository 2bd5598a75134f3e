"""How soon a mix takes traffic, by the classes that agencies sort repair materials into."""

from __future__ import annotations

from typing import Literal, get_args

from engine.mix.card import MixCard
from engine.site.column import Numbers
from engine.site.strength import age_of_strength

ServiceClass = Literal["ultra rapid", "rapid", "next day", "slow", "slower"]


def service_class(age_s: float, values: Numbers) -> ServiceClass:
    """The class of a material that takes traffic at an age in seconds; an age on a limit is within it."""
    for name in get_args(ServiceClass)[:-1]:
        if age_s <= values[f"opening.{name.replace(' ', '_')}"]:
            found: ServiceClass = name
            return found
    return "slower"


def class_of(card: MixCard, values: Numbers) -> ServiceClass | None:
    """The class of a card by the strength that traffic asks for; None where it never states so much."""
    age_s = age_of_strength(card, values["opening.traffic_strength"])
    return None if age_s is None else service_class(age_s, values)
