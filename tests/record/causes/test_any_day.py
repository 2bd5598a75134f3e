"""What holds for any log: made-up days with their bad luck, a day kept by hand, lines taken back, moved or missing."""

from __future__ import annotations

import datetime
import time
from functools import cache
from pathlib import Path

import pytest

from engine import console
from engine.clock import Stamp
from engine.job.files import read_job
from engine.job.model import Job
from engine.pour import events as e
from engine.pour.journal import fold
from engine.pour.reckoning import Moment
from engine.record.causes import Missed, causes_of, missed_said, missed_table
from engine.record.report.strokes import stroke_tables
from engine.rehearsal.days import RehearsedDay, rehearse_day
from tests.pour.driving import library
from tests.record.causes.made import HOURS_S, as_planned, later, log, missed, of, small
from tests.record.report.given import library_events

WORDS = console.words()
HALL = Path(__file__).parents[3] / "configs" / "jobs" / "community-hall.toml"
SEEDS = (2, 3, 11)
NEUTRAL = ("fault", "blame", "slow", "failed", "mistake", "should", "careless", "bad")


@cache
def hall() -> Job:
    return read_job(HALL, datetime.date(2026, 5, 4))


@cache
def rehearsed(seed: int) -> RehearsedDay:
    return rehearse_day(hall(), seed, WORDS)


def _adds_up(found: tuple[Missed, ...]) -> None:
    for one in found:
        assert one.late_s > 0.0
        assert one.late_s == pytest.approx(one.actual - one.limit, abs=1e-6)
        assert sum(share.seconds for share in one.shares) == pytest.approx(one.late_s, abs=1e-6)


@pytest.mark.parametrize("seed", SEEDS)
def test_shares_and_rest_are_the_lateness_on_every_made_up_day(seed: int) -> None:
    day = rehearsed(seed)
    found = causes_of(hall(), day.events, day.end)
    _adds_up(found)
    assert len(missed_table(found, WORDS)) == len(missed_said(found)) == len(found)


@pytest.mark.parametrize("part", [0.0, 0.2, 0.5, 0.8])
def test_a_log_cut_anywhere_is_judged_as_far_as_it_goes(part: float) -> None:
    day = rehearsed(2)
    cut = day.events[: 1 + int(part * len(day.events))]
    _adds_up(causes_of(hall(), cut, cut[-1].at))


def test_a_day_kept_by_hand_with_a_half_bag_a_lost_batch_and_signs_adds_up() -> None:
    events = library_events()
    found = causes_of(library(), events, events[-1].at)
    _adds_up(found)
    assert {one.what for one in found} >= {"joint", "first_trowel", "broom"}


@pytest.mark.parametrize("which", ["hand", "made up"])
def test_the_passes_missed_are_those_that_the_report_has_outside_their_windows(which: str) -> None:
    events = library_events() if which == "hand" else rehearsed(3).events
    job = library() if which == "hand" else hall()
    moment = Moment(fold(job, events).day, events[-1].at)
    reported = {
        (batch.id, row["pass"]): row["outside_s"]
        for batch in moment.day.batches
        for row in stroke_tables(moment, batch)
        if (row["outside_s"] or 0.0) > 0.0
    }
    strokes = ("float", "first_trowel", "second_trowel", "broom")
    ours = {(m.batch, m.what): m.late_s for m in causes_of(job, events, moment.at) if m.what in strokes}
    assert ours == pytest.approx(reported, abs=1e-3)


def test_lines_of_equal_times_may_stand_in_any_order() -> None:
    job = small("P1", "P4")
    lines = later(as_planned(job), 300.0, lambda body: of(body, "P1.1") and isinstance(body, e.StrokeDone))
    lines += [(at, e.NoteWritten("as planned"), "") for at, _, _ in lines]
    assert missed(job, reversed(lines)) == missed(job, lines)


def test_a_stamp_moved_to_its_true_time_is_judged_there_and_one_taken_back_not_at_all() -> None:
    job = small("P1", "P4")
    lines = sorted(as_planned(job), key=lambda line: line[0])
    events = log(job, lines)
    last = events[-1]
    stamp = Stamp(last.at, last.at, "made")
    moved = e.Event(last.seq + 1, last.at, e.StampShifted(last.seq, 600.0), stamp)
    gone = e.Event(last.seq + 1, last.at, e.Undone(last.seq), stamp)
    (found,) = causes_of(job, (*events, moved), last.at + HOURS_S)
    assert isinstance(last.body, e.StrokeDone)
    assert (found.what, found.actual) == (last.body.name, last.at + 600.0)
    assert found.of("crew") == pytest.approx(found.late_s)
    assert causes_of(job, (*events, gone), last.at + HOURS_S) == ()


def test_an_empty_log_has_missed_nothing() -> None:
    events = log(small("P1"), [])
    assert causes_of(small("P1"), events, events[-1].at) == ()


def test_a_made_up_day_of_a_dozen_batches_takes_well_under_a_second() -> None:
    day = rehearsed(11)
    began = time.process_time()
    causes_of(hall(), day.events, day.end)
    assert time.process_time() - began < 1.0


def test_the_words_name_things_and_times_and_never_a_person_or_a_fault() -> None:
    events = library_events()
    people = {person.id.casefold() for person in library().people}
    for row in missed_table(causes_of(library(), events, events[-1].at), WORDS):
        words = row["text"].casefold().replace(":", " ").replace(",", " ").split()
        assert not people.intersection(words)
        assert not [word for word in NEUTRAL if word in row["text"].casefold()]


def test_a_row_has_stable_keys_with_units_and_iso_times() -> None:
    events = library_events()
    row = missed_table(causes_of(library(), events, events[-1].at), WORDS)[0]
    keys = ["what", "pour", "batch", "due", "limit", "actual", "promised", "late_s", "shares", "text"]
    assert list(row) == keys
    assert [share["cause"] for share in row["shares"]] == [
        "temperature",
        "packet",
        "materials",
        "pace",
        "waiting",
        "crew",
        "calls",
        "rest",
    ]
