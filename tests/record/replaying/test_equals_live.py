"""The past is the day as it was lived: after every line, for the library day and for many rehearsed days.

The measure is the live day itself, looked at as each line was written: its state after every line, its view at some.
"""

from __future__ import annotations

import csv
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest

from engine import PROGRAM, console
from engine.clock import HandClock, Timeline
from engine.job.model import Job
from engine.pour.asked import Done, Refused
from engine.pour.events import DayOpened, Event
from engine.pour.intents import Intent
from engine.pour.journal import Journal, open_journal
from engine.pour.state import Day
from engine.pour.views import LiveView
from engine.record.day import DayLog, Opened
from engine.record.lines import Line
from engine.record.replaying.past import Past, past_of
from engine.record.written import events_of
from engine.rehearsal.fate import Fate
from engine.rehearsal.incidents import Incidents
from engine.rehearsal.site import SiteCrew
from tests.pour.driving import mild
from tests.rehearsal.jobs import WORDS
from tests.tui.test_library_day_by_keys import LIBRARY, STRAY, Hands

DAYS = 200
BUNDLES = 20
TROUBLES = Incidents(lost_batches=1, absences=1, late_passes=2)


class Lived:
    """A live day in memory, on a clock that goes where its crew is; what it was after each line is noted."""

    def __init__(self, job: Job) -> None:
        self.lines: list[Line] = []
        self.days: list[Day] = []
        self.clock = HandClock(job.start)
        self.log = DayLog(Opened(open_journal(job), Timeline(), 0), self.clock, self._put, WORDS)
        self.log.write_first(DayOpened(job, PROGRAM))

    def _put(self, line: Line) -> None:
        self.lines.append(line)
        self.days.append(self.log.journal.day)

    @property
    def journal(self) -> Journal:
        return self.log.journal

    def view(self, at: float) -> LiveView:
        self._go(at)
        return self.log.view()

    def submit(self, intent: Intent, at: float) -> Done | Refused:
        self._go(at)
        return self.log.submit(intent)

    def _go(self, at: float) -> None:
        self.clock.advance(max(0.0, at - self.log.now()))

    def past(self) -> Past:
        job, events, _ = events_of(self.lines, "lived")
        return past_of(job, events)


def rehearsed(job: Job, seed: int, incidents: Incidents = TROUBLES) -> Lived:
    lived = Lived(job)
    crew = SiteCrew(lived, Fate(seed), job.start, incidents)
    while not crew.over:
        crew.advance(crew.next_at)
    return lived


def small(seed: int) -> Job:
    """The closed-form day with two of its pours, in another order for each seed."""
    pours = mild().pours
    return replace(mild(), pours=(pours[seed % len(pours)], pours[(seed + 1 + seed // 3 % 2) % len(pours)]))


@pytest.mark.parametrize("bundle", range(BUNDLES))
def test_after_every_line_of_a_rehearsed_day_the_past_is_the_day_as_lived(bundle: int) -> None:
    for seed in range(bundle, DAYS, BUNDLES):
        lived = rehearsed(small(seed), seed)
        past = lived.past()
        assert past.lines == len(lived.days)
        for line, day in enumerate(lived.days, start=1):
            assert past.journal(line).day == day, (seed, line)


class Seen(Hands):
    """Somebody at the keys of the library day; what was on the screen after each press is noted with its line."""

    def __init__(self, log: Path, days: list[Day]) -> None:
        self.days, self.seen = days, list[tuple[int, LiveView]]()
        super().__init__(log)

    def until(self, at: float) -> None:
        """Two looks are enough for a row to have been in sight for a while."""
        for moment_before in (1.0, 0.0):
            self.clock.advance(max(0.0, at - moment_before - self.session.now()))
            self.live.take_view()
            self.live.lines(40, 12)

    def press(self, *keys: str) -> None:
        for key in keys:
            super().press(key)
            if self.live.view is not None:
                self.seen.append((len(self.days), self.live.view))


@pytest.fixture(scope="module")
def seen(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Seen]:
    """The library day driven by keys, once."""
    days: list[Day] = []
    write = DayLog._write

    def noted(log: DayLog, *given: Any, **named: Any) -> Event:
        event = write(log, *given, **named)
        days.append(log.journal.day)
        return event

    with pytest.MonkeyPatch.context() as patched:
        patched.setattr(DayLog, "_write", noted)
        hands = Seen(tmp_path_factory.mktemp("seen") / "day.jsonl", days)
        with (LIBRARY / "notes.csv").open(encoding="utf-8", newline="") as stream:
            for row in csv.DictReader(stream):
                if row["time"] not in STRAY:
                    hands.do(row)
        hands.session.close()
        yield hands


def test_after_every_line_of_the_library_day_the_past_is_the_day_as_lived(seen: Seen) -> None:
    replay = console.open_replay(Path(seen.session.log_path), seen.clock)
    assert replay.past.lines == len(seen.days) > 100
    for line, day in enumerate(seen.days, start=1):
        assert replay.past.journal(line).day == day, line


def test_the_view_of_the_library_day_is_what_was_on_the_screen(seen: Seen) -> None:
    """The call, rows, crew, queue and readings; banners that came up by themselves and the mark are left aside."""
    replay = console.open_replay(Path(seen.session.log_path), seen.clock)
    first = {line: view for line, view in reversed(seen.seen) if view.at == replay.past.written(line)}
    assert len(first) > 60
    for line in sorted(first)[::2]:
        replay.go_to_line(line)
        shown = replace(replay.view(), mark=None, banners=())
        assert shown == replace(first[line], mark=None, banners=()), line
