"""Heat in a column of patch on base: one-dimensional conduction with weather on top and insulation far below.

Cells are thin where temperature changes steeply (the surface and the bond line) and grow away from there.
Steps in time are implicit (two-stage, second order, damping), so that a step may be long once things move slowly.
"""

from __future__ import annotations

import functools
import math
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import Protocol

from engine.site.conditions import Weather
from engine.site.humid import saturation_kpa, wind_kg_m2_h_kpa

FIRST_CELL_M = 0.0005
PATCH_GROWTH = 1.25
BASE_GROWTH = 1.5
STAGE = 1.0 - math.sqrt(0.5)  # share of the step in each stage; this one damps and is of second order
CARRY = 1.0 / STAGE - 1.0
KMH = 3.6
R_VALUE_W_M2K = 5.678263  # 1 Btu/(h·ft²·°F), NIST SP 811


@dataclass(frozen=True)
class Heat:
    """Constants of patch and base alike, and of the surface; SI units."""

    conductivity: float  # W/(m·K)
    density: float  # kg/m³
    specific_heat: float  # J/(kg·K)
    base_depth_m: float
    film_still: float  # W/(m²·K), radiation included
    film_wind: float  # W/(m²·K) per m/s
    sun_w_m2: float  # absorbed in sun
    latent_j_kg: float


class Numbers(Protocol):
    """Anything that gives a number for a dotted practice key."""

    def __getitem__(self, key: str, /) -> float: ...


def heat_from(values: Numbers) -> Heat:
    """The constants under the `heat.` keys of the practice values; `KeyError` where one is missing."""
    keys = (
        "conductivity",
        "density",
        "specific_heat",
        "base_depth",
        "film_still",
        "film_wind",
        "sun",
        "latent",
    )
    return Heat(*(values[f"heat.{key}"] for key in keys))


@dataclass(frozen=True)
class Surface:
    """What the top of a column meets while nothing changes."""

    air_c: float
    film_w_m2k: float
    sun_w_m2: float
    vapour_kpa: float
    drying_w_m2_kpa: float  # heat taken per kPa of excess vapour pressure; 0 when covered

    def drying(self, surface_c: float) -> tuple[float, float]:
        """Heat taken by evaporation in W/m² and its rise per kelvin; nothing where dew would form."""
        excess_kpa = saturation_kpa(surface_c) - self.vapour_kpa
        if self.drying_w_m2_kpa == 0.0 or excess_kpa <= 0.0:
            return 0.0, 0.0
        slope = (saturation_kpa(surface_c + 0.1) - self.vapour_kpa - excess_kpa) / 0.1
        return self.drying_w_m2_kpa * excess_kpa, self.drying_w_m2_kpa * slope


def blanket_from(values: Numbers) -> float:
    """Resistance of an insulating blanket in m²·K/W; the practice value is a US R-value."""
    return values["heat.blanket_r"] / R_VALUE_W_M2K


def surface_in(weather: Weather, covered: bool, heat: Heat, blanket_m2k_w: float = 0.0) -> Surface:
    """The surface of a patch in a weather; a covered one gives off no water.

    A blanket (resistance in m²·K/W) lies between patch and film, and takes the sun on its outside.
    """
    dry = covered or blanket_m2k_w > 0.0
    film = heat.film_still + heat.film_wind * weather.wind_ms
    passed = 1.0 / (1.0 + film * blanket_m2k_w)
    drying = 0.0 if dry else heat.latent_j_kg / 3600.0 * wind_kg_m2_h_kpa(weather.wind_ms * KMH)
    return Surface(
        weather.air_c,
        film * passed,
        heat.sun_w_m2 * passed if weather.sun else 0.0,
        weather.humidity * saturation_kpa(weather.air_c),
        drying,
    )


@dataclass(frozen=True, eq=False)
class Grid:
    """Cells from the surface down; the first `patch` of them are the patch. Compared by identity."""

    sizes_m: tuple[float, ...]
    patch: int
    up: tuple[float, ...]  # exchange of each cell with the one above, 1/s; 0 for the top
    down: tuple[float, ...]  # and with the one below; 0 for the last
    top_w_m2k: float  # from the top cell's middle to the surface
    top_j_m2k: float  # heat held by the top cell
    shares: tuple[float, ...]  # of the patch depth

    def start(self, patch_c: float, base_c: float) -> list[float]:
        """Cells of a patch just tipped on its base."""
        return [patch_c] * self.patch + [base_c] * (len(self.sizes_m) - self.patch)

    def patch_c(self, cells_c: Sequence[float]) -> float:
        """Mean temperature over the patch depth."""
        return sum(share * cell_c for share, cell_c in zip(self.shares, cells_c, strict=False))


