"""From readings to whole bags.

QTY-1: contractor table of bags per cubic yard (undated), reproduction. QTY-2 to -7: arithmetic, derived. QTY-8: common
practice, from memory; 10 % in reproduction. QTY-12: ASTM C928-20, 8.1.1, read. GEO-9: ACI 318-14, 26.4.2.1, from memory.
"""

from __future__ import annotations

import csv
import dataclasses
import functools
import math
import tomllib
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from measured_jobs import DATA, FT3, IN, LB, PRACTICE, card, job, library, practice, rectangle, table

from engine.job.buying import buy_list
from engine.job.lifts import choose_mix, lifts_needed, stone_fits, whole_up
from engine.job.loadout import load_list
from engine.job.practice import read_practice
from engine.job.takeoff import PourTakeoff, job_takeoff, pour_takeoff

BAGS = table("qty_bags.csv")


def expected_of_the_library() -> list[tuple[str, str, str, str]]:
    """`which, quantity, expected, tolerance`; the doses are planned elsewhere. Source: worked by hand."""
    with (DATA / "scenarios" / "library" / "expected_plan.csv").open(encoding="utf-8") as file:
        rows = [tuple(row) for row in csv.reader(file)][1:]
    return [row for row in rows if row[1] != "packets"]  # type: ignore[misc]


@pytest.mark.parametrize(("which", "quantity", "expected", "tolerance"), expected_of_the_library())
def test_the_library_is_measured_up_as_by_hand(
    which: str, quantity: str, expected: str, tolerance: str
) -> None:
    value = getattr(job_takeoff(library()).pour(which), quantity)
    share = float(tolerance.removesuffix(" %")) / 100 if tolerance.endswith("%") else 0.0
    room = 0.0 if share else float(tolerance or 0)
    assert value == pytest.approx(float(expected), rel=share, abs=room)


def test_the_library_adds_up_to_eleven_bags() -> None:
    """Sums of the hand-made table: 21.681 ft^2, 3.6305 ft^3, with waste 3.9209 ft^3, 9.12 bags, 11 whole."""
    taken = job_takeoff(library())
    assert taken.area_m2 == pytest.approx(21.681 * 144 * IN**2, rel=1e-4)
    assert taken.volume_net_m3 == pytest.approx(3.6305 * FT3, rel=1e-4)
    assert taken.volume_with_waste_m3 == pytest.approx(3.9209 * FT3, rel=1e-4)
    assert taken.bags_exact == pytest.approx(9.12, abs=0.005)
    assert taken.bags == 11
    assert taken.bags_by_mix == (("small-stone", 11),)


@pytest.mark.parametrize("row", BAGS, ids=[row["id"] for row in BAGS])
def test_bags_of_a_rectangle_agree_with_the_published_arithmetic(row: dict[str, str]) -> None:
    sides = float(row["length_in"]), float(row["width_in"])
    mix = card(yield_ft3=float(row["yield_ft3"]), greatest_in=40)
    pour = rectangle("P1", *sides, [float(row["depth_in"])])
    taken = pour_takeoff(pour, job([pour], [mix], practice(takeoff__waste_sawn=float(row["waste"]))))
    assert taken.volume_net_m3 * 1000 == pytest.approx(float(row["volume_l"]), abs=0.0005)
    assert taken.volume_net_m3 / mix.bag.yield_m3 == pytest.approx(float(row["bags_net"]), abs=0.0005)
    assert taken.bags_exact == pytest.approx(float(row["bags_exact"]), abs=0.001)
    assert taken.bags == int(row["bags"])


def test_bags_of_a_cubic_yard_weigh_what_dry_mix_weighs() -> None:
    """QTY-2, derived: 80 lb in 0.60 ft^3 is 133.3 lb/ft^3, 2136 kg/m^3."""
    pour = rectangle("P1", 36, 36, [36])
    mix = card(yield_ft3=0.60, bag_lb=80, greatest_in=40)
    taken = pour_takeoff(pour, job([pour], [mix], practice(takeoff__waste_sawn=0.0)))
    density = taken.bags * mix.bag.mass_kg / taken.volume_net_m3
    assert density == pytest.approx(2136, abs=0.5)
    assert density * FT3 / LB == pytest.approx(133.3, abs=0.1)


@pytest.mark.parametrize("edges", ["sawn", "chipped"])
def test_waste_allowances_stay_in_the_band_of_common_practice(edges: str) -> None:
    """QTY-8: 5 to 10 % ordinary, more for ragged edges (15 %: common practice, no source)."""
    pour = rectangle("P1", 24, 24, [2], edges=edges)
    taken = pour_takeoff(pour, job([pour]))
    waste = taken.volume_with_waste_m3 / taken.volume_net_m3 - 1
    assert 0.05 <= waste <= (0.10 if edges == "sawn" else 0.15 + 1e-12)


