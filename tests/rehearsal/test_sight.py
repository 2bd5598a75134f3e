"""What a caller sees of a rehearsed pour. Source: the rules of the scheduling cases for pours under way (5 s when overdue)."""

from __future__ import annotations

from dataclasses import replace

import pytest

from engine.plan.problem import Problem
from engine.rehearsal.crew import Crew
from engine.rehearsal.layout import Layout, Mix
from engine.rehearsal.luck import AS_PLANNED, Luck, draw
from engine.rehearsal.sight import Sight
from tests.rehearsal.small import At, problem, single

TWO = problem([single("1"), single("2")], mixers=2)
LUCK = draw(TWO, 0, AS_PLANNED)
SLOW = replace(LUCK, mix_s=(200.0, 120.0))  # planned 120


class Spy(At):
    """Keeps what is seen when it is first asked at a moment."""

    def __init__(self, factor: float = 1.0, **moments: float) -> None:
        super().__init__(**moments)
        self.factor = factor
        self.seen: dict[float, Problem] = {}

    def next(self, crew: Crew) -> Mix | float:
        sight = Sight(crew)
        sight.factor = self.factor
        self.seen.setdefault(crew.now_s, sight.problem())
        return super().next(crew)


def seen(luck: Luck, factor: float = 1.0, **moments: float) -> dict[float, Problem]:
    spy = Spy(factor, **moments)
    Crew(Layout(TWO, luck)).work(spy)
    return spy.seen


def test_before_anything_is_begun_the_pour_is_seen_as_planned() -> None:
    at_once = seen(LUCK, B1=0.0, B2=150.0)[0.0]
    assert at_once == TWO


def test_a_task_under_way_is_expected_to_end_as_planned_and_soon_when_overdue() -> None:
    views = seen(SLOW, B1=0.0, B2=600.0)
    assert views[105.0].batches[0].mixed_s == 120.0
    assert views[135.0].batches[0].mixed_s == 140.0  # 15 s over: five seconds from now
    mixed = min(at for at in views if at >= 200.0)
    assert views[mixed].batches[0].mixed_s == 200.0  # now it is known


def test_nobody_is_seen_free_before_the_end_of_what_they_are_expected_to_do() -> None:
    view = seen(LUCK, B1=0.0, B2=600.0)[15.0]
    assert [person.free_s for person in view.people] == [180.0, 15.0, 15.0]
    assert [station.free_s for station in view.stations] == [180.0, 15.0]


def test_stages_done_and_under_way_are_facts() -> None:
    views = seen(LUCK, B1=0.0, B2=600.0)
    at = max(at for at in views if at < 250.0)
    laid = views[at].patches[0].placements[0]
    assert (laid.started_s, laid.ended_s) == (140.0, 190.0)
    assert [(fact.started_s, fact.ended_s) for fact in views[at].patches[0].finishing[0].done if fact] == [
        (190.0, 250.0)
    ]


def test_a_finished_patch_is_left_out() -> None:
    views = seen(LUCK, B1=0.0, B2=1200.0)
    assert [patch.id for patch in views[1200.0].patches] == ["P2"]
    assert [batch.id for batch in views[1200.0].batches] == ["B2"]


@pytest.mark.parametrize("factor", [0.8, 1.2])
def test_a_factor_known_moves_every_window(factor: float) -> None:
    limits = seen(LUCK, factor, B1=0.0, B2=150.0)[0.0].batches[1].options[0]
    assert limits.working_s == pytest.approx(400.0 * factor)
    assert limits.joint_s == pytest.approx(500.0 * factor)
    assert limits.passes[2] == pytest.approx((900.0 * factor, 1500.0 * factor))
