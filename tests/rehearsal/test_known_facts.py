"""What is known of such days beforehand comes out of the choices, and each row is what the scheduler says by hand.

Known, from the fixed-pace arithmetic of one bag (mixing time, carry, tip, strike-off, rinse, load) and from a simulated
study of single bags (stages of 120 s mixing, 50 s placing, 75 s float, 70 s a trowel, assumed ranges, no site record):
at the card's own temperature without packets one station cannot lay the next bag to a live edge; one finisher gets rid of 11 to 12
single bags an hour and two of 22 to 25, whatever the mixers do; a packet on a cool ramp opens it too late for wheels.
"""

from __future__ import annotations

from collections import Counter
from dataclasses import replace
from functools import cache

import pytest

from engine.job.model import Job, Person
from engine.plan.problem import Schedule
from engine.pour.journal import open_journal
from engine.pour.pace import bottleneck
from engine.pour.planning import day_plan, laid_out
from engine.pour.reckoning import Moment
from engine.rehearsal.choices import COOL_K
from engine.rehearsal.weighed import SEARCHED, Weighed, as_dosed, choices_table, weighed
from tests.pour.driving import Drive, library
from tests.rehearsal.jobs import WORDS, shipped

CARD_C = (70.0 - 32.0) / 1.8
BAG_M2 = 0.30
SINGLE_BAGS = 10


def before(job: Job) -> Moment:
    return Moment(open_journal(job).day, job.start)


def by_hand(job: Job) -> Schedule:
    return laid_out(before(job), rounds=2, search=SEARCHED)[1]


@cache
def hall() -> Job:
    return shipped("community-hall")


@cache
def at_70_degf() -> Job:
    """The hall's job with air, slab, bags and water at the temperature its cards are made for, and no packets."""
    weather = replace(hall().conditions[0], air_c=CARD_C, slab_c=CARD_C)
    materials = replace(hall().materials, bags_c=CARD_C, water_c=CARD_C)
    return replace(hall(), conditions=(weather,), materials=materials)


@cache
def single_bags() -> Job:
    """A day of patches of one bag each, trowelled, one mixer and one finisher, at the times of the study."""
    square = replace(
        hall().pour("W1"), area_m2=BAG_M2, depths_m=(0.035,), length_m=None, width_m=None, finish="trowel"
    )
    times = replace(
        hall().times,
        float_s_m2=75.0 / BAG_M2,
        first_trowel_s_m2=70.0 / BAG_M2,
        second_trowel_s_m2=70.0 / BAG_M2,
        edge_s=15.0,
        walk_s=8.0,
    )
    return replace(
        hall(),
        pours=tuple(replace(square, id=f"Q{n}") for n in range(1, SINGLE_BAGS + 1)),
        people=(Person("F", ("place", "finish")), Person("M", ("mix",))),
        stations=hall().stations[:1],
        targets=(),
        times=times,
    )


@cache
def cool_ramp() -> Job:
    """The library's ramp from when it was poured that day."""
    start = Drive(library()).at("10:32:00")
    return replace(library(), pours=tuple(map(library().pour, ("P4", "P5"))), start=start)


@cache
def planned(job: Job) -> tuple[Weighed, ...]:
    return list(weighed(job, 0))[-1]


def row(job: Job, kind: str, amount: float) -> Weighed:
    return next(one for one in planned(job) if one.choice.kind == kind and one.choice.amount == amount)


def cycle_s(job: Job) -> float:
    """From one water contact to the next at one station."""
    times = job.times
    return times.load_s + max(card.mixing_s for card in job.mixes) + times.carry_s + times.rinse_s


def test_at_70_degf_without_retarder_one_station_cannot_keep_a_wet_edge() -> None:
    job = at_70_degf()
    with_one = row(job, "without S2", -1.0)
    assert planned(job)[0].schedule.misses == ()
    assert {miss.limit for miss in with_one.schedule.misses} == {"joint"}
    assert "R1" in {miss.patch for miss in with_one.schedule.misses}


def test_the_arithmetic_of_one_bag_says_the_same() -> None:
    """The next bag comes a cycle later and is tipped as long after its water as the first was; its edge is stiff by then."""
    job = at_70_degf()
    card = job.mixes[-1]
    tipped_s = cycle_s(job) + card.mixing_s + job.times.carry_s + job.times.tip_s
    assert card.name.startswith("Small-stone")
    assert tipped_s > card.setting.working_s + card.mixing_s
    assert tipped_s - cycle_s(job) / 2 < card.setting.working_s + card.mixing_s


def test_a_packet_lets_one_station_keep_the_edge() -> None:
    job = at_70_degf()
    dosed = replace(
        job, stations=job.stations[:1], pours=tuple(replace(pour, packets=1.0) for pour in job.pours)
    )
    assert by_hand(replace(job, stations=job.stations[:1])).misses
    assert not [miss for miss in by_hand(dosed).misses if miss.limit == "joint"]


def test_a_second_finisher_not_a_second_mixer_shortens_a_day_of_single_bags() -> None:
    job = single_bags()
    base, finisher, mixer = planned(job)[0], row(job, "finisher", 1.0), row(job, "mixer", 1.0)
    lengths = [one.plan.end - job.start for one in (base, finisher, mixer)]
    assert lengths[1] < 0.8 * lengths[0]
    assert lengths[2] > 0.95 * lengths[0]
    assert bottleneck(before(job)).name == "finishing"


