"""Temperature of the fresh mix against published balances.

TEMP-1: identity, derived; it also catches the printed slip of TEMP-9 (TM 5-852-4, equation 16, read). TEMP-2: Concrete
Construction magazine, answer on hot cement (edition not noted), read. TEMP-3 to -5: PCA, Design and Control of Concrete
Mixtures, hot-weather chapter, table (edition not noted), from memory; its sums reproduce. TEMP-10 to -14: ACI 305R-10 and
306R-16, heat balance, form from memory, values derived; 0.22 read in TM 5-852-4.
"""

from __future__ import annotations

import dataclasses

import pytest
from measured_jobs import QT, card, table

from engine.mix.fresh import fresh_c, mix_c, mixture_c, water_needed_c

US_ICE = 144 / 1.8  # melting in Btu/lb, as kelvin of water


def celsius(temp_f: float) -> float:
    return (temp_f - 32.0) / 1.8


def fahrenheit(temp_c: float) -> float:
    return temp_c * 1.8 + 32.0


@pytest.mark.parametrize("temp_c", [-5.0, 0.0, 21.3, 38.0])
def test_parts_of_one_temperature_make_a_mix_of_that_temperature(temp_c: float) -> None:
    """TEMP-1, an identity: catches a water term multiplied by 0.22."""
    assert fresh_c(22.7, temp_c, 4.02, temp_c) == pytest.approx(temp_c, abs=1e-9)


def test_the_hot_cement_example() -> None:
    """TEMP-2: a trade magazine's answer on hot cement (READ): 77.6 °F."""
    parts = [(470, 0.22, celsius(150)), (3300, 0.22, celsius(70)), (260, 1.0, celsius(70))]
    assert fahrenheit(mixture_c(parts)) == pytest.approx(77.6, abs=0.05)


HOT_MIX = ((335.0, 0.92, 66.0), (123.0, 4.184, 27.0), (1839.0, 0.92, 27.0))


def test_the_hot_weather_example_in_si_units() -> None:
    """TEMP-3: PCA Design and Control, hot-weather chapter (from memory, its sums reproduce): 31.8 °C."""
    assert mixture_c(HOT_MIX) == pytest.approx(31.8, abs=0.05)


def test_ice_for_a_third_of_the_water() -> None:
    """TEMP-4: 44 kg of the water as ice, 335 kJ/kg: 23.9 °C; the 0.22 form with 79.6 gives 23.98 (derived)."""
    iced = (HOT_MIX[0], (79.0, 4.184, 27.0), HOT_MIX[2])
    assert mixture_c(iced, 44.0, ice_latent=335.0, water_heat=4.184) == pytest.approx(23.9, abs=0.1)
    plain = [(mass, 1.0 if specific > 4 else 0.22, temp_c) for mass, specific, temp_c in iced]
    assert mixture_c(plain, 44.0) == pytest.approx(23.98, abs=0.005)


@pytest.mark.parametrize(("part", "kelvin"), [(0, 8.2), (1, 4.9), (2, 1.5)])
def test_what_each_part_must_change_for_one_kelvin_of_mix(part: int, kelvin: float) -> None:
    """TEMP-5: the same chapter (from memory): cement 8.2, water 4.9, aggregate 1.5 K."""
    warmer = [(m, c, t + (kelvin if n == part else 0.0)) for n, (m, c, t) in enumerate(HOT_MIX)]
    change = mixture_c(warmer) - mixture_c(HOT_MIX)
    assert kelvin / change == pytest.approx(kelvin, abs=0.05)


@pytest.mark.parametrize("row", table("temp_bag_us.csv"), ids=lambda row: "-".join(row.values()))
def test_one_bag_in_pounds_and_fahrenheit(row: dict[str, str]) -> None:
    bag, water, ice = (float(row[key]) for key in ("bag_lb", "water_lb", "ice_lb"))
    found = fresh_c(bag, celsius(float(row["bag_f"])), water, celsius(float(row["water_f"])), ice, US_ICE)
    assert fahrenheit(found) == pytest.approx(float(row["mix_f"]), abs=0.01)


@pytest.mark.parametrize("row", table("temp_bag_si.csv"), ids=lambda row: "-".join(row.values()))
def test_one_bag_in_kilograms_and_celsius(row: dict[str, str]) -> None:
    found = fresh_c(*(float(row[key]) for key in ("bag_kg", "bag_c", "water_kg", "water_c")))
    assert found == pytest.approx(float(row["mix_c"]), abs=0.01)


def test_the_water_that_brings_a_cold_bag_to_a_target() -> None:
    """TEMP-14, derived: 80 lb at 45 °F with 7.5 lb of water, to 65 °F: 111.9 °F, over any label's limit."""
    needed = water_needed_c(80, celsius(45), 7.5, celsius(65))
    assert fahrenheit(needed) == pytest.approx(111.9, abs=0.1)


@pytest.mark.parametrize("ice_kg", [0.0, 1.0, 3.0])
def test_the_water_needed_gives_the_target_back(ice_kg: float) -> None:
    needed = water_needed_c(22.7, 35.0, 4.0, 18.0, ice_kg)
    assert fresh_c(22.7, 35.0, 4.0, needed, ice_kg) == pytest.approx(18.0, abs=1e-9)


def test_more_ice_than_water_is_refused() -> None:
    with pytest.raises(ValueError, match="part of the 4 kg of water"):
        fresh_c(22.7, 35.0, 4.0, 20.0, 4.5)
    with pytest.raises(ValueError, match="no water is left"):
        water_needed_c(22.7, 35.0, 4.0, 18.0, 4.0)


def test_a_card_mixes_one_bag_with_its_target_water() -> None:
    """Worked by hand: 50 lb at 58 °F, 4.25 qt (8.867 lb at 1 kg/L) at 70 °F: 63.36 °F, whatever the bag's size."""
    found = mix_c(card(), celsius(58), celsius(70), 0.0)
    assert fahrenheit(found) == pytest.approx(63.36, abs=0.01)
    water = dataclasses.replace(card().water, target_l=8.5 * QT)
    double = dataclasses.replace(card(bag_lb=100), water=water)
    assert mix_c(double, celsius(58), celsius(70), 0.0) == pytest.approx(found, abs=1e-9)
