"""Curing compound sprayed on in place of wet cure, where a label allows it: how much, whether again, and who stays off.

Figures are of portland cement practice, under `cure.`; compound seals what is there and gives back nothing.
"""

from __future__ import annotations

from engine.site.column import Numbers
from engine.site.drying import Drying


def compound_l(area_m2: float, values: Numbers) -> float:
    """Litres for an area, both coats together, at the least."""
    return area_m2 * values["cure.compound"]


def spray_again(sprayed_at: float, rain_at: float, values: Numbers) -> bool:
    """Whether rain at a time spoils what was sprayed at another."""
    return sprayed_at <= rain_at < sprayed_at + values["cure.compound_rain"]


def feet_from(sprayed_at: float, values: Numbers) -> float:
    """When compound may be walked on; the pour itself may open later still."""
    return sprayed_at + values["cure.compound_feet"]


def enough_alone(dries: Drying) -> bool:
    """Whether compound may do without fog, shade or a sheet: not where a surface dries very fast."""
    return dries.band != "very fast"