def test_one_finisher_is_good_for_eleven_to_twelve_single_bags_an_hour() -> None:
    lengths = [by_hand(replace(single_bags(), pours=single_bags().pours[:n])).end_s for n in (6, SINGLE_BAGS)]
    assert 3600.0 * (SINGLE_BAGS - 6) / (lengths[1] - lengths[0]) == pytest.approx(11.5, abs=1.0)


@pytest.mark.parametrize("name", ["community-hall", "rowing-club"])
def test_where_mixing_sets_the_pace_it_is_the_mixer_that_shortens_the_day(name: str) -> None:
    job = shipped(name)
    assert bottleneck(before(job)).name == "mixing"
    assert row(job, "mixer", 1.0).plan.end < planned(job)[0].plan.end - 60.0
    assert row(job, "finisher", 1.0).plan.end > planned(job)[0].plan.end - 60.0


def test_no_packet_goes_on_the_cool_ramp_where_wheels_are_wanted_by_the_target() -> None:
    job = cool_ramp()
    assert planned(job)[0].kept
    assert not row(job, "packets", 1.0).kept
    assert not row(job, "packets", 2.0).kept
    free = replace(job, pours=tuple(replace(pour, packets=None) for pour in job.pours))
    assert set(day_plan(before(free)).doses.values()) == {0.0}


def test_the_last_water_of_a_dose_tells_when_a_packet_begins_to_hurt() -> None:
    job = cool_ramp()
    none, one, two = (
        {water.pour: water.latest for water in found.last_waters}
        for found in (planned(job)[0], row(job, "packets", 1.0), row(job, "packets", 2.0))
    )
    for pour in ("P4", "P5"):
        assert two[pour] < one[pour] < job.start < none[pour]


CHANGED = {
    ("finisher", 1.0): lambda job: replace(
        job, people=(*job.people, Person("one more", ("place", "finish")))
    ),
    ("without S1", -1.0): lambda job: replace(job, stations=job.stations[1:]),
    ("without MA", -1.0): lambda job: replace(job, people=tuple(one for one in job.people if one.id != "MA")),
    ("packets", 1.0): lambda job: replace(job, pours=tuple(replace(pour, packets=1.0) for pour in job.pours)),
    ("water", COOL_K): lambda job: replace(
        job, materials=replace(job.materials, water_c=job.materials.water_c - 10.0)
    ),
    ("start", 1.0): lambda job: replace(job, start=job.start + 3600.0),
}


@pytest.mark.parametrize("key", CHANGED, ids=lambda key: f"{key[0]} {key[1]:+g}")
@pytest.mark.parametrize("job", [hall, library], ids=["hall", "library"])
def test_a_row_is_what_the_scheduler_says_of_the_job_changed_by_hand(job, key) -> None:  # type: ignore[no-untyped-def]
    changed = CHANGED[key](job())
    schedule, found = by_hand(changed), row(job(), *key)
    assert found.schedule.end_s == schedule.end_s
    assert found.schedule.slack_s == schedule.slack_s
    assert found.schedule.misses == schedule.misses
    assert found.plan.end == pytest.approx(changed.start + schedule.end_s)


def test_every_kind_of_change_stands_side_by_side() -> None:
    kinds = {one.choice.kind.partition(" ")[0] for one in planned(library())}
    assert kinds >= {"as_planned", "finisher", "mixer", "without", "vessels", "packets", "water", "start"}
    assert "promised first" in {one.choice.kind for one in planned(library())}


def test_the_table_holds_end_slack_misses_openings_and_cost_for_a_screen() -> None:
    table = choices_table(list(weighed(cool_ramp(), 2))[-1], WORDS)
    for one in table["choices"]:
        assert one["days"] == 2
        assert 0.0 <= one["missed_share"] <= 1.0
        assert one["usual_slack_s"] is not None
        assert (one["missed_share"] == 0.0) <= (one["usual_slack_s"] >= 0.0)
        assert one["cost"] > 0.0
        assert (one["most_missed"] is None) is (one["missed_share"] == 0.0)
        assert {"met", "margin_s"} <= set(one["targets"][0])


def test_days_are_rehearsed_with_the_doses_of_the_plan() -> None:
    job = single_bags()
    open_doses = replace(job, pours=tuple(replace(pour, packets=None) for pour in job.pours[:3]))
    problem, schedule = laid_out(before(open_doses), rounds=1)
    wanted: dict[str, float] = {
        mix.batch: batch.options[mix.option].packets
        for mix in schedule.mixes
        for batch in problem.batches
        if batch.id == mix.batch
    }
    dosed = as_dosed(problem, schedule)
    assert {batch.id: batch.options[0].packets for batch in dosed.batches} == wanted
    assert all(len(batch.options) == 1 for batch in dosed.batches)


def test_what_is_missed_on_most_days_is_named() -> None:
    """At the card's temperature with one station the edge of the ramp goes cold as planned, so it does on most days."""
    found = row(at_70_degf(), "without S2", -1.0)
    rehearsed = replace(found, days=0, missed=0, ends_s=[], slacks_s=[], missed_at=Counter())
    rehearsed.rehearse(range(4))
    (said,) = choices_table((rehearsed,), WORDS)["choices"]
    assert said["most_missed"]["limit"] == "joint"
    assert said["most_missed"]["pour"] in ("R1", "R2", "L1")
    assert said["most_missed"]["days"] <= said["days"] == 4
