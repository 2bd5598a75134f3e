"""The buy list, and the bags of the day by cause."""

from __future__ import annotations

import dataclasses

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from measured_jobs import FT2, GAL, PRACTICE, QT, card, job, library, rectangle

from engine.job.buying import BagUse, BuyList, buy_list, spare_bags
from engine.job.model import Job, Stock
from engine.job.takeoff import job_takeoff
from engine.site.conditions import Materials


def bought(day: Job, **packets: float) -> BuyList:
    return buy_list(day, job_takeoff(day), packets)


@pytest.mark.parametrize(("bags", "spares"), [(1, 2), (11, 2), (12, 2), (13, 3), (18, 3), (60, 10)])
def test_one_spare_for_six_bags_and_never_under_two(bags: int, spares: int) -> None:
    """Common practice, no source."""
    assert spare_bags(bags, PRACTICE) == spares


def test_the_library_needs_fourteen_bags_and_has_sixteen() -> None:
    """Eleven for the pours, half a bag for the trial, two spares: 13 1/2, so 14."""
    line = bought(library()).lines[0]
    assert (line.mix, line.for_pours, line.for_trial, line.spares) == ("small-stone", 11, 0.5, 2)
    assert (line.need, line.in_stock, line.to_buy) == (14, 16.0, 0)
    assert line.cost == pytest.approx(14 * 19.5)


def test_packets_are_the_planned_ones_and_a_quarter_more() -> None:
    """Trade notes: packets = bags + 25 %. One each in P4 (3 bags) and a half each in P2 (2 bags): 4, so 5."""
    assert bought(library(), P4=1.0, P2=0.5).packets == 5
    assert bought(library()).packets == 0


def test_a_pour_s_own_dose_stands_where_the_plan_gives_none() -> None:
    day = job([rectangle("P1", 24, 24, [2], packets=2.0)])
    assert bought(day).packets == 5  # two bags, two packets each, a quarter more
    assert bought(day, P1=0.0).packets == 0


def test_packets_not_in_stock_are_bought() -> None:
    day = dataclasses.replace(library(), stock=Stock((), 3.0, 4))
    assert (bought(day, P4=1.0, P2=0.5).packets_to_buy, bought(day).packets_to_buy) == (2, 0)


def test_water_is_for_mixing_rinsing_and_soaking() -> None:
    """4 1/4 qt and 1 1/2 gal a bag, half a gallon a square foot (common practice, no source)."""
    water = bought(library()).water
    assert water.mixing_l == pytest.approx(14 * 4.25 * QT)
    assert water.rinsing_l == pytest.approx(14 * 1.5 * GAL)
    assert water.soaking_l == pytest.approx(job_takeoff(library()).area_m2 / FT2 * 0.5 * GAL)
    assert water.total_l == pytest.approx(water.mixing_l + water.rinsing_l + water.soaking_l)


def test_ice_is_part_of_the_mixing_water() -> None:
    day = dataclasses.replace(library(), materials=Materials(ice_kg=1.0))
    assert bought(day).ice_kg == 14.0
    assert bought(day).water.mixing_l == pytest.approx(14 * (4.25 * QT - 1.0))


def test_each_mix_has_its_line_its_trial_and_its_spares() -> None:
    mixes = [card("sanded", "sanded", 0.5, 2.0, price=None), card("stone", "small stone", 1.5, 4.0)]
    day = job([rectangle("P1", 24, 24, [1]), rectangle("P2", 24, 24, [3])], mixes, stock=Stock())
    buy = bought(day)
    assert [(line.mix, line.for_pours, line.need, line.to_buy) for line in buy.lines] == [
        ("sanded", 1, 4, 4),
        ("stone", 3, 6, 6),
    ]
    assert buy.bags == 10
    assert buy.lines[1].cost == pytest.approx(6 * 19.5)
    assert buy.cost is None  # the sanded mix has no price


def test_a_mix_that_no_pour_takes_is_not_bought() -> None:
    mixes = [card(), card("fine", "no aggregate", 0.25, 1.0)]
    assert [line.mix for line in bought(job([rectangle("P1", 24, 24, [2])], mixes)).lines] == ["small-stone"]


@given(st.lists(st.floats(1.5, 8.0), min_size=1, max_size=5), st.floats(0, 40))
@settings(max_examples=40, deadline=None)
def test_what_is_needed_is_bought_or_in_stock(depths: list[float], in_stock: float) -> None:
    day = job([rectangle("P1", 36, 24, depths)], stock=Stock((("small-stone", in_stock),), 0.0, 4))
    line = bought(day).lines[0]
    assert line.need >= line.for_pours + line.for_trial + line.spares
    assert line.in_stock + line.to_buy >= line.need - 1e-5
    assert line.to_buy == 0 or line.in_stock + line.to_buy < line.need + 1


def test_the_library_s_bags_are_accounted_for_by_cause() -> None:
    """The story: eleven tipped, the trial's other half in P3, two lost, one bag lumpy, one left of 16."""
    use = BagUse(planned=11, tipped=11, half=0.5, trial=0.5, lost=2, rejected=1)
    assert 16 - use.used == 1
    assert dict(use.by_cause) == {"pours": 0.5, "trial": 0.5, "lost": 2, "rejected": 1}
    assert sum(bags for _, bags in use.by_cause) == use.used - use.planned


def test_holes_that_took_less_than_planned_are_shown_as_less() -> None:
    assert BagUse(planned=11, tipped=10).over_in_pours == -1
