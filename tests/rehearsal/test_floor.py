"""The closed-form floor. Source: the sums named in the docstring, worked by hand for a crew of each kind."""

from __future__ import annotations

from dataclasses import replace

import pytest

from engine.plan.problem import Problem
from engine.rehearsal.callers import Naive
from engine.rehearsal.floor import floor_s
from engine.rehearsal.luck import AS_PLANNED, draw
from engine.rehearsal.pours import rehearse
from tests.rehearsal.small import problem, single

# one batch holds a mixer 180 s and takes a finisher 240 s of work and 30 s of walking
EIGHT = problem([single(str(n)) for n in range(8)])
FLOORS = [
    ("one batch: mixed, second trowel opens, last stroke", problem([single("1")]), 0 + 900 + 70),
    ("one finisher's work decides", EIGHT, 130 + 8 * 270),
    (
        "mixing decides: all but the last, then its windows",
        problem([single(str(n)) for n in range(8)], finishers=3),
        7 * 180 + 900 + 70,
    ),
    (
        "two mixers begin the last two together",
        problem([single(str(n)) for n in range(8)], mixers=2, finishers=9),
        6 * 180 / 2 + 900 + 70,
    ),
]


@pytest.mark.parametrize(("pour", "floor"), [row[1:] for row in FLOORS], ids=[row[0] for row in FLOORS])
def test_the_floor_is_the_largest_of_its_sums(pour: Problem, floor: float) -> None:
    assert floor_s(pour) == pytest.approx(floor)


def test_people_who_do_everything_share_all_the_work() -> None:
    two_stations = problem([single(str(n)) for n in range(8)], mixers=2, finishers=0)
    both = tuple(replace(person, places=True, finishes=True) for person in two_stations.people)
    pour = replace(two_stations, people=both)
    assert floor_s(pour) == pytest.approx(8 * (180 + 270) / 2)


@pytest.mark.parametrize(("mixers", "finishers"), [(1, 1), (2, 1), (1, 2), (2, 2)])
def test_no_day_at_planned_durations_ends_below_the_floor(mixers: int, finishers: int) -> None:
    pour = problem([single(str(n)) for n in range(6)], mixers, finishers)
    day = rehearse(pour, draw(pour, 0, AS_PLANNED), Naive())
    assert day.end_s >= floor_s(pour)
