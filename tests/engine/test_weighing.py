"""A scale on site, stone added to a bag, and bonding grout.

QTY-9, -11: arithmetic, derived. QTY-10: ASTM C928-09, 13.1.6, read. QTY-13: Navy training manual for builders, loose sack
(edition not noted), read. GEO-18: UFC 3-270-03 (2001), 16.3, read.
"""

from __future__ import annotations

import dataclasses

import pytest
from hypothesis import given
from hypothesis import strategies as st
from measured_jobs import FT3, LB, PRACTICE, QT, card, job, practice, rectangle

from engine.job.grout import bonding_grout
from engine.job.stone import solid_m3, stretched
from engine.job.takeoff import pour_takeoff
from engine.job.weighing import bag_verdict, water_kg, water_l
from engine.mix.card import Water
from engine.units import parse, show_water

BAG_50 = card(bag_lb=50)


@pytest.mark.parametrize(
    ("read_lb", "word"), [(50, "within"), (49, "within"), (51, "within"), (48.9, "under"), (51.1, "over")]
)
def test_a_bag_may_be_two_in_a_hundred_off_what_is_printed(read_lb: float, word: str) -> None:
    """QTY-10: ±2 %. ASTM C928 (2009), 13.1.6, READ."""
    verdict = bag_verdict(read_lb * LB, BAG_50, PRACTICE)
    assert (verdict.word, verdict.key) == (word, "buying.bag_tolerance")
    assert verdict.value == pytest.approx(read_lb / 50 - 1)


@pytest.mark.parametrize(("read_lb", "word"), [(48.8, "cannot tell"), (48.4, "under"), (50.4, "within")])
def test_a_rough_scale_cannot_tell_near_the_limit(read_lb: float, word: str) -> None:
    assert bag_verdict(read_lb * LB, BAG_50, PRACTICE, 0.5 * LB).word == word


def test_seven_and_a_half_pounds_of_water_are_three_point_six_quarts() -> None:
    """QTY-11, derived: 7.5 lb are 3.40 L and 3.595 US qt at 8.345 lb/gal, ±0.005."""
    litres = water_l(parse("7.5 lb", "mass"))
    assert litres == pytest.approx(3.40, abs=0.005)
    assert litres / parse("1 qt", "water") == pytest.approx(3.595, abs=0.005)
    assert parse("1 gal", "water") / water_l(LB) == pytest.approx(8.345, abs=0.0005)
    assert show_water(litres, "us") == "3.59 qt"


def test_water_on_the_scale_is_the_label_s_in_the_jug() -> None:
    assert water_kg(BAG_50) == pytest.approx((3.75 * QT, 4.25 * QT, 4.75 * QT))
    assert water_kg(BAG_50, 0.5)[1] == pytest.approx(water_kg(BAG_50)[1] / 2)
    assert water_l(water_kg(BAG_50)[1]) == pytest.approx(BAG_50.water.target_l)


def test_half_its_weight_in_stone_adds_only_the_stone_s_own_volume() -> None:
    """QTY-9, derived: 25 lb on a 50 lb bag at 2.65 add 0.1511 ft^3 (4.28 L) of solid, ±0.001: 25 / (2.65 · 62.428)."""
    found = stretched(BAG_50, 25 * LB, PRACTICE)
    assert (found.yield_m3 - BAG_50.bag.yield_m3) / FT3 == pytest.approx(0.1511, abs=0.001)
    assert solid_m3(25 * LB, PRACTICE) * 1000 == pytest.approx(4.28, abs=0.005)
    assert found.share == pytest.approx(0.5)
    assert found.water_l == pytest.approx(water_kg(BAG_50))


def test_damp_stone_brings_part_of_the_water_along() -> None:
    """QTY-9: 4 % of 25 lb is 1 lb, 0.479 qt."""
    found = stretched(BAG_50, 25 * LB, PRACTICE, damp=0.04)
    assert found.water_l[1] / QT == pytest.approx(4.25 - 1 * LB / QT, abs=1e-9)


@pytest.mark.parametrize(("stone_lb", "damp"), [(-1, 0.0), (25, -0.1), (25, 1.1), (100, 0.5)])
def test_stone_that_cannot_be_is_refused(stone_lb: float, damp: float) -> None:
    with pytest.raises(ValueError, match="stone"):
        stretched(BAG_50, stone_lb * LB, PRACTICE, damp)


@given(st.floats(0, 30), st.floats(0, 5))
def test_more_stone_never_takes_more_bags(stone_kg: float, more_kg: float) -> None:
    pour = rectangle("P1", 30, 30, [3])
    bags = []
    for added in (stone_kg, stone_kg + more_kg):
        bag = dataclasses.replace(BAG_50.bag, yield_m3=stretched(BAG_50, added, PRACTICE).yield_m3)
        bags.append(pour_takeoff(pour, job([pour], [dataclasses.replace(BAG_50, bag=bag)])).bags_exact)
    assert bags[1] <= bags[0]


def test_a_stone_heavier_for_its_size_adds_less() -> None:
    heavy, light = practice(buying__stone_gravity=3.0), practice(buying__stone_gravity=2.4)
    assert solid_m3(10.0, heavy) < solid_m3(10.0, light)


def test_grout_of_a_sack_is_a_cubic_foot_each_of_cement_and_sand() -> None:
    """QTY-13: 94 lb loose fill 1 ft^3 (Navy training manual, READ). GEO-18: 1:1 by parts, water under 0.45 (UFC 16.3, READ)."""
    grout = bonding_grout(94 * LB, PRACTICE)
    assert grout.cement_l == pytest.approx(28.316846592)
    assert grout.sand_l == pytest.approx(28.316846592)
    assert grout.most_water_l == pytest.approx(0.45 * 94 * LB)
    assert bonding_grout(0.0, PRACTICE).most_water_l == 0.0
    with pytest.raises(ValueError, match="cement"):
        bonding_grout(-1.0, PRACTICE)


def test_the_water_of_the_card_is_never_raised_by_stone() -> None:
    dry = dataclasses.replace(BAG_50, water=Water(1.0, 1.2, 1.4))
    assert stretched(dry, 5.0, PRACTICE, 0.1).water_l == pytest.approx((0.5, 0.7, 0.9))
