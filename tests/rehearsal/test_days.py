"""Whole jobs rehearsed through the door of the keys. Source of the rules: the program's own pages on windows and the call."""

from __future__ import annotations

from collections import Counter
from dataclasses import replace
from itertools import pairwise

import pytest

from engine.pour.events import SignSeen, StrokeDone, Tipped, WaterAdded
from engine.pour.journal import fold
from engine.pour.reckoning import Moment
from engine.pour.stages import next_stroke
from engine.rehearsal.days import RehearsedDay, rehearse_day
from engine.rehearsal.fate import Fate
from engine.rehearsal.incidents import Incidents
from engine.rehearsal.luck import AS_PLANNED
from engine.rehearsal.truth import Truth
from tests.pour.driving import mild
from tests.rehearsal.jobs import JOBS, WORDS, as_planned

SEEDS = range(1, 9)


@pytest.mark.parametrize("name", JOBS)
def test_on_a_day_as_planned_nothing_is_missed(name: str) -> None:
    assert as_planned(name).misses == ()


@pytest.mark.parametrize("name", JOBS)
def test_every_bag_is_laid_and_every_stroke_made(name: str) -> None:
    day = as_planned(name)
    moment = Moment(day.day, day.end)
    for pour in moment.day.pours:
        batches = moment.day.batches_of(pour.id)
        assert sum(batch.bags for batch in batches) == moment.takeoffs[pour.id].bags
        assert all(next_stroke(moment, batch) is None for batch in batches)
    assert day.counts.refused == 0


@pytest.mark.parametrize("name", JOBS)
def test_the_lines_folded_again_are_the_day_that_was_lived(name: str) -> None:
    day = as_planned(name)
    assert fold(JOBS[name](), day.events).day == day.day


@pytest.mark.parametrize("seed", SEEDS)
def test_whatever_the_seed_the_lines_folded_again_are_the_day(seed: int) -> None:
    day = rehearse_day(mild(), seed, WORDS, incidents=Incidents(1, 1, 2))
    assert fold(mild(), day.events).day == day.day
    assert [event.seq for event in day.events] == list(range(1, len(day.events) + 1))
    assert all(one.at <= two.at for one, two in pairwise(day.events))


@pytest.mark.parametrize("seed", SEEDS)
def test_nobody_is_in_two_places_and_no_vessel_holds_two_batches(seed: int) -> None:
    day = rehearse_day(mild(), seed, WORDS).day
    strokes = Counter((stroke.who, stroke.at) for batch in day.batches for stroke in batch.strokes)
    assert all(count == 1 for count in strokes.values())
    for station in {batch.station for batch in day.batches}:
        own = sorted((b for b in day.batches if b.station == station), key=lambda batch: batch.water_at)
        for one, two in pairwise(own):
            assert one.mixed_at is not None
            assert two.water_at >= one.mixed_at + mild().times.carry_s + mild().times.rinse_s


def test_the_same_seed_gives_the_same_lines() -> None:
    assert rehearse_day(mild(), 3, WORDS).events == rehearse_day(mild(), 3, WORDS).events
    assert rehearse_day(mild(), 3, WORDS).events != rehearse_day(mild(), 4, WORDS).events


def _at(day: RehearsedDay, kind: type[object]) -> list[float]:
    return [event.at for event in day.events if isinstance(event.body, kind)]


@pytest.mark.parametrize("seed", SEEDS)
def test_no_tool_touches_before_the_surface_is_really_ready(seed: int) -> None:
    day, fate = rehearse_day(mild(), seed, WORDS), Fate(seed)
    truth = Truth(day.day, day.end, fate)
    for batch in day.day.batches:
        windows = truth.windows(batch)
        for stroke in batch.strokes:
            if stroke.name in ("first_trowel", "second_trowel", "broom"):
                assert stroke.at > windows[stroke.name].open


def test_a_material_that_sets_faster_than_its_clock_is_found_out_by_the_first_word() -> None:
    quick = replace(AS_PLANNED, day=(0.8, 0.8))
    day = rehearse_day(mild(), 1, WORDS, quick)
    said = [event for event in day.events if isinstance(event.body, SignSeen)]
    assert [event.body.word for event in said if isinstance(event.body, SignSeen)] == ["ready"]
    before, after = Moment(day.day, said[0].at - 1.0), Moment(day.day, day.end)
    assert after.factor.value > 1.05
    assert before.day is after.day


def test_a_material_that_sets_slower_is_not_yet_ready_when_the_clock_says_due() -> None:
    slow = replace(AS_PLANNED, day=(1.2, 1.2))
    day = rehearse_day(mild(), 1, WORDS, slow)
    words = [event.body.word for event in day.events if isinstance(event.body, SignSeen)]
    assert words == ["not yet", "ready"]
    assert Moment(day.day, day.end).factor.value < 0.95


def test_misses_are_told_with_their_pour_batch_and_seconds() -> None:
    """Setting in a third of the time, with nothing known beforehand: windows must go."""
    rushed = replace(AS_PLANNED, day=(0.35, 0.35))
    day = rehearse_day(mild(), 1, WORDS, rushed)
    assert not day.clean
    pours = {pour.id for pour in mild().pours}
    assert all(
        miss.late_s > 0.0 and miss.patch in pours and miss.batch.startswith(miss.patch) for miss in day.misses
    )


def test_a_lost_batch_is_mixed_again() -> None:
    day = rehearse_day(mild(), 2, WORDS, AS_PLANNED, Incidents(lost_batches=1))
    assert day.counts.lost == 1
    assert day.counts.batches == as_planned("mild").counts.batches + 1
    assert len(_at(day, Tipped)) == len(_at(day, WaterAdded)) - 1
    assert sum(not batch.live for batch in day.day.batches) == 1


def test_somebody_away_stamps_nothing_until_back() -> None:
    days = [rehearse_day(mild(), seed, WORDS, AS_PLANNED, Incidents(absences=1)) for seed in SEEDS]
    both = [day for day in days if len(day.day.absences) == 2]
    assert both
    for day in both:
        gone, back = day.day.absences
        assert (gone.away, back.away, gone.person) == (True, False, back.person)
        assert all(event.who != gone.person for event in day.events if gone.at < event.at < back.at)


def test_a_pass_begun_late_ends_late() -> None:
    """The late pass is drawn among all strokes of the day, so at least one of a few seeds hits one that counts."""
    ends = [rehearse_day(mild(), s, WORDS, AS_PLANNED, Incidents(late_passes=3)).end for s in range(3)]
    assert max(ends) > as_planned("mild").end + 60.0


def test_strokes_are_made_in_their_order() -> None:
    for name in ("library", "community hall"):
        for batch in as_planned(name).day.batches:
            order = [stroke.name for stroke in sorted(batch.strokes, key=lambda s: (s.at, s.seq))]
            assert order[0] == "float"
            assert order[1] == "first_trowel"
            assert set(order[2:]) <= {"second_trowel", "broom", "edge"}
    assert len(_at(as_planned("library"), StrokeDone)) == as_planned("library").counts.strokes
