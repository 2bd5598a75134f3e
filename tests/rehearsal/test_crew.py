"""A simulated crew on small pours. Expected seconds worked by hand from the durations in `small.py`."""

from __future__ import annotations

from dataclasses import replace

import pytest

from engine.plan.problem import Limits, Order, Problem
from engine.rehearsal.callers import Naive
from engine.rehearsal.crew import Crew
from engine.rehearsal.layout import Layout, Mix
from engine.rehearsal.luck import AS_PLANNED, Luck, draw
from engine.rehearsal.pours import PourDay, rehearse
from tests.rehearsal.small import ROOMY, At, knit, problem, single


def planned(pour: Problem) -> Luck:
    return draw(pour, 0, AS_PLANNED)


def worked(pour: Problem, luck: Luck, **moments: float) -> tuple[Crew, PourDay]:
    crew = Crew(Layout(pour, luck))
    crew.work(At(**moments))
    return crew, rehearse(pour, luck, At(**moments))


def test_one_batch_goes_through_its_stages_at_planned_times() -> None:
    pour = problem([single("1")])
    crew, day = worked(pour, planned(pour), B1=0.0)
    place, passes = crew.layout.places[0][0], crew.layout.jobs[0][0]
    assert (place.start_s, place.end_s) == (140.0, 190.0)  # mixed 120, carried 20
    assert (passes[0].start_s, passes[0].end_s) == (190.0, 250.0)  # no walk to the float
    assert (passes[1].start_s, passes[2].start_s) == (500.0, 900.0)  # walked while it was still opening
    assert day.end_s == 970.0
    assert day.clean


def test_a_trowel_touches_only_when_the_surface_really_is_ready() -> None:
    pour = problem([single("1")])
    slow = replace(planned(pour), day_factor=1.2)
    crew, day = worked(pour, slow, B1=0.0)
    assert crew.layout.jobs[0][0][1].start_s == 600.0
    assert crew.taught_s == 600.0
    assert day.clean


def test_the_mixer_and_the_station_are_held_until_washed_out() -> None:
    pour = problem([single("1"), single("2")])
    day = rehearse(pour, planned(pour), Naive())
    assert day.calls == (0.0, 180.0)  # 120 mixing, 20 carrying, 40 washing


def test_a_free_finisher_takes_what_closes_first_by_the_plan() -> None:
    pour = problem([single("1"), single("2")], mixers=2)
    crew, _ = worked(pour, planned(pour), B1=0.0, B2=0.0)
    first, second = (row[0] for row in crew.layout.places)
    floats = [jobs[0][0] for jobs in crew.layout.jobs]
    assert second.start_s == first.end_s + 10.0  # its working time ends before the first one's float closes
    assert floats[0].start_s == second.end_s


# what is late by hand: working time, float, first and second trowel cut to a second too short
LATE = [
    ("working", replace(ROOMY, working_s=189.0)),
    ("pass 0", replace(ROOMY, passes=((0.0, 249.0), *ROOMY.passes[1:]))),
    ("pass 1", replace(ROOMY, passes=(ROOMY.passes[0], (500.0, 559.0), ROOMY.passes[2]))),
    ("pass 2", replace(ROOMY, passes=(*ROOMY.passes[:2], (900.0, 969.0)))),
]


@pytest.mark.parametrize(("limit", "limits"), LATE, ids=[limit for limit, _ in LATE])
def test_every_window_missed_is_told_with_its_seconds(limit: str, limits: Limits) -> None:
    pour = problem([single("1", limits=limits)])
    day = rehearse(pour, planned(pour), At(B1=0.0))
    assert [(miss.limit, miss.patch, miss.batch, miss.late_s) for miss in day.misses] == [
        (limit, "P1", "B1", 1.0)
    ]


def test_a_batch_laid_too_late_against_its_neighbour_is_a_cold_joint() -> None:
    pour = knit(2)
    in_time = rehearse(pour, planned(pour), At(B0=0.0, B1=310.0))
    too_late = rehearse(pour, planned(pour), At(B0=0.0, B1=320.0))
    assert in_time.clean  # laid by 500: 310 + 120 + 20 + 50
    assert [(miss.limit, miss.late_s) for miss in too_late.misses] == [("joint", 10.0)]


def test_windows_are_judged_by_what_the_day_drew_not_by_the_plan() -> None:
    pour = problem([single("1", limits=replace(ROOMY, working_s=200.0))])
    quick = replace(planned(pour), day_factor=0.9)
    day = rehearse(pour, quick, At(B1=0.0))
    assert [(miss.limit, round(miss.late_s)) for miss in day.misses] == [("working", 10)]


def test_a_patch_that_waits_for_another_is_not_called_before() -> None:
    pour = problem([single("1"), single("2")], mixers=2, orders=(Order("P1", "P2"),))
    day = rehearse(pour, planned(pour), Naive())
    assert day.calls == (0.0, 190.0)  # the first is placed then


def test_a_lag_after_finishing_is_kept() -> None:
    orders = (Order("P1", "P2", finished=True, lag_s=100.0),)
    pour = problem([single("1"), single("2")], mixers=2, orders=orders)
    crew, _ = worked(pour, planned(pour), B1=0.0, B2=800.0)
    assert crew.layout.places[1][0].start_s == 970.0 + 100.0


def test_someone_who_does_both_mixes_before_a_bag_can_be_placed() -> None:
    pour = problem([single("1")])
    both = replace(pour.people[0], places=True, finishes=True)
    alone = replace(pour, people=(both,))
    day = rehearse(alone, planned(alone), Naive())
    assert day.calls == (0.0,)
    assert day.end_s == 970.0


def test_a_caller_that_never_calls_is_given_up() -> None:
    class Never:
        def next(self, crew: Crew) -> Mix | float:
            return crew.now_s + 15.0

    pour = problem([single("1")])
    with pytest.raises(RuntimeError, match="no bag was called"):
        rehearse(pour, planned(pour), Never())


def test_the_same_seed_gives_every_caller_the_same_day() -> None:
    pour = problem([single(str(n)) for n in range(4)], mixers=2)
    assert rehearse(pour, draw(pour, 11), Naive()) == rehearse(pour, draw(pour, 11), Naive())
    early = rehearse(pour, draw(pour, 11), At(B0=0.0, B1=0.0, B2=900.0, B3=900.0))
    assert early.calls[:2] == (0.0, 0.0)
