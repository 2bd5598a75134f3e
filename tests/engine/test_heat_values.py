"""Published heat problems put to the column: thin bodies, a deep one, sun and drying, the film.

HEAT-1: Çengel, Heat Transfer, example 4-1; HEAT-2: Incropera and DeWitt, example 5.1; both in textbook companions, edition not
noted, reproduction. HEAT-5: Çengel, from memory. HEAT-12: ASHRAE Fundamentals, surface conductances, from memory. HEAT-13:
civil-engineering reference page, reproduction; ACI 207.1R and 207.2R, from memory. HEAT-15, HOT-3, EVAP-23: derived.
"""

from __future__ import annotations

import dataclasses
import math

import pytest
from fine_column import PRACTICE
from measured_jobs import table
from site_days import DAY, HOUR, SHIPPED, still

from engine.site.column import Heat, Surface, advance, grid, heat_from, surface_in
from engine.site.humid import evaporation


def excess_after(row: dict[str, str], seconds: float) -> float:
    """Share of the excess left in a plate as thick as a sixth of the diameter: half of it patch, half base."""
    value = {name: float(row[name]) for name in ("conductivity", "density", "specific_heat", "film")}
    half_m = float(row["diameter_mm"]) / 6000.0 / 2.0
    solid = (value["conductivity"], value["density"], value["specific_heat"])
    cells = grid(half_m, Heat(*solid, half_m, value["film"], 0.0, 0.0, 0.0))
    surface = Surface(0.0, value["film"], 0.0, 0.0, 0.0)
    temps_c, steps = cells.start(1.0, 1.0), 400
    for _ in range(steps):
        temps_c = advance(cells, temps_c, surface, 0.0, seconds / steps)
    return sum(size * temp_c for size, temp_c in zip(cells.sizes_m, temps_c, strict=True)) / (2 * half_m)


@pytest.mark.parametrize("row", table("heat_lumps.csv"), ids=lambda row: row["id"])
def test_a_thin_body_cools_as_the_textbook_says(row: dict[str, str]) -> None:
    seconds, tolerance_s = float(row["seconds"]), float(row["tolerance_s"])
    left = float(row["share_left"])
    assert excess_after(row, seconds - tolerance_s) > left > excess_after(row, seconds + tolerance_s)


def test_frost_goes_as_deep_as_the_textbook_says() -> None:
    """HEAT-5, Çengel, from memory (MEM-H): −10 °C on ground at 15 °C, α 0.15e-6 m²/s, 90 days: 0 °C at 0.80 m."""
    ground = Heat(1.0, 1.0 / 0.15e-6 / 1000.0, 1000.0, 8.0, 0.0, 0.0, 0.0, 0.0)
    cells = grid(0.80, ground)
    surface = Surface(-10.0, 1e5, 0.0, 0.0, 0.0)
    temps_c, at, step_s = cells.start(15.0, 15.0), 0.0, 60.0
    while at < 90 * DAY:
        step_s = min(step_s * 1.2, DAY / 4, 90 * DAY - at)
        temps_c, at = advance(cells, temps_c, surface, 0.0, step_s), at + step_s
    above, below = temps_c[cells.patch - 1], temps_c[cells.patch]  # both next to 0.80 m
    assert (above + below) / 2.0 == pytest.approx(0.0, abs=0.25)  # 0.01 m is 0.16 K there
    assert below > above


def test_the_shipped_concrete_lies_in_the_range_of_ordinary_concrete() -> None:
    """HEAT-13, READ-2: 0.56 to 1.67 mm²/s, by stone 0.83 to 1.50 (ACI 207, from memory)."""
    heat = heat_from(SHIPPED)
    diffusivity = heat.conductivity / (heat.density * heat.specific_heat) * 1e6
    assert 0.56 <= diffusivity <= 1.67


def test_the_shipped_film_is_near_the_tabled_one_at_fifteen_miles_an_hour() -> None:
    """HEAT-12, from memory (MEM-H): 34.0 W/(m²·K) at 6.7 m/s (ASHRAE Fundamentals); the film used is 14 % over."""
    film = surface_in(still(20.0, 0.5, 6.7), True, heat_from(SHIPPED)).film_w_m2k
    assert film == pytest.approx(38.9, abs=0.05)
    assert film / 34.0 == pytest.approx(1.14, abs=0.01)


