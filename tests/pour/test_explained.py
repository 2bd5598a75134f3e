"""What a foreman would explain of a day, each found again by another way: every crew and every size planned by hand.

Ten bags are in time on 19 days of 20 where the working time is 1.7 times mixing, carrying and placing (simulated study, stages
25 % off either way); at the card's own temperature without packets one station lays one bag to no live edge (arithmetic).
"""

from __future__ import annotations

from dataclasses import replace
from itertools import combinations
from random import Random

import pytest

from engine.job.model import Job, Person
from engine.pour.around.explained import (
    MOST_BAGS,
    SEARCHED,
    Explained,
    explained,
    explained_said,
    explained_table,
    most_bags_at_one_go,
    smallest_crew,
    working_time,
)
from engine.pour.journal import open_journal
from engine.pour.planning import day_plan, laid_out
from engine.pour.reckoning import Moment
from engine.rehearsal.luck import stretch_of
from tests.pour.driving import library, mild
from tests.rehearsal.jobs import JOBS, WORDS

ALL_SKILLS = {"mix", "place", "finish"}


def start_of(job: Job) -> Moment:
    return Moment(open_journal(job).day, job.start)


def found_in(job: Job) -> Explained:
    return explained(start_of(job), day_plan(start_of(job)))


def clean_end_s(job: Job) -> float | None:
    """End of the plan where it misses nothing."""
    schedule = laid_out(start_of(job), rounds=2, search=SEARCHED)[1]
    return None if schedule.misses else schedule.end_s


def crews_that_hold(job: Job) -> dict[tuple[str, ...], float]:
    """Every subset of the crew, planned."""
    found = {}
    for count in range(1, len(job.people) + 1):
        for people in combinations(job.people, count):
            if {skill for person in people for skill in person.does} == ALL_SKILLS:
                end_s = clean_end_s(replace(job, people=people))
                if end_s is not None:
                    found[tuple(person.id for person in people)] = end_s
    return found


@pytest.mark.parametrize("name", JOBS)
def test_no_smaller_crew_holds_the_job_and_none_as_small_is_done_sooner(name: str) -> None:
    job = JOBS[name]()
    held, crew = crews_that_hold(job), smallest_crew(job)
    assert crew is not None
    least = min(map(len, held))
    assert len(crew.people) == least
    soonest_s = min(end for people, end in held.items() if len(people) == least)
    assert crew.end - job.start == pytest.approx(soonest_s, abs=0.001)


def test_a_crew_too_small_is_told_who_is_missing() -> None:
    """One mixer with one station cannot lay four bags to a live edge without packets; two can."""
    job = mild()
    pour = replace(job.pours[0], area_m2=0.62, length_m=None, width_m=None, depths_m=(0.05,), packets=0.0)
    small = replace(
        job,
        pours=(pour,),
        targets=(),
        people=(Person("F", ("place", "finish")), Person("M", ("mix",))),
        stations=job.stations[:1],
    )
    assert clean_end_s(small) is None
    crew = smallest_crew(small)
    assert crew is not None
    assert crew.people == ("F", "M")
    assert crew.mixers_more >= 1
    assert any("too small" in WORDS(said) for said in explained_said(found_in(small), small))


@pytest.mark.parametrize("packets", [0.0, 1.0])
def test_one_bag_more_than_the_most_cannot_be_held(packets: float) -> None:
    job = replace(mild(), people=mild().people[:2], stations=mild().stations[:1])
    pour = replace(job.pours[0], packets=packets)
    most = most_bags_at_one_go(job, pour)
    for bags, holds in ((most or MOST_BAGS, True), ((most or 0) + 1, False)):
        if most is None and not holds:
            continue
        area_m2 = pour.area_m2 * (bags - 0.02) / start_of(job).takeoffs[pour.id].bags_exact
        sized = replace(pour, area_m2=area_m2, length_m=None, width_m=None, after=())
        alone = replace(job, pours=(sized,), targets=(), deadlines=())
        assert start_of(alone).takeoffs[pour.id].bags == bags
        assert (clean_end_s(alone) is not None) is holds
    assert packets or most == 1


def test_the_working_time_wanted_keeps_ten_bags_in_time_on_19_days_of_20() -> None:
    """Simulated anew: mixing, carrying and placing each 25 % off either way, ten bags a day."""
    job = library()
    time = working_time(start_of(job), job.pours[0])
    assert time.wanted_s == pytest.approx(1.7 * time.need_s)
    card, times, rng = job.mixes[0], job.times, Random(1)
    stages = (card.mixing_s, times.tip_s + times.strike_off_s)
    days = 2000
    in_time = sum(
        all(
            times.carry_s + sum(stage * stretch_of(rng, 0.25) for stage in stages) <= time.wanted_s
            for _ in range(10)
        )
        for _ in range(days)
    )
    assert 0.93 <= in_time / days <= 0.995


def test_a_working_time_under_what_is_wanted_is_the_bottleneck_and_no_hands_are_asked_for() -> None:
    job = mild()
    setting = replace(job.mixes[0].setting, working_s=200.0, working_from="water contact")
    found = found_in(replace(job, mixes=(replace(job.mixes[0], setting=setting),)))
    assert found.bottleneck == "working time"
    assert "more of them would not help" in " ".join(map(WORDS, explained_said(found, job)))


@pytest.mark.parametrize("name", JOBS)
def test_the_table_and_the_sentences_say_the_same(name: str) -> None:
    job = JOBS[name]()
    found = found_in(job)
    table = explained_table(found, job, WORDS)
    told = " ".join(table["explained"])
    assert table["bottleneck"] in ("mixing", "placing", "finishing", "working time")
    assert f"{table['bags_per_hour']:.0f} bags an hour" in told
    assert ("even 12 bags" in told) is (table["most_bags_in_one_pour"] is None)
    assert ("break: " in told) is (table["quiet_gap"] is not None)
    assert table["working_time"]["wanted_s"] == pytest.approx(1.7 * table["working_time"]["need_s"])
