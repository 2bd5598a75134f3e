"""Strength at a set age.

STR-6, -7: FHWA, Partial-Depth Repairs (2015), 5.0 and generic specification, read. STR-11, SPEC-1 to -3: ASTM C928-05,
table 1, read. SPEC-16: derived. Between stated ages: straight lines over log age, worked by hand.
"""

from __future__ import annotations

import dataclasses
import math

import pytest
from fine_column import celsius, clock, small_stone
from hypothesis import given
from hypothesis import strategies as st
from measured_jobs import table
from site_days import DAY, HOUR, PSI, SHIPPED, still, strong

from engine.mix.card import Strength
from engine.site.strength import age_of_strength, milestones, strength_pa
from engine.site.trajectory import trajectory

CLASSES = {
    row["class"]: strong((3, 24, 168), tuple(float(row[age]) for age in ("h3_psi", "h24_psi", "d7_psi")))
    for row in table("str_classes.csv")
}


@pytest.mark.parametrize("row", table("str_ages.csv"), ids=lambda row: row["id"])
def test_a_class_has_its_strength_at_its_age(row: dict[str, str]) -> None:
    card, wanted_pa, age_s = CLASSES[row["class"]], float(row["wanted_psi"]) * PSI, float(row["hours"]) * HOUR
    assert age_of_strength(card, wanted_pa) == pytest.approx(age_s, rel=1e-5)
    assert strength_pa(card, age_s) == pytest.approx(wanted_pa, rel=1e-5)


def test_only_the_highest_class_has_the_opening_guide_at_three_hours() -> None:
    """STR-11."""
    has = {name for name, card in CLASSES.items() if (strength_pa(card, 3 * HOUR) or 0.0) >= 3000 * PSI - 1.0}
    assert has == {"R3"}


def test_a_class_that_just_complies_in_megapascals() -> None:
    """SPEC-16, derived: 7.0 MPa at 3 h and 21 MPa at 1 day reach 20.7 MPa after 22.9 h."""
    card = dataclasses.replace(small_stone(), strength=Strength((3 * HOUR, DAY), (7.0e6, 21.0e6)))
    assert age_of_strength(card, 20.7e6) == pytest.approx(22.9 * HOUR, abs=0.1 * HOUR)


def test_there_is_no_strength_before_final_set_and_no_more_than_the_card_says() -> None:
    card = strong((1, 24), (800, 3200))
    assert strength_pa(card, 1199.0) == 0.0
    assert strength_pa(card, 1200.0) == 0.0
    assert strength_pa(card, 90 * DAY) == 3200 * PSI
    assert age_of_strength(card, 3201 * PSI) is None
    assert age_of_strength(card, 0.0) == 1200.0


def test_a_card_whose_first_age_is_before_final_set_keeps_that_age() -> None:
    card = strong((0.25, 24), (300, 3200))
    assert strength_pa(card, 899.0) == 0.0
    assert strength_pa(card, 900.0) == 300 * PSI
    assert age_of_strength(card, 200 * PSI) == 900.0


def test_a_card_without_strengths_says_nothing() -> None:
    card = small_stone()
    assert strength_pa(card, DAY) is None
    assert age_of_strength(card, 500 * PSI) is None


@given(st.floats(0.0, 3200.0), st.floats(0.0, 3200.0))
def test_age_and_strength_answer_each_other_and_never_fall(first: float, second: float) -> None:
    card = strong((1, 3, 24), (800, 1500, 3200))
    weak, more = sorted((first, second))
    young, old = (age_of_strength(card, value * PSI) for value in (weak, more))
    assert young is not None
    assert old is not None
    assert young <= old
    assert strength_pa(card, old) == pytest.approx(more * PSI, rel=1e-6, abs=1.0)


def test_strength_comes_in_set_age_later_in_the_cold() -> None:
    """Closed form at one temperature: age is time by rate; all the strengths people ask about, in order."""
    warm, cold = (
        clock(
            card=strong((1, 3, 24), (800, 1500, 3600)),
            mix_c=celsius(t),
            slab_c=celsius(t),
            weather=((0.0, still(celsius(t))),),
            factor=(),
        )
        for t in (70, 50)
    )
    early = dict(milestones(trajectory(warm), warm.card, SHIPPED))
    late = dict(milestones(trajectory(cold), cold.card, SHIPPED))
    assert list(early) == ["frost.least_strength", "opening.traffic_strength", "frost.repeated_strength"]
    for key, at in early.items():
        assert at == pytest.approx(age_of_strength(warm.card, SHIPPED[key]), rel=1e-3)
        slower = math.exp(40e3 / 8.314 * (1 / 283.15 - 1 / (273.15 + 190 / 9)))  # 50 against 70 °F
        assert late[key] == pytest.approx((at or 0.0) * slower, rel=1e-3)


def test_a_strength_the_card_never_states_never_comes() -> None:
    of = clock(card=strong((1, 24), (800, 2500)))
    assert dict(milestones(trajectory(of), of.card, SHIPPED))["opening.traffic_strength"] is None
