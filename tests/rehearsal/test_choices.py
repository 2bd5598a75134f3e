"""Choices: one thing changed at a time, planned by the same scheduler, rehearsed on the same days.

On the cool ramp of the library day wheels are wanted in the afternoon: packets there are known to open it too late.
"""

from __future__ import annotations

from functools import cache

import pytest

from engine.pour.journal import open_journal
from engine.pour.planning import laid_out
from engine.pour.reckoning import Moment
from engine.rehearsal.choices import choices_of
from engine.rehearsal.weighed import SEARCHED, Weighed, choices_table, helps_most, packet_hurts, weighed
from tests.rehearsal.jobs import JOBS, WORDS, library


@cache
def planned() -> tuple[Weighed, ...]:
    """The library day's choices as planned, before any rehearsed day."""
    return list(weighed(library(), 0))[-1]


def row(rows: tuple[Weighed, ...], kind: str, amount: float = 1.0) -> Weighed:
    return next(one for one in rows if one.choice.kind == kind and one.choice.amount == amount)


@pytest.mark.parametrize("name", JOBS)
def test_every_choice_changes_one_thing_of_a_job_that_stays_whole(name: str) -> None:
    job = JOBS[name]()
    base, *others = choices_of(job)
    assert base.job is job
    for choice in others:
        changed = [key for key in job.__dataclass_fields__ if getattr(job, key) != getattr(choice.job, key)]
        assert 1 <= len(changed) <= (3 if choice.kind in ("mixer", "station") else 1)
        assert {pour.id for pour in choice.job.pours} == {pour.id for pour in job.pours}


def test_a_choice_comes_to_what_the_scheduler_says_of_the_changed_job() -> None:
    found = row(planned(), "finisher")
    moment = Moment(open_journal(found.choice.job).day, found.choice.job.start)
    _, schedule = laid_out(moment, rounds=2, search=SEARCHED)
    assert schedule == found.schedule


def test_packets_on_the_cool_ramp_break_the_promise_of_wheels_and_it_is_said() -> None:
    rows = planned()
    assert rows[0].kept
    assert not row(rows, "packets", 2.0).kept
    assert any("would not open to wheels" in WORDS(said) for said in packet_hurts(rows))


def test_fewer_mixers_never_make_the_day_shorter() -> None:
    rows = planned()
    assert row(rows, "without MA", -1.0).plan.end >= rows[0].plan.end


def test_the_answer_is_usable_after_every_round_and_the_same_each_time() -> None:
    first, second = (list(weighed(library(), 1))[-1] for _ in range(2))
    assert [one.ends_s for one in first] == [one.ends_s for one in second]
    assert all(one.days == 1 for one in first)
    table = choices_table(first, WORDS)
    assert len(table["choices"]) == len(first)
    assert (helps_most(first) is None) is (table["helps_most"] is None)


def test_an_answer_stopped_while_the_changes_are_still_planned_is_usable() -> None:
    answers = weighed(library(), 1)
    first, second = next(answers), next(answers)
    assert [one.choice.kind for one in first] == ["as_planned"]
    assert second[0] is first[0]
    assert [len(choices_table(rows, WORDS)["choices"]) for rows in (first, second)] == [1, 2]
