"""Mixing water for a wanted temperature.

TEMP-6, -15, -16: TM 5-852-4 (edition not noted), cold-weather concrete, read. TEMP-7: CRD-C 307-91, read. TEMP-17: Wasit
Journal of Engineering Sciences, 2017, abstract, read. TEMP-10 to -14 turned round: ACI 305R-10 form from memory, derived.
"""

from __future__ import annotations

import dataclasses

import pytest
from fine_column import celsius, small_stone
from hypothesis import given
from hypothesis import strategies as st
from measured_jobs import LB, table
from site_days import SHIPPED

from engine.mix.card import Bag, MixCard, Water
from engine.mix.fresh import ICE_LATENT, SOLIDS_HEAT, mix_c
from engine.site.water import ice_needed_kg, said, water_for


def card(bag_kg: float, water_kg: float) -> MixCard:
    """A card of these masses; a litre of water is a kilogram."""
    water = Water(water_kg * 0.9, water_kg, water_kg * 1.1)
    return dataclasses.replace(small_stone(), bag=Bag(bag_kg, 0.0122), water=water)


BAG_80 = card(80 * LB, 7.5 * LB)
FOUND = {
    "TEMP-6": SOLIDS_HEAT,
    "TEMP-7": ICE_LATENT * 1.8,  # 1 Btu/(lb·°F) is 1 cal/(g·K)
    "TEMP-15": SHIPPED["temperature.water_most"] * 1.8 + 32.0,
    "TEMP-16": 1.0 / SOLIDS_HEAT,
    "TEMP-17": SHIPPED["temperature.ice_most"],
}


@pytest.mark.parametrize("row", table("temp_rules.csv"), ids=lambda row: row["id"])
def test_constants_and_caps_are_the_published_ones(row: dict[str, str]) -> None:
    assert FOUND[row["id"]] == pytest.approx(float(row["value"]), abs=float(row["tolerance"]))


def test_water_over_the_cap_is_refused_with_what_the_cap_gives() -> None:
    """TEMP-14, derived: a bag at 45 °F wanted at 65 °F asks for water at 111.9 °F; TEMP-10: 100 °F gives 61.43 °F."""
    plan = water_for(celsius(65), BAG_80, celsius(45), celsius(45), SHIPPED)
    assert plan.word == "too hot"
    assert plan.needed_c * 1.8 + 32 == pytest.approx(111.9, abs=0.1)
    assert plan.water_c == pytest.approx(celsius(100))
    assert plan.mix_c * 1.8 + 32 == pytest.approx(61.43, abs=0.01)


@pytest.mark.parametrize(
    ("bag_c", "target_c", "water_c"), [(5.0, 9.0, 20.0), (35.0, 31.0, 20.0), (35.0, 27.0, 5.0)]
)
def test_water_within_the_caps_reaches_the_target(bag_c: float, target_c: float, water_c: float) -> None:
    """TEMP-13 turned round, derived: 25 kg bag with 2 kg of water."""
    plan = water_for(target_c, card(25.0, 2.0), bag_c, 15.0, SHIPPED)
    assert (plan.word, plan.ice_kg) == ("water", 0.0)
    assert plan.water_c == pytest.approx(water_c, abs=0.05)


def test_where_water_would_have_to_be_under_freezing_ice_goes_in() -> None:
    """TEMP-12 turned round, derived: 95 °F bag, 40 °F water, 66.45 °F takes 2.0 of the 7.5 lb as ice."""
    plan = water_for(celsius(66.45), BAG_80, celsius(95), celsius(40), SHIPPED)
    assert plan.word == "ice"
    assert plan.needed_c < 0.0
    assert plan.ice_kg / LB == pytest.approx(2.0, abs=0.02)  # 144 °F there, 143.3 here


def test_more_ice_than_half_the_water_is_refused_with_what_the_half_gives() -> None:
    plan = water_for(celsius(50), BAG_80, celsius(110), celsius(40), SHIPPED)
    assert plan.word == "too much ice"
    assert plan.ice_kg == pytest.approx(0.5 * 7.5 * LB)
    assert plan.mix_c == pytest.approx(mix_c(BAG_80, celsius(110), celsius(40), plan.ice_kg))
    assert plan.mix_c > celsius(50)


@given(st.floats(-5, 45), st.floats(1, 30), st.floats(2, 40))
def test_a_plan_gives_the_mix_it_promises(bag_c: float, tap_c: float, target_c: float) -> None:
    plan = water_for(target_c, BAG_80, bag_c, tap_c, SHIPPED)
    assert mix_c(BAG_80, bag_c, plan.water_c, plan.ice_kg) == pytest.approx(plan.mix_c, abs=1e-9)
    reached = plan.mix_c == pytest.approx(target_c, abs=1e-9)
    assert reached == (plan.word in ("water", "ice"))
    assert 0.0 <= plan.water_c <= SHIPPED["temperature.water_most"]


def test_no_ice_is_needed_for_a_mix_that_is_cold_enough() -> None:
    assert ice_needed_kg(20.0, BAG_80, 10.0, 10.0) == 0.0


def test_the_plan_is_said_in_the_units_of_the_job() -> None:
    plan = water_for(celsius(66.45), BAG_80, celsius(95), celsius(40), SHIPPED)
    assert dict(said(plan, "us").values)["water"] == "40 °F"
    assert dict(said(plan, "metric").values)["mix"] == "19 °C"
    assert said(plan, "us").key == "water.ice"
