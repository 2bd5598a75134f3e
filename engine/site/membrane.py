"""Curing compound sprayed on in place of wet cure, where a label allows it: how much, and whether it is enough.

Figures are of portland cement practice, under `cure.`; compound seals what is there and gives back nothing.
"""

from __future__ import annotations

from engine.site.column import Numbers
from engine.site.drying import Drying


def compound_l(area_m2: float, values: Numbers) -> float:
    """Litres for an area, both coats together, at the least."""
    return area_m2 * values["cure.compound"]


def enough_alone(dries: Drying) -> bool:
    """Whether compound may do without fog, shade or a sheet: not where a surface dries very fast."""
    return dries.band != "very fast"
