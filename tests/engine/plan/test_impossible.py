"""Impossible pours are told before the first bag, by the limit that fails first, with cures the scheduler has tried.

Sources: the exact solver's verdicts and single changes in the copied cases; small pours worked by hand.
"""

from __future__ import annotations

from dataclasses import replace

import pytest
from plan_cases import NAMES, case_of
from plan_pours import ROOMY, begun, knit, separate

from engine.plan.alone import Empty
from engine.plan.impossible import (
    cannot_by_sums,
    holds,
    impossible,
    in_parts,
    stretched,
    with_more,
    with_stronger,
)
from engine.plan.problem import Problem
from tests.bench.cases import read_problem

FEASIBLE = [n for n in NAMES if case_of(n)["reference"].get("verdict", "feasible") == "feasible"]
CHANGES = {"mixer": "one_more_mixer_and_station", "finisher": "one_more_finisher"}


@pytest.mark.parametrize("name", FEASIBLE)
def test_nothing_is_called_impossible_that_can_be_done(name: str) -> None:
    assert impossible(read_problem(case_of(name))) == ()


@pytest.mark.parametrize("name", ["f26", "f30"])
def test_what_cannot_be_done_is_told_and_no_cure_contradicts_the_solver(name: str) -> None:
    found = impossible(read_problem(case_of(name)))
    assert found
    cured = case_of(name)["reference"]["would_become_feasible_with"]
    for kind, change in CHANGES.items():
        if cured[change] is False:
            assert any(all((cure.kind, cure.amount) != (kind, 1) for cure in one.cures) for one in found)


def _only(problem: Problem) -> tuple[str, str, bool, dict[str, float]]:
    (found,) = impossible(problem)
    return found.limit, found.batch, found.proven, {cure.kind: cure.amount for cure in found.cures}


def test_a_bag_too_slow_for_its_working_time_is_proven_and_needs_retarder_or_cooler() -> None:
    limit, batch, proven, cures = _only(separate(1, (replace(ROOMY, working_s=180.0),)))
    assert (limit, batch, proven) == ("working", "B1", True)
    assert cures == {"retarder": 1.25, "cooler": 1.1}  # nobody more helps


def test_a_joint_one_mixer_cannot_hold_asks_for_a_planned_joint_or_a_mixer() -> None:
    limit, _, _, cures = _only(
        knit(3, (replace(ROOMY, joint_s=340.0),))
    )  # the second is down 370 s after the first
    assert limit == "joint"
    assert cures["joint"] == 3
    assert cures["mixer"] == 1
    assert cures["retarder"] == 1.25


def test_a_whole_patch_whose_oldest_bag_sets_is_cut_in_parts() -> None:
    quick = replace(ROOMY, joint_s=900.0, passes=((0.0, 480.0), (500.0, 2000.0), (900.0, 3000.0)))
    limit, batch, _, cures = _only(knit(4, (quick,), whole=True))
    assert (limit, batch) == ("pass 0", "B1")
    assert cures["joint"] in (2, 3)


def test_what_is_begun_is_not_asked_about() -> None:
    hopeless = separate(1, (replace(ROOMY, working_s=180.0),))
    assert impossible(begun(hopeless, "B1", 0.0, now_s=10.0)) == ()


def test_every_cure_named_makes_the_patch_hold() -> None:
    for problem in (knit(3, (replace(ROOMY, joint_s=340.0),)), read_problem(case_of("f30"))):
        for found in impossible(problem):
            lone = Empty(problem).with_patch(next(p for p in problem.patches if p.id == found.patch))
            assert not holds(lone)
            for cure in found.cures:
                if cure.kind == "joint":
                    assert all(holds(part) for part in in_parts(lone, int(cure.amount)))
                elif cure.kind == "retarder":
                    assert holds(with_stronger(lone, cure.amount))
                elif cure.kind == "cooler":
                    assert holds(stretched(lone, cure.amount))
                else:
                    assert holds(with_more(lone, cure.kind, int(cure.amount)))


def test_sums_prove_nothing_about_a_patch_that_holds() -> None:
    assert not cannot_by_sums(separate(1))
    assert not cannot_by_sums(knit(3))
