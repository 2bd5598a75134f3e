"""Callers of bags. The ten pours and the share of clean days are the scheduling study's, section 5."""

from __future__ import annotations

from functools import cache

import pytest

from engine.plan.problem import Problem
from engine.rehearsal.callers import Naive, Steered
from engine.rehearsal.floor import floor_s
from engine.rehearsal.luck import AS_PLANNED, draw
from engine.rehearsal.pours import rehearse
from tests.bench.rehearse import NAMES, Point, measure, pour, study
from tests.rehearsal.small import ROOMY, knit, problem, single

FEW = problem([single(str(n)) for n in range(4)], mixers=2)


@cache
def naive(name: str) -> Point:
    return measure(pour(name), Naive, range(100))


@pytest.mark.parametrize("name", NAMES)
def test_calling_whenever_a_mixer_is_free_comes_out_as_in_the_study(name: str) -> None:
    """Both are samples, 150 days there and 100 here: three standard errors apart at most, and never less than 0.05."""
    ours, theirs = naive(name), study()[name]["naive"]
    spread = (max(theirs.clean * (1.0 - theirs.clean), 0.02) * (1 / 100 + 1 / 150)) ** 0.5
    assert abs(ours.clean - theirs.clean) <= max(0.05, 3.0 * spread)
    assert ours.length == pytest.approx(theirs.length, abs=0.03)


@pytest.mark.parametrize("margin", [0.0, 0.2])
def test_at_planned_durations_the_steered_call_misses_nothing(margin: float) -> None:
    day = rehearse(FEW, draw(FEW, 0, AS_PLANNED), Steered(margin))
    assert day.clean
    assert day.end_s >= floor_s(FEW)


def test_a_steered_call_does_not_call_just_because_a_mixer_is_free() -> None:
    many = problem([single(str(n)) for n in range(6)], mixers=3)
    luck = draw(many, 0, AS_PLANNED)
    hasty, steered = rehearse(many, luck, Naive()), rehearse(many, luck, Steered(0.2))
    assert not hasty.clean
    assert steered.clean
    assert steered.calls != hasty.calls


def test_a_margin_costs_time() -> None:
    luck = draw(FEW, 0, AS_PLANNED)
    assert rehearse(FEW, luck, Steered(0.3)).end_s >= rehearse(FEW, luck, Steered(0.0)).end_s


def test_a_begun_patch_gets_its_next_batch_before_the_edge_goes() -> None:
    pour_of_three = knit(3)
    day = rehearse(pour_of_three, draw(pour_of_three, 0, AS_PLANNED), Steered(0.2))
    assert not [miss for miss in day.misses if miss.limit == "joint"]


def test_a_patch_no_pace_can_save_is_still_worked() -> None:
    """Its working time is over before a bag can be laid: the call has no answer, the site stands empty, somebody mixes."""
    hopeless = ROOMY.__class__("none", 0.0, 100.0, 100.0, ROOMY.passes)
    pour_of_one: Problem = problem([single("1", limits=hopeless)])
    day = rehearse(pour_of_one, draw(pour_of_one, 0, AS_PLANNED), Steered(0.2))
    assert [miss.limit for miss in day.misses] == ["working"]


def test_what_was_learned_moves_the_calls_after_it() -> None:
    eight = problem([single(str(n)) for n in range(8)], mixers=2)
    luck = draw(eight, 2)
    told, untold = rehearse(eight, luck, Steered(0.2, learns=True)), rehearse(eight, luck, Steered(0.2))
    assert told.calls[0] == untold.calls[0]
    assert told.calls != untold.calls


def test_a_wider_margin_on_closings_alone_holds_calls_back_no_less() -> None:
    eight = problem([single(str(n)) for n in range(8)], mixers=2)
    luck = draw(eight, 0, AS_PLANNED)
    even, wide = rehearse(eight, luck, Steered(0.1)), rehearse(eight, luck, Steered(0.1, closings=0.4))
    assert wide.clean
    assert wide.calls != even.calls
    assert wide.end_s >= even.end_s
    assert rehearse(eight, luck, Steered(0.1, closings=0.1)) == even