@pytest.mark.parametrize(("fresh_c", "slab_c", "contact_c"), [(20.0, 5.0, 12.9), (30.0, 50.0, 39.5)])
def test_the_bond_line_is_near_the_contact_of_two_materials(
    fresh_c: float, slab_c: float, contact_c: float
) -> None:
    """HEAT-15, derived: effusivities 2134 and 1927; the column has one material and lies within half a kelvin of it."""
    contact = (2134 * fresh_c + 1927 * slab_c) / (2134 + 1927)
    assert contact == pytest.approx(contact_c, abs=0.1)
    cells = grid(0.05, PRACTICE)
    temps_c, sealed = cells.start(fresh_c, slab_c), Surface(0.0, 0.0, 0.0, 0.0, 0.0)
    for _ in range(20):
        temps_c = advance(cells, temps_c, sealed, 0.0, 1.0)
    bond_c = (temps_c[cells.patch - 1] + temps_c[cells.patch]) / 2.0
    assert bond_c == pytest.approx(contact, abs=0.55)


def alone(depth_m: float, surface: Surface, seconds: float) -> float:
    """Kelvin an hour of a layer that conducts well, has next to nothing under it and the entry's own ρ·c."""
    heat = dataclasses.replace(PRACTICE, conductivity=5000.0, specific_heat=1100.0, base_depth_m=1e-6)
    cells = grid(depth_m, heat)
    return (
        (cells.patch_c(advance(cells, cells.start(30.0, 30.0), surface, 0.0, seconds)) - 30.0)
        * HOUR
        / seconds
    )


@pytest.mark.parametrize(("depth_mm", "kelvin"), [(40, 18.5), (50, 14.8), (75, 9.9)])
def test_full_sun_alone_warms_a_layer_by_so_much_an_hour(depth_mm: float, kelvin: float) -> None:
    """HOT-3, derived: 0.65 of 800 W/m², 2300 kg/m³, 1100 J/(kg·K)."""
    sun = surface_in(still(30.0, sun=True), True, heat_from(SHIPPED)).sun_w_m2
    assert sun == pytest.approx(0.65 * 800.0)
    surface = Surface(30.0, 0.0, sun, 0.0, 0.0)
    assert alone(depth_mm / 1000.0, surface, 60.0) == pytest.approx(kelvin, rel=0.02)


@pytest.mark.parametrize(("depth_mm", "kelvin"), [(40, 24), (50, 19), (75, 13)])
def test_drying_alone_cools_a_layer_by_so_much_an_hour(depth_mm: float, kelvin: float) -> None:
    """EVAP-23, derived: 1.0 kg/(m²·h) takes 681 W/m²; the weather of 20 km/h that dries just so at 30 °C."""
    humidity = next(h / 1000.0 for h in range(1000) if evaporation(30.0, 30.0, h / 1000.0, 20.0) < 1.0)
    airy = surface_in(still(30.0, humidity, 20.0 / 3.6), False, heat_from(SHIPPED))
    assert airy.drying(30.0)[0] == pytest.approx(681.0, rel=0.02)
    surface = dataclasses.replace(airy, film_w_m2k=0.0)
    assert alone(depth_mm / 1000.0, surface, 1.0) == pytest.approx(-kelvin, rel=0.025)


def test_half_a_degree_an_hour_is_not_lost_in_a_night() -> None:
    """An insulated layer keeps its heat: what goes in is what it gains, over a night of long steps."""
    cells = grid(0.05, PRACTICE)
    temps_c, surface = cells.start(20.0, 20.0), Surface(0.0, 0.0, 10.0, 0.0, 0.0)
    for _ in range(20):
        temps_c = advance(cells, temps_c, surface, 0.0, 1800.0)
    gained = sum(size * (temp_c - 20.0) for size, temp_c in zip(cells.sizes_m, temps_c, strict=True))
    assert math.isclose(gained * 2.3e6, 10.0 * 36000.0, rel_tol=1e-9)