@functools.lru_cache(maxsize=64)
def grid(depth_m: float, heat: Heat) -> Grid:
    """The cells of a patch of a depth on its base."""
    half = _growing(depth_m / 2.0, PATCH_GROWTH)
    patch = [*half, *reversed(half)]
    sizes = [*patch, *_growing(heat.base_depth_m, BASE_GROWTH)]
    held = [heat.density * heat.specific_heat * size for size in sizes]
    # Cells that grow by a ratio exchange over the geometric mean of their sizes: far closer than between middles.
    between = [heat.conductivity / math.sqrt(a * b) for a, b in pairwise(sizes)]
    return Grid(
        sizes_m=tuple(sizes),
        patch=len(patch),
        up=(0.0, *(w / c for w, c in zip(between, held[1:], strict=True))),
        down=(*(w / c for w, c in zip(between, held, strict=False)), 0.0),
        top_w_m2k=2.0 * heat.conductivity / sizes[0],
        top_j_m2k=held[0],
        shares=tuple(size / depth_m for size in patch),
    )


def _growing(length_m: float, growth: float) -> list[float]:
    """Sizes that grow from about the first cell's and fill the length exactly."""
    wanted = 1.0 + length_m * (growth - 1.0) / FIRST_CELL_M
    count = max(2, math.ceil(math.log(wanted) / math.log(growth)))
    sizes = [growth**n for n in range(count)]
    return [size * length_m / sum(sizes) for size in sizes]


@dataclass(frozen=True)
class Sweep:
    """What a step of one length needs of a grid, worked out once: elimination from the bottom to the top."""

    scales: tuple[float, ...]  # bottom first, without the top cell
    lifts: tuple[float, ...]
    drops: tuple[float, ...]  # top first, without the top cell
    top_down: float
    top_diagonal: float


@functools.lru_cache(maxsize=512)
def _sweep(cells: Grid, step_s: float) -> Sweep:
    part_s = STAGE * step_s
    scales, lifts, drops = [], [], []
    drop = 0.0
    for up, down in zip(reversed(cells.up[1:]), reversed(cells.down[1:]), strict=True):
        scale = 1.0 / (1.0 + part_s * (up + down * (1.0 - drop)))
        drop = part_s * up * scale
        scales.append(scale)
        lifts.append(part_s * down * scale)
        drops.append(drop)
    top_down = part_s * cells.down[0]
    return Sweep(tuple(scales), tuple(lifts), tuple(reversed(drops)), top_down, 1.0 + top_down * (1.0 - drop))


def advance(
    cells: Grid, temps_c: Sequence[float], surface: Surface, source_k: float, step_s: float
) -> list[float]:
    """Cell temperatures one step on; `source_k` is what the patch's own heat would warm it in that step."""
    sweep = _sweep(cells, step_s)
    gain, loss = _top(cells, temps_c[0], surface)
    part_s = STAGE * step_s
    diagonal = sweep.top_diagonal + part_s * loss
    fed = [temp_c + STAGE * source_k for temp_c in temps_c[: cells.patch]]
    first = _solve(sweep, [*fed, *temps_c[cells.patch :]], part_s * gain, diagonal)
    carried = [old + CARRY * (new - old) for old, new in zip(temps_c, first, strict=True)]
    for n in range(cells.patch):
        carried[n] += STAGE * source_k
    return _solve(sweep, carried, part_s * gain, diagonal)


def _top(cells: Grid, top_c: float, surface: Surface) -> tuple[float, float]:
    """What the surface gives the top cell in K/s, and takes per kelvin of it; evaporation is made linear."""
    drying, slope = surface.drying(top_c)
    outward = surface.film_w_m2k + slope
    share = cells.top_w_m2k / (cells.top_w_m2k + outward) / cells.top_j_m2k
    inward = surface.sun_w_m2 + surface.film_w_m2k * surface.air_c - drying + slope * top_c
    return share * inward, share * outward


def top_cell_c(cells: Grid, surface: Surface, surface_c: float) -> float:
    """What the top cell is while the surface above it is at a temperature: the heat through both is the same."""
    taken, _ = surface.drying(surface_c)
    outward = surface.film_w_m2k * (surface_c - surface.air_c) + taken - surface.sun_w_m2
    return surface_c + outward / cells.top_w_m2k


def _solve(sweep: Sweep, right: Sequence[float], top_gain: float, top_diagonal: float) -> list[float]:
    """Temperatures of one implicit stage: up through the column, then down again."""
    risen, passed = 0.0, []
    for scale, lift, value in zip(sweep.scales, sweep.lifts, reversed(right), strict=False):
        risen = scale * value + lift * risen
        passed.append(risen)
    temp_c = (right[0] + top_gain + sweep.top_down * risen) / top_diagonal
    temps_c = [temp_c]
    for drop, value in zip(sweep.drops, reversed(passed), strict=True):
        temp_c = value + drop * temp_c
        temps_c.append(temp_c)
    return temps_c
