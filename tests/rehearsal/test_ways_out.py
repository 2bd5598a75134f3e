"""Ways out of trouble, taken on rehearsed days whose every task takes as long as planned: they miss nothing.

The days are made up; what is held is that the schedule behind an offer is one the day can keep.
"""

from __future__ import annotations

import datetime
from functools import cache
from pathlib import Path

import pytest

from engine.clock import HandClock, Timeline
from engine.job.files import read_job, read_words
from engine.job.model import Job
from engine.pour import intents as i
from engine.pour.around.ways_out import WaysOut
from engine.pour.asked import Done
from engine.pour.events import DayOpened
from engine.pour.journal import open_journal
from engine.pour.needs import bags_needed
from engine.pour.reckoning import Moment
from engine.record.day import DayLog, Opened
from engine.rehearsal.days import HandDoor
from engine.rehearsal.fate import Fate
from engine.rehearsal.luck import AS_PLANNED
from engine.rehearsal.site import SiteCrew
from engine.words import Words

JOBS = Path(__file__).parents[2] / "configs" / "jobs"
TODAY = datetime.date(2026, 11, 5)
LONGEST_S = 4 * 3600.0
GRAIN_S = 2.0  # a batch to come is planned by a clock begun up to five minutes before its water


@cache
def job(name: str) -> Job:
    return read_job(JOBS / f"{name}.toml", TODAY)


class Site:
    """A rehearsed day without luck, and the hand that meddles in it."""

    def __init__(self, name: str) -> None:
        self.start = job(name).start
        self.clock = HandClock(self.start)
        opened = Opened(open_journal(job(name)), Timeline(), 0)
        self.log = DayLog(opened, self.clock, lambda _: None, Words(read_words("en")))
        self.log.write_first(DayOpened(job(name), "test"))
        self.door = HandDoor(self.log, self.clock)
        self.crew = SiteCrew(self.door, Fate(1, AS_PLANNED), self.start)

    def work_until(self, seconds: float) -> None:
        while self.crew.next_at <= self.start + seconds:
            self.crew.advance(self.crew.next_at)
        self.door.go(self.start + seconds)

    def befall(self, trouble: str) -> None:
        if trouble == "vessel":
            self.do(i.LoseVessel("S1", "split"))
        elif trouble == "lost":
            standing = [b for b in self.log.journal.day.batches if b.live and b.tipped_at is None]
            if not standing:
                pytest.skip("nothing is in a vessel at this moment")
            self.do(i.LoseBatch(standing[-1].id, "dropped"))
        else:
            self.do(i.MarkAway(trouble))

    def do(self, intent: i.Intent) -> Done:
        answer = self.log.submit(intent)
        assert isinstance(answer, Done), answer
        return answer

    def offered(self) -> WaysOut:
        return self.log.ways_out()

    def missed_to_the_end(self) -> list[str]:
        """Windows missed from now on, by more than the plan's grain."""
        before = len(self.crew.misses)
        while not self.crew.over and self.crew.next_at < self.start + LONGEST_S:
            self.crew.advance(self.crew.next_at)
        assert self.crew.over
        return [
            f"{miss.limit} {miss.batch} {miss.late_s:.0f}"
            for miss in self.crew.misses[before:]
            if miss.late_s > GRAIN_S
        ]


def in_trouble(trouble: str, seconds: float, name: str = "community-hall") -> Site:
    site = Site(name)
    site.work_until(seconds)
    site.befall(trouble)
    return site


TROUBLES = [
    ("lost", 300.0),
    ("lost", 600.0),
    ("lost", 780.0),
    ("vessel", 300.0),
    ("MA", 300.0),
    ("F", 900.0),
    ("vessel", 900.0),
]


@pytest.mark.parametrize(("trouble", "seconds"), TROUBLES)
def test_every_way_out_that_is_offered_misses_nothing_when_it_is_taken(trouble: str, seconds: float) -> None:
    found = in_trouble(trouble, seconds).offered()
    assert found.trouble is not None
    for place in range(len(found.ways)):
        site = in_trouble(trouble, seconds)
        site.do(site.offered().ways[place].intent)
        assert site.missed_to_the_end() == [], found.ways[place].parts


@pytest.mark.parametrize(("trouble", "seconds"), TROUBLES)
def test_one_undo_takes_a_way_out_back_whole(trouble: str, seconds: float) -> None:
    site = in_trouble(trouble, seconds)
    for way in site.offered().ways:
        before = site.log.journal.day
        site.do(way.intent)
        site.do(i.Undo())
        assert site.log.journal.day == before


@pytest.mark.parametrize(("trouble", "seconds"), TROUBLES)
def test_a_way_out_moves_no_clock_that_runs(trouble: str, seconds: float) -> None:
    site = in_trouble(trouble, seconds)
    before = [(b.id, b.water_at, b.mixed_at, b.tipped_at, b.strokes) for b in site.log.journal.day.batches]
    for way in site.offered().ways:
        site.do(way.intent)
        after = [(b.id, b.water_at, b.mixed_at, b.tipped_at, b.strokes) for b in site.log.journal.day.batches]
        assert after == before
        site.do(i.Undo())


@pytest.mark.parametrize(("trouble", "seconds"), TROUBLES)
def test_at_most_three_ways_are_offered_and_each_says_what_it_costs(trouble: str, seconds: float) -> None:
    site = in_trouble(trouble, seconds)
    ways = site.offered().ways
    assert 1 <= len(ways) <= 3
    assert len({way.parts for way in ways}) == len(ways)
    needed = bags_needed(Moment(site.log.journal.day, site.log.now()))
    for way in ways:
        assert 0.0 <= way.risk <= 1.0
        assert 0.0 <= way.left_bags <= needed
        assert way.slack_s >= 0.0


def test_a_day_that_goes_well_has_nothing_to_get_out_of() -> None:
    site = Site("community-hall")
    site.work_until(20.0)
    found = site.offered()
    assert found.trouble is None
    assert found.ways == ()


def test_a_trouble_answered_is_no_trouble_any_more() -> None:
    site = in_trouble("MA", 300.0)
    site.do(site.offered().ways[0].intent)
    assert site.offered().trouble is None


def test_a_pass_that_went_late_may_be_left_as_it_is() -> None:
    site = Site("community-hall")
    site.work_until(1500.0)
    for who in ("F", "Lead"):
        site.do(i.MarkAway(who))
    site.door.go(site.start + 1680.0)
    for who in ("F", "Lead"):
        site.do(i.MarkBack(who))
    found = site.offered()
    assert found.trouble is not None
    assert found.trouble.key == "trouble.late"
    assert [way.parts[0][0] for way in found.ways] == ["skip_pass"]
    site.do(found.ways[0].intent)
    assert site.offered().trouble is None