@pytest.mark.parametrize(
    ("count", "whole"), [(0, 0), (1e-9, 0), (1, 1), (2.0000000001, 2), (2.00001, 3), (2.75, 3)]
)
def test_counts_are_rounded_up_but_not_for_a_rounding_error(count: float, whole: int) -> None:
    assert whole_up(count) == whole


def test_bags_are_whole_and_rounded_up_in_each_lift() -> None:
    """ASTM C928-20 section 8.1.1 (READ): a bag is not split. 2.5 bags in two lifts are 2 × 2."""
    mix = card(greatest_in=2, yield_ft3=1)
    pour = rectangle("P1", 30, 48, [3])
    taken = pour_takeoff(pour, job([pour], [mix], practice(takeoff__waste_sawn=0.0)))
    assert (taken.lifts, taken.bags_per_lift, taken.bags) == (2, 2, 4)
    assert taken.bags_exact == pytest.approx(2.5)
    assert taken.spare_fraction == pytest.approx(1.5 / 4)
    assert taken.lift_depth_m == pytest.approx(1.5 * IN)


@pytest.mark.parametrize(("deepest_in", "lifts"), [(1, 1), (4, 1), (4.01, 2), (8, 2), (8.01, 3)])
def test_lifts_are_the_fewest_that_keep_the_deepest_reading_within_the_label(
    deepest_in: float, lifts: int
) -> None:
    assert lifts_needed(deepest_in * IN, card(greatest_in=4)) == lifts


def three_mixes() -> list:
    """Invented cards: fine 1/4 to 1 in, sanded 1/2 to 2 in, small stone 1 1/2 to 4 in with 3/8 in stone."""
    return [
        card("stone", "small stone", 1.5, 4.0, 0.375),
        card("sanded", "sanded", 0.5, 2.0),
        card("fine", "no aggregate", 0.25, 1.0),
    ]


@pytest.mark.parametrize(
    ("depths_in", "chosen"),
    [
        ([0.5, 0.75], "fine"),
        ([1.0], "fine"),  # both fine and sanded: the finer
        ([1.5, 1.25], "sanded"),
        ([2.0], "sanded"),
        ([2.5, 2.25], "stone"),
        ([4.0], "stone"),
        ([9.0], "stone"),  # 3 lifts against 5 and 9
        ([3.5, 1.125], "stone"),  # three times 3/8 in is 1 1/8 in
        ([3.5, 1.0], "sanded"),  # the stone is over a third of the thin spot: two lifts instead
        ([0.1], "fine"),  # under every label: the finest, flagged
    ],
)
def test_the_mix_is_chosen_by_depth(depths_in: list[float], chosen: str) -> None:
    pour = rectangle("P1", 24, 24, depths_in)
    assert choose_mix(pour, three_mixes(), 3.0).key == chosen
    assert pour_takeoff(pour, job([pour], three_mixes())).mix == chosen


def test_a_pour_that_names_its_mix_keeps_it() -> None:
    pour = rectangle("P1", 24, 24, [3], mix="fine")
    assert pour_takeoff(pour, job([pour], three_mixes())).mix == "fine"


def test_a_mix_the_job_does_not_have_is_an_error() -> None:
    pour = rectangle("P1", 24, 24, [3], mix="other")
    with pytest.raises(KeyError, match="other"):
        pour_takeoff(pour, job([pour]))


STONES = table("geo_stone.csv")


@pytest.mark.parametrize("row", STONES, ids=[row["stone_mm"] for row in STONES])
def test_the_largest_stone_needs_three_times_its_size(row: dict[str, str]) -> None:
    mix = card(stone_in=float(row["stone_mm"]) / 25.4)
    least_in = float(row["least_depth_mm"]) / 25.4
    assert stone_fits(rectangle("P1", 24, 24, [least_in]), mix, 3.0)
    assert not stone_fits(rectangle("P1", 24, 24, [least_in - 0.01]), mix, 3.0)


def test_a_tight_pour_says_how_little_is_left() -> None:
    taken = job_takeoff(library()).pour("P3")
    assert taken.flags == ("tight",)
    assert dict(taken.cautions[0].values) == {"pour": "P3", "spare": "2%"}


@pytest.mark.parametrize(("spare", "tight"), [(0.049, True), (0.05, False), (0.051, False)])
def test_tight_is_a_spare_under_five_in_a_hundred(spare: float, tight: bool) -> None:
    pour = rectangle("P1", 12, 12, [12 * (1 - spare)])
    mix = card(greatest_in=40, yield_ft3=1)
    taken = pour_takeoff(pour, job([pour], [mix], practice(takeoff__waste_sawn=0.0)))
    assert taken.spare_fraction == pytest.approx(spare)
    assert ("tight" in taken.flags) is tight


