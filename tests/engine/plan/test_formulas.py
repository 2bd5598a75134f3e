"""The formulas a foreman works out on a card hold where they say they do.

Source: worked by hand for the bag below; the copied case files' references (an exact solver's) for the length of a day;
the scheduler itself for most bags and the knitting pace.
"""

from __future__ import annotations

from dataclasses import replace
from math import inf
from statistics import mean

import pytest
from plan_cases import NAMES, Case, case_of
from plan_pours import ROOMY, knit

from engine.plan.formulas import (
    Bag,
    Hands,
    bags_per_hour,
    bottleneck,
    knit_ceiling,
    knit_pace_s,
    knits_for_ever,
    length_s,
    most_bags_whole,
    one_bag,
    pace_s,
    retarder_costs_nothing_from,
    smallest_crew,
    smallest_knit_crew,
)
from engine.plan.impossible import holds
from engine.plan.planner import plan, verdict
from engine.plan.problem import Limits
from tests.bench.busy_pours import busy_pour
from tests.bench.cases import read_problem

BAG = Bag(
    mix_s=120.0,
    carry_s=20.0,
    wash_s=40.0,
    place_s=50.0,
    float_s=60.0,
    first_s=60.0,
    second_s=70.0,
    walk_s=10.0,
)
ONE_EACH = Hands(1, 1)


def test_sums_of_one_bag() -> None:
    assert (BAG.down_s, BAG.mixing_s, BAG.finishing_s) == (190.0, 180.0, 270.0)
    assert one_bag(BAG, ROOMY) == pytest.approx(400.0 / 190.0)


PACES = [
    (Hands(1, 1), 270.0, "finishing"),
    (Hands(2, 1), 270.0, "finishing"),
    (Hands(1, 2), 180.0, "mixing"),
    (Hands(2, 4), 90.0, "mixing"),
]


@pytest.mark.parametrize(("hands", "pace", "slower"), PACES)
def test_the_slower_of_mixing_and_finishing_is_the_pace(hands: Hands, pace: float, slower: str) -> None:
    assert pace_s(BAG, hands) == pace
    assert bottleneck(BAG, hands) == slower
    assert bags_per_hour(BAG, hands) == pytest.approx(3600.0 / pace)


def test_people_who_do_both_are_no_faster_than_all_work_over_all_people() -> None:
    assert pace_s(BAG, Hands(0, 0, 2)) == 225.0
    assert pace_s(BAG, Hands(0, 1, 0)) == inf


def test_a_long_pour_of_separate_bags_reaches_nearly_the_pace() -> None:
    problem = busy_pour(200, "separate")
    schedule = plan(problem, budget_evaluations=2)
    work = sum(
        p.placements[0].place_s + sum(p.finishing[0].pass_s) + 3 * p.approach_s for p in problem.patches
    )
    assert 0.93 <= work / 2 / schedule.end_s <= 1.0


def _mean_bag(case: Case) -> Bag:
    carries = [laid["carry_s"] for p in case["patches"] for laid in p["placements"]]
    places = [laid["place_s"] for p in case["patches"] for laid in p["placements"]]
    over = {
        key: mean(p[key] for p in case["patches"]) for key in ("float_s", "trowel1_s", "trowel2_s", "edge_s")
    }
    return Bag(
        mean(b["mix_s"] for b in case["batches"]),
        mean(carries),
        mean(b["wash_s"] for b in case["batches"]),
        mean(places),
        over["float_s"],
        over["trowel1_s"],
        over["trowel2_s"] + over["edge_s"],
        mean(p["approach_s"] for p in case["patches"]),
    )


@pytest.mark.parametrize("name", ["f01", "f12"])
def test_the_length_of_a_day_of_bags_finished_one_by_one(name: str) -> None:
    case = case_of(name)
    crew = Hands(case["crew"]["mix_only"], case["crew"]["finish_only"])
    limits = read_problem(case).batches[0].options[0]
    found = length_s(_mean_bag(case), crew, len(case["batches"]), limits)
    assert found == pytest.approx(case["reference"]["makespan_s"], rel=0.06)


WHOLE = [
    (replace(ROOMY, working_s=300.0), 600.0),
    (replace(ROOMY, working_s=300.0), 800.0),
    (replace(ROOMY, working_s=300.0, joint_s=700.0), 1100.0),
]


