"""Every schedule can be carried out: nobody is in two places, every skill, hand, window, wet edge and order is kept.

Source of the cases: the project's own study of pours (stage times and windows assumed); the references in them come from
an exact solver. The checker is written from the rules of the case files and shares no code with the scheduler.
"""

from __future__ import annotations

import copy

import pytest
from hypothesis import given, settings
from plan_cases import NAMES, Case, case_of, pours

from engine.plan.planner import plan, rank, verdict
from tests.bench.casecheck import broken_rules, lateness_s, makespan_s
from tests.bench.cases import read_problem, write_schedule

EVALUATIONS = 400
WORST = 1.10  # end over the reference


def _written(case: Case, evaluations: int) -> tuple[str, Case, float]:
    schedule = plan(read_problem(case), budget_evaluations=evaluations)
    return verdict(schedule), write_schedule(case, schedule), rank(schedule)[0]


@pytest.mark.parametrize("name", NAMES)
def test_a_schedule_can_be_carried_out_and_keeps_every_window_where_that_can_be_done(name: str) -> None:
    case = case_of(name)
    said, written, late_s = _written(case, EVALUATIONS)
    assert broken_rules(case, written) == []
    assert said == case["reference"].get("verdict", "feasible")
    assert lateness_s(case, written) == pytest.approx(late_s)
    if said == "feasible":
        floor, reference = (case["reference"][key] for key in ("makespan_lower_bound_s", "makespan_s"))
        assert floor <= makespan_s(case, written) <= WORST * reference


@pytest.mark.parametrize(
    "name", [name for name in NAMES if case_of(name)["reference"].get("verdict") == "infeasible"]
)
def test_a_pour_that_cannot_be_done_is_at_most_a_little_later_than_the_least_known(name: str) -> None:
    case = case_of(name)
    least_s = case["reference"]["least_total_lateness_s"]
    assert lateness_s(case, _written(case, EVALUATIONS)[1]) <= 1.25 * least_s


@pytest.mark.parametrize("name", NAMES)
def test_the_checker_passes_the_reference_schedules(name: str) -> None:
    case = case_of(name)
    schedule = case["reference"]["schedule"]
    assert broken_rules(case, schedule) == []
    assert lateness_s(case, schedule) == case["reference"].get("least_total_lateness_s", 0)


SPOILT = [
    ("batches", 0, "mix_start_s", -1),
    ("batches", 1, "mix_start_s", -60),
    ("places", 2, "place_start_s", -40),
    ("finishing", 0, "float_start_s", -30),
    ("finishing", 1, "trowel1_start_s", -200),
    ("finishing", 3, "trowel2_start_s", -400),
]


@pytest.mark.parametrize(("part", "row", "key", "by_s"), SPOILT)
def test_the_checker_finds_what_is_spoilt(part: str, row: int, key: str, by_s: int) -> None:
    case = case_of("f12")
    schedule = copy.deepcopy(case["reference"]["schedule"])
    schedule[part][row][key] += by_s
    assert broken_rules(case, schedule)


@given(pours())
@settings(max_examples=60, deadline=None, derandomize=True)
def test_schedules_of_random_pours_can_be_carried_out(case: Case) -> None:
    _, written, late_s = _written(case, 60)
    assert broken_rules(case, written) == []
    assert lateness_s(case, written) == pytest.approx(late_s)


@pytest.mark.parametrize("name", ["f12", "f23", "m05"])
def test_the_same_pour_always_gets_the_same_schedule(name: str) -> None:
    case = case_of(name)
    assert _written(case, 120) == _written(case, 120)


def test_a_larger_budget_is_never_worse() -> None:
    for name in ("f16", "f20", "f22"):
        problem = read_problem(case_of(name))
        assert rank(plan(problem, budget_evaluations=300)) <= rank(plan(problem, budget_evaluations=1))


def test_a_budget_in_milliseconds_asks_for_a_clock_and_keeps_to_it() -> None:
    problem = read_problem(case_of("f12"))
    with pytest.raises(ValueError, match="needs a clock"):
        plan(problem, budget_ms=50.0)
    ticks = iter(range(10_000))
    plan(problem, budget_ms=5000.0, clock=lambda: float(next(ticks)))
    assert next(ticks) < 10  # each look at the clock was a second