def test_a_pour_of_a_later_visit_is_left_out() -> None:
    pours = [rectangle("P1", 24, 24, [2]), rectangle("P2", 24, 24, [2], visit=2)]
    assert [p.id for p in job_takeoff(job(pours)).pours] == ["P1"]
    assert [p.id for p in job_takeoff(job(pours), visit=2).pours] == ["P2"]


def test_pours_with_a_last_bag_at_most_half_needed_are_noted_for_the_other_half_of_the_trial() -> None:
    notes = job_takeoff(library()).notes
    assert [(note.key, dict(note.values)) for note in notes] == [("note.half_bag", {"pours": "P5"})]


def test_a_deeper_reading_during_the_day_is_the_same_reckoning_with_a_replaced_pour() -> None:
    day = library()
    deeper = dataclasses.replace(
        day.pour("P3"), depths_m=tuple(d + 0.25 * IN for d in day.pour("P3").depths_m)
    )
    assert pour_takeoff(day.pour("P3"), day) == job_takeoff(day).pour("P3")
    assert pour_takeoff(deeper, day).bags == 2


inches = st.floats(0.25, 12.0)
readings = st.lists(inches, min_size=1, max_size=6)


def measured(sides: tuple[float, float], depths_in: list[float]) -> PourTakeoff:
    pour = rectangle("P1", *sides, depths_in)
    return pour_takeoff(pour, job([pour]))


@given(sides=st.tuples(st.floats(3, 120), st.floats(3, 120)), depths=readings, more=st.floats(0, 3))
@settings(max_examples=80, deadline=None)
def test_more_depth_is_never_fewer_bags(sides: tuple[float, float], depths: list[float], more: float) -> None:
    """Always true of the exact count; of whole bags within a number of lifts, and from one lift to two."""
    before, after = measured(sides, depths), measured(sides, [*depths[:-1], depths[-1] + more])
    assert after.bags_exact >= before.bags_exact * (1 - 1e-12)
    if after.lifts == before.lifts or (before.lifts, after.lifts) == (1, 2):
        assert after.bags >= before.bags


@given(sides=st.tuples(st.floats(3, 120), st.floats(3, 120)), depths=readings)
@settings(max_examples=80, deadline=None)
def test_there_are_enough_bags_and_less_than_one_to_spare_in_each_lift(
    sides: tuple[float, float], depths: list[float]
) -> None:
    taken = measured(sides, depths)
    assert taken.bags >= taken.bags_exact - 1e-5
    assert taken.bags - taken.bags_exact < taken.lifts
    assert 0 <= taken.spare_fraction < 1
    assert taken.lifts * 4.0 * IN >= max(depths) * IN - 1e-6


@given(length_cm=st.integers(5, 300), width_cm=st.integers(5, 300), depth_mm=st.integers(5, 300))
@settings(max_examples=80, deadline=None)
def test_the_unit_system_never_changes_the_answer(length_cm: int, width_cm: int, depth_mm: int) -> None:
    """The same hole read by metric tape and by inch tape."""
    by_inch = measured((length_cm / 2.54, width_cm / 2.54), [depth_mm / 25.4])
    pour = dataclasses.replace(
        rectangle("P1", 1, 1, [1]),
        area_m2=length_cm * width_cm / 1e4,
        depths_m=(depth_mm / 1e3,),
        length_m=length_cm / 100,
        width_m=width_cm / 100,
    )
    by_metre = pour_takeoff(pour, job([pour]))
    assert (by_inch.bags, by_inch.lifts, by_inch.flags) == (by_metre.bags, by_metre.lifts, by_metre.flags)
    assert math.isclose(by_inch.bags_exact, by_metre.bags_exact, rel_tol=1e-9)


def test_the_display_of_the_job_never_changes_an_answer() -> None:
    us = library()
    metric = dataclasses.replace(us, units="metric")
    assert job_takeoff(us) == job_takeoff(metric)
    lists = [load_list(day, buy_list(day, job_takeoff(day), {"P4": 1.0})) for day in (us, metric)]
    assert lists[0] == lists[1]


@functools.cache
def shipped() -> dict[str, float]:
    path = Path(__file__).parents[2] / "configs" / "practice.toml"
    values, problems = read_practice(tomllib.loads(path.read_text(encoding="utf-8")), path.name)
    assert [problem.sentence() for problem in problems] == []
    return {value.key: value.number for value in values}


@pytest.mark.parametrize(("key", "number"), PRACTICE.values, ids=[key for key, _ in PRACTICE.values])
def test_the_shipped_practice_holds_the_figures_these_tests_are_held_to(key: str, number: float) -> None:
    assert shipped()[key] == pytest.approx(number, rel=1e-12)