@pytest.mark.parametrize(("limits", "float_close_s"), WHOLE)
def test_most_bags_finished_as_a_whole_is_never_too_many(limits: Limits, float_close_s: float) -> None:
    roomy = replace(limits, passes=((0.0, float_close_s), (500.0, 2500.0), (900.0, 4000.0)))
    most = most_bags_whole(BAG, ONE_EACH, roomy, lambda _: 60.0, lambda _: 60.0)
    assert most >= 2
    assert holds(knit(most, (roomy,), whole=True))
    assert not holds(knit(most + 2, (roomy,), whole=True))


def test_no_bag_is_the_answer_where_one_cannot_be_placed() -> None:
    assert (
        most_bags_whole(BAG, ONE_EACH, replace(ROOMY, working_s=180.0), lambda _: 60.0, lambda _: 60.0) == 0
    )


def test_a_patch_that_keeps_the_knitting_pace_can_go_on() -> None:
    slow = replace(ROOMY, joint_s=470.0)
    assert knit_pace_s(BAG, slow) == 280.0
    assert knits_for_ever(BAG, ONE_EACH, slow)
    assert knit_ceiling(BAG, ONE_EACH, slow) == inf
    assert verdict(plan(knit(8, (slow,)), budget_evaluations=200)) == "feasible"


def test_where_work_piles_up_the_ceiling_is_never_below_what_can_be_done() -> None:
    quick = replace(ROOMY, joint_s=400.0)
    assert not knits_for_ever(BAG, ONE_EACH, quick)
    ceiling = knit_ceiling(BAG, ONE_EACH, quick)
    can = max(n for n in range(1, 13) if holds(knit(n, (quick,))))
    assert can <= ceiling < inf


def test_a_mixer_too_slow_to_knit_lays_one_bag_a_patch() -> None:
    assert knit_ceiling(BAG, ONE_EACH, replace(ROOMY, joint_s=360.0)) == 1.0


def test_the_smallest_crew_does_it_in_time_and_one_person_less_does_not() -> None:
    crew = smallest_crew(BAG, ROOMY, 30, 5400.0)
    assert crew == Hands(2, 2)
    assert length_s(BAG, crew, 30, ROOMY) <= 5400.0
    assert min(length_s(BAG, Hands(1, 2), 30, ROOMY), length_s(BAG, Hands(2, 1), 30, ROOMY)) > 5400.0
    assert smallest_crew(BAG, ROOMY, 30, 900.0) is None


def test_the_smallest_crew_that_knits_for_ever() -> None:
    quick = replace(ROOMY, joint_s=350.0)
    crew = smallest_knit_crew(BAG, quick)
    assert crew == Hands(2, 2)
    assert knits_for_ever(BAG, crew, quick)
    assert smallest_knit_crew(BAG, replace(ROOMY, joint_s=190.0)) is None


def test_retarder_costs_nothing_once_other_work_fills_the_wait() -> None:
    assert retarder_costs_nothing_from(BAG, ONE_EACH, ROOMY) == 6  # 900 s of waiting over 150 s of trowelling
    dosed = replace(ROOMY, passes=((0.0, 900.0), (750.0, 1350.0), (1350.0, 2250.0)))
    few, many = 2, retarder_costs_nothing_from(BAG, ONE_EACH, dosed) + 3
    assert length_s(BAG, ONE_EACH, few, dosed) > 1.3 * length_s(BAG, ONE_EACH, few, ROOMY)
    assert length_s(BAG, ONE_EACH, many, dosed) <= 1.05 * length_s(BAG, ONE_EACH, many, ROOMY)


def test_every_copied_case_that_cannot_be_done_for_its_working_time_says_so() -> None:
    for name in NAMES:
        slow = case_of(name)["reference"].get("batches_too_slow_for_their_own_working_time", [])
        problem = read_problem(case_of(name))
        for batch in problem.batches:
            carry = next(q for p in problem.patches for q in p.placements if q.batch == batch.id)
            bag = Bag(batch.mix_s, carry.carry_s, batch.wash_s, carry.place_s, 0.0, 0.0, 0.0, 0.0)
            longest = max(batch.options, key=lambda option: option.working_s)
            assert (one_bag(bag, longest) < 1.0) == (batch.id in slow)
