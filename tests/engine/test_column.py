"""Conduction in patch and base against closed forms, identities and balances.

HEAT-3: encyclopaedia and textbook on thermal contact, formula, read. HEAT-8: ASHRAE 1989 rough surface, in a building-energy
reference, read. HEAT-16 to -19: closed form by images and fine differences, derived. EVAP-14, -23: derived from ACI 305R-10.
"""

from __future__ import annotations

import dataclasses
import math

import pytest
from fine_column import PRACTICE, weather
from measured_jobs import table

from engine.job.model import Practice
from engine.site.column import Heat, Surface, advance, grid, heat_from, surface_in

TABLED = Heat(1.8, 1.8 / 0.85e-6 / 1000.0, 1000.0, 0.6, 0.0, 0.0, 0.0, 0.0)  # of HEAT-16 to HEAT-18
INSULATED = Surface(0.0, 0.0, 0.0, 0.0, 0.0)


def after(
    seconds: float,
    patch_c: float,
    base_c: float,
    depth_m: float,
    surface: Surface,
    heat: Heat = TABLED,
    source_k_s: float = 0.0,
) -> list[float]:
    """Cells after a time, by steps that grow as the engine's do."""
    cells = grid(depth_m, heat)
    temps_c, at, step_s = cells.start(patch_c, base_c), 0.0, 0.5
    while at < seconds:
        step_s = min(step_s, seconds - at)
        temps_c = advance(cells, temps_c, surface, source_k_s * step_s, step_s)
        at, step_s = at + step_s, step_s * 1.25
    return temps_c


def mean_after(seconds: float, patch_c: float, base_c: float, depth_m: float, surface: Surface) -> float:
    return grid(depth_m, TABLED).patch_c(after(seconds, patch_c, base_c, depth_m, surface))


def closed_form(depth_m: float, seconds: float) -> float:
    spread = math.sqrt(0.85e-6 * seconds)
    lost = spread / (depth_m * math.sqrt(math.pi)) * (1.0 - math.exp(-((depth_m / spread) ** 2)))
    return math.erf(depth_m / spread) - lost


@pytest.mark.parametrize("row", table("heat_excess.csv"), ids=lambda row: "-".join(list(row.values())[:3]))
def test_the_excess_left_in_a_patch_is_that_of_the_closed_form(row: dict[str, str]) -> None:
    depth_m, seconds = float(row["depth_mm"]) / 1000.0, float(row["minutes"]) * 60.0
    surface = dataclasses.replace(INSULATED, film_w_m2k=float(row["film"]))
    found = mean_after(seconds, 1.0, 0.0, depth_m, surface)
    assert found == pytest.approx(float(row["share"]), abs=float(row["tolerance"]))


@pytest.mark.parametrize("row", table("heat_slab.csv"), ids=lambda row: "-".join(row.values()))
def test_a_cold_slab_cools_the_patch(row: dict[str, str]) -> None:
    found = mean_after(float(row["minutes"]) * 60.0, 20.0, 5.0, float(row["depth_mm"]) / 1000.0, INSULATED)
    assert found == pytest.approx(float(row["patch_c"]), abs=0.1)


@pytest.mark.parametrize("depth_mm", [12, 25, 40, 75, 150])
@pytest.mark.parametrize("seconds", [20.0, 90.0, 300.0, 1800.0, 7200.0])
def test_thin_and_thick_patches_keep_to_the_closed_form(depth_mm: float, seconds: float) -> None:
    """The form of HEAT-16 itself, twice as close as its table; a base of 600 mm still counts as endless."""
    found = mean_after(seconds, 1.0, 0.0, depth_mm / 1000.0, INSULATED)
    assert found == pytest.approx(closed_form(depth_mm / 1000.0, seconds), abs=0.0008)


def test_at_first_all_the_excess_is_there_and_at_last_none() -> None:
    """HEAT-19: limits in time; the base is not endless, so its share of the heat stays."""
    assert mean_after(0.001, 1.0, 0.0, 0.05, INSULATED) == pytest.approx(1.0, abs=0.002)
    assert mean_after(60 * 86400.0, 1.0, 0.0, 0.05, INSULATED) == pytest.approx(0.05 / 0.65, abs=0.002)
    assert mean_after(60 * 86400.0, 1.0, 0.0, 0.05, dataclasses.replace(INSULATED, film_w_m2k=20.0)) < 1e-4


def test_a_deeper_patch_stays_warmer_and_a_hot_slab_mirrors_a_cold_one() -> None:
    """HEAT-19: signs."""
    for seconds in (60.0, 600.0, 3600.0):
        left = [mean_after(seconds, 20.0, 5.0, depth, INSULATED) for depth in (0.02, 0.04, 0.05, 0.075, 0.1)]
        assert left == sorted(left)
        assert left[1] < left[2] < left[3]
        warmed = mean_after(seconds, 20.0, 35.0, 0.05, INSULATED)
        assert warmed - 20.0 == pytest.approx(20.0 - left[2], abs=1e-9)


