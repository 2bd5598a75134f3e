"""A scale on site. QTY-11: arithmetic, derived. QTY-10: ASTM C928-09, 13.1.6, read."""

from __future__ import annotations

import pytest
from measured_jobs import LB, PRACTICE, QT, card

from engine.job.weighing import bag_verdict, water_kg, water_l
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
