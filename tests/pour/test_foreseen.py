"""Pours that cannot be done are told before the first bag, with the limit that fails first and cures that were tried.

A batch is placed within its working time or lost: mixing, carrying, tipping and striking off have to fit in (arithmetic).
Ten bags are in time on 19 days of 20 where the working time is 1.7 times that need (simulated, stages 25 % off either way).
"""

from __future__ import annotations

from dataclasses import replace

import pytest

from engine.job.files import read_words
from engine.job.model import Job
from engine.pour.dayplan import DayPlan, Task
from engine.pour.foreseen import foreseen_said, foreseen_table, impossible_pours, quiet_gap, sums_table
from engine.pour.journal import open_journal
from engine.pour.reckoning import Moment
from engine.pour.views import CallView
from engine.words import Words, say
from tests.pour.driving import library, mild

WORDS = Words(read_words("en"))


def before(job: Job) -> Moment:
    return Moment(open_journal(job).day, job.start)


def hurried(job: Job, workable_s: float) -> Job:
    """The job with a mix that stays workable for less."""
    setting = replace(job.mixes[0].setting, working_s=workable_s, working_from="water contact")
    return replace(job, mixes=(replace(job.mixes[0], setting=setting),))


def one_pour(job: Job, area_m2: float) -> Job:
    """One pour of the job, as large as that, in one lift."""
    pour = replace(job.pours[0], area_m2=area_m2, length_m=None, width_m=None, depths_m=(0.05,))
    return replace(job, pours=(pour,), targets=())


def test_the_library_day_can_be_done() -> None:
    assert impossible_pours(before(library())) == ()


def test_a_mix_too_quick_to_place_is_told_with_its_working_time_and_a_dose_that_holds() -> None:
    job = library()
    need_s = job.mixes[0].mixing_s + job.times.carry_s + job.times.tip_s + job.times.strike_off_s
    found = impossible_pours(before(hurried(one_pour(mild(), 0.2), need_s * 0.7)))
    assert [(one.limit, one.proven) for one in found] == [("working", True)]
    assert {"retarder", "cooler"} & {cure.kind for cure in found[0].cures}
    assert "working time" in WORDS(foreseen_said(found[0], WORDS))


def test_too_many_bags_at_one_go_are_told_and_a_joint_is_tried() -> None:
    job = replace(mild(), people=tuple(p for p in mild().people if "finish" in p.does or "mix" in p.does))
    found = impossible_pours(before(hurried(one_pour(job, 6.0), 250.0)))
    assert found
    assert found[0].limit != "working"
    told = foreseen_table(found[0], WORDS)
    assert told["cures"]
    assert all(cure["amount"] > 0 for cure in told["cures"])


@pytest.mark.parametrize("pour", library().pours[:3], ids=lambda pour: pour.id)
def test_the_sums_of_a_pour_grow_with_every_packet(pour) -> None:  # type: ignore[no-untyped-def]
    doses = sums_table(before(library()), pour)["doses"]
    ratios = [dose["working_time_over_need"] for dose in doses]
    assert ratios == sorted(ratios)
    for dose in doses:
        assert dose["working_time_over_need"] == pytest.approx(
            1.7 * dose["working_time_s"] / dose["working_time_wanted_s"]
        )


def test_the_longest_stretch_without_work_is_found() -> None:
    tasks = [
        Task("A", "mix", "P1", ("P1.1",), *span, "S")
        for span in ((0.0, 10.0), (5.0, 30.0), (90.0, 95.0), (100.0, 120.0))
    ]
    plan = DayPlan(0.0, tuple(tasks), CallView("done", say("reason.done")), 120.0)
    assert quiet_gap(plan) == (30.0, 90.0)
    assert quiet_gap(DayPlan(0.0, tuple(tasks[:2]), plan.call, 30.0)) is None