def test_the_bond_line_is_at_the_mean_at_once() -> None:
    """HEAT-3, READ: two bodies of one material meet at the arithmetic mean of their temperatures."""
    cells = grid(0.05, TABLED)
    for seconds in (3.0, 30.0, 300.0):
        temps_c = after(seconds, 30.0, 10.0, 0.05, INSULATED)
        assert (temps_c[cells.patch - 1] + temps_c[cells.patch]) / 2.0 == pytest.approx(20.0, abs=0.1)


def test_an_insulated_column_keeps_its_heat_and_its_own_heat_adds_to_it() -> None:
    cells = grid(0.05, TABLED)
    start = cells.start(20.0, 5.0)
    temps_c = after(3600.0, 20.0, 5.0, 0.05, INSULATED, source_k_s=0.005)

    def held(temps: list[float]) -> float:
        return sum(size * temp for size, temp in zip(cells.sizes_m, temps, strict=True))

    assert held(temps_c) - held(start) == pytest.approx(0.05 * 0.005 * 3600.0, rel=1e-9)


def test_the_cells_fill_patch_and_base_exactly() -> None:
    for depth_m in (0.006, 0.0127, 0.0445, 0.1, 0.3):
        cells = grid(depth_m, PRACTICE)
        assert sum(cells.sizes_m[: cells.patch]) == pytest.approx(depth_m, rel=1e-12)
        assert sum(cells.sizes_m) == pytest.approx(depth_m + 0.6, rel=1e-12)
        assert sum(cells.shares) == pytest.approx(1.0, rel=1e-12)


def test_in_sun_a_covered_patch_settles_where_film_and_sun_balance() -> None:
    """At rest nothing flows inside: air + sun / film, here 20 + 520 / (10.79 + 4.192 · 2) °C."""
    surface = surface_in(weather(68, 0.3, 2 / 0.44704, sun=True), True, PRACTICE)
    settled = after(90 * 86400.0, 15.0, 10.0, 0.05, surface, PRACTICE)
    assert settled[0] == pytest.approx(20.0 + 520.0 / (10.79 + 4.192 * 2.0), abs=0.01)


def test_the_film_is_the_published_one() -> None:
    """HEAT-8: ASHRAE 1989 rough surface, radiation included, in a building-energy reference (READ)."""
    for wind_ms, expected in ((0, 10.79), (1, 14.98), (2, 19.17), (3, 23.37), (5, 31.75)):
        surface = surface_in(weather(68, 0.3, wind_ms / 0.44704), False, PRACTICE)
        assert surface.film_w_m2k == pytest.approx(expected, abs=0.005)


def test_evaporation_takes_heat_until_the_patch_is_covered() -> None:
    """EVAP-23, derived: 1.0 kg/(m²·h) takes 681 W/m²."""
    airy = weather(50, 0.4, 25 / 1.609344)
    bare, covered = (surface_in(airy, cover, PRACTICE) for cover in (False, True))
    assert bare.drying(25.0)[0] == pytest.approx(1.4788 * 2.45e6 / 3600.0, rel=0.001)  # EVAP-6
    assert covered.drying(25.0) == (0.0, 0.0)
    open_c, kept_c = (after(600.0, 25.0, 20.0, 0.04, surface, PRACTICE) for surface in (bare, covered))
    assert grid(0.04, PRACTICE).patch_c(open_c) < grid(0.04, PRACTICE).patch_c(kept_c) - 1.0


def test_dew_neither_warms_nor_cools() -> None:
    """EVAP-14: a surface colder than the dew point gives and takes no latent heat."""
    damp = surface_in(weather(77, 0.9, 10), False, PRACTICE)
    assert damp.drying(10.0) == (0.0, 0.0)


def test_long_steps_stay_calm() -> None:
    """An hour in one step on a stiff grid: between the warmest and the coldest there is."""
    cells = grid(0.05, PRACTICE)
    surface = surface_in(weather(30, 0.9, 20), True, PRACTICE)
    temps_c = advance(cells, cells.start(30.0, 5.0), surface, 0.0, 3600.0)
    assert all(-10.0 < temp_c < 30.5 for temp_c in temps_c)


def test_the_constants_come_from_practice_under_their_keys() -> None:
    names = (
        "conductivity",
        "density",
        "specific_heat",
        "base_depth",
        "film_still",
        "film_wind",
        "sun",
        "latent",
    )
    values = Practice(tuple((f"heat.{name}", float(n)) for n, name in enumerate(names, 1)))
    assert heat_from(values) == Heat(1.0, 2.0, 3.0, 4.0, 5.0, 6.0, 7.0, 8.0)
    with pytest.raises(KeyError):
        heat_from(Practice(values.values[:-1]))
