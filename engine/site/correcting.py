"""What a thermometer on the surface says of the column below it.

A column is off mostly because its mix or its base was warmer or colder at the tip than believed. Conduction is linear:
a start that is off by a kelvin leaves a shape in the column that spreads and cools as the column itself does. The
difference found on the surface is laid to the two shapes by how far off each start may be (least squares, the gain of
an exact reading), so that soon after the tip most of it goes to the mix, later more to the base, and the mean over the
patch moves with what lies below and not only with its skin. Every reading is taken as the first: two a few minutes
apart cannot tell mix from base any better. What heat has not yet carried up cannot be read: 45 mm of patch hide the
slab for five minutes and more.

What sun or wind did to the skin alone is not told apart from it: a reading of sun, wind and air says that.
"""

from __future__ import annotations

from collections.abc import Sequence

from engine.site.column import Grid, Surface, advance, top_cell_c


class Doubt:
    """How far the cells of a column may be off, step by step beside it: one shape for its mix and one for its base."""

    def __init__(self, cells: Grid, mix_off_k: float, base_off_k: float) -> None:
        self._cells = cells
        self._shapes = [cells.start(mix_off_k, 0.0), cells.start(0.0, base_off_k)]

    def advance(self, surface: Surface, top_c: float, step_s: float) -> None:
        """A step on, under the film and the drying that the column meets with its top cell at `top_c`."""
        _, drying = surface.drying(top_c)
        loss = Surface(0.0, surface.film_w_m2k + drying, 0.0, 0.0, 0.0)
        self._shapes = [advance(self._cells, shape, loss, 0.0, step_s) for shape in self._shapes]

    def corrected(self, temps_c: Sequence[float], surface: Surface, surface_c: float) -> list[float]:
        """Cell temperatures that put the surface at what was read, in °C."""
        off_k = top_cell_c(self._cells, surface, surface_c) - temps_c[0]
        whole = sum(shape[0] ** 2 for shape in self._shapes)
        weights = [off_k * shape[0] / whole for shape in self._shapes]
        return [
            temp_c + sum(weight * off for weight, off in zip(weights, offs, strict=True))
            for temp_c, offs in zip(temps_c, zip(*self._shapes, strict=True), strict=True)
        ]
