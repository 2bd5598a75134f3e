"""The search: a roster timed on from a change is the same as timed afresh; moves keep every turn and its order."""

from __future__ import annotations

from random import Random

import pytest
from plan_cases import case_of
from plan_pours import BOTH, batch, patch, pour

from engine.plan.climb import Climb
from engine.plan.planner import plan
from engine.plan.search import Search
from engine.plan.work import Work
from tests.bench.cases import read_problem

CASES = ("f12", "f22", "f23", "m05")


@pytest.mark.parametrize("name", CASES)
def test_a_changed_roster_timed_from_the_change_on_is_timed_as_from_the_start(name: str) -> None:
    work, rng = Work(read_problem(case_of(name))), Random(3)
    search = Search(work, rng)
    roster = search.roster_of(Climb(work, rng).best.timed)
    timing = search.time(roster)
    assert timing is not None
    for _ in range(300):
        changed = search.moves.change(roster, timing)
        if changed is None:
            continue
        on, afresh = search.time(changed, timing), search.time(changed)
        assert on is not None
        assert afresh is not None
        assert (on.start, on.end, on.call, on.late_s) == (
            afresh.start,
            afresh.end,
            afresh.call,
            afresh.late_s,
        )
        if on.late_s + on.end_s < timing.late_s + timing.end_s + 40.0:
            roster, timing = changed, on


@pytest.mark.parametrize("name", CASES)
def test_no_change_loses_a_turn_or_takes_one_before_its_time(name: str) -> None:
    work, rng = Work(read_problem(case_of(name))), Random(5)
    search = Search(work, rng)
    roster = search.roster_of(Climb(work, rng).best.timed)
    strokes = sorted(task for task in roster.turns if task >= work.n_batches)
    timing = search.time(roster)
    assert timing is not None
    for _ in range(300):
        changed = search.moves.change(roster, timing) or roster
        assert sorted(task for task in changed.turns if task >= work.n_batches) == strokes
        at = {task: n for n, task in enumerate(changed.turns)}
        for task in changed.turns:
            assert all(at[other] < at[task] for other in search.moves.before[task] if other in at)


def test_one_person_alone_lays_a_batch_before_washing_out() -> None:
    site = pour([batch("B1"), batch("B2")], [patch("P1", "B1"), patch("P2", "B2")], BOTH)
    alone = plan(
        site.__class__(site.people, site.stations, site.batches, site.patches), budget_evaluations=300
    )
    one, two = sorted(alone.mixes, key=lambda mix: mix.start_s)
    laid = {place.batch: place for place in alone.places}
    (wash,) = (wash for wash in alone.washes if wash.batch == one.batch)
    assert laid[one.batch].start_s == one.start_s + 150.0  # mixed 120, carried 20, then on the knees
    assert laid[one.batch].end_s <= wash.start_s
    assert wash.end_s <= two.start_s
    assert alone.misses == ()
