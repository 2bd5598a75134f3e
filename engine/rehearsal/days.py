"""A whole job rehearsed once, on a clock moved by hand and a log kept in memory."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

from engine import PROGRAM
from engine.clock import HandClock, Timeline
from engine.job.model import Job
from engine.plan.problem import Miss
from engine.pour.asked import Done, Refused
from engine.pour.events import DayOpened, Event
from engine.pour.intents import Intent
from engine.pour.journal import Journal, open_journal
from engine.pour.state import Day
from engine.pour.views import LiveView
from engine.record.day import DayLog, Opened
from engine.record.lines import Line
from engine.record.written import events_of
from engine.rehearsal.fate import Fate
from engine.rehearsal.incidents import NONE, Incidents
from engine.rehearsal.luck import AS_DRAWN, Spread
from engine.rehearsal.site import Counts, SiteCrew
from engine.words import Words

LONGEST_DAY_S = 24 * 3600.0


@dataclass(frozen=True)
class RehearsedDay:
    """What came of a day: its lines, every window really missed, the last stroke in log time, what it took."""

    events: tuple[Event, ...]
    misses: tuple[Miss, ...]
    end: float
    counts: Counts
    day: Day

    @property
    def clean(self) -> bool:
        """No window was missed."""
        return not self.misses


def rehearse_day(
    job: Job,
    seed: int,
    words: Words,
    spread: Spread = AS_DRAWN,
    incidents: Incidents = NONE,
) -> RehearsedDay:
    """Works a job through the day of a seed. Raises `RuntimeError` where it is not done within 24 hours."""
    clock, lines = HandClock(job.start), list[Line]()
    log = DayLog(Opened(open_journal(job), Timeline(), 0), clock, lines.append, words)
    log.write_first(DayOpened(job, PROGRAM))
    crew = SiteCrew(HandDoor(log, clock), Fate(seed, spread), job.start, incidents)
    while not crew.over:
        if crew.next_at > job.start + LONGEST_DAY_S:
            raise RuntimeError(f"the rehearsed day of {job.name} (seed {seed}) was not done within 24 hours")
        crew.advance(crew.next_at)
    _, events, _ = events_of(lines, "a rehearsed day")
    return RehearsedDay(events, crew.misses, crew.end, crew.counts, log.journal.day)


def days_table(job: Job, days: Sequence[RehearsedDay]) -> dict[str, Any]:
    """What came of rehearsed days as plain JSON values: share of clean ones, misses by kind, mean end."""
    missed: dict[str, int] = {}
    for day in days:
        for kind in {miss.limit for miss in day.misses}:
            missed[kind] = missed.get(kind, 0) + 1
    ends = [day.end - job.start for day in days]
    return {
        "days": len(days),
        "clean_share": sum(day.clean for day in days) / len(days) if days else None,
        "days_missing": missed,
        "mean_length_s": sum(ends) / len(ends) if ends else None,
        "longest_s": max(ends, default=None),
        "lost_batches": sum(not batch.live for day in days for batch in day.day.batches),
    }


class HandDoor:
    """A day in memory whose clock goes where the crew is."""

    def __init__(self, log: DayLog, clock: HandClock) -> None:
        self._log, self._clock = log, clock

    @property
    def journal(self) -> Journal:
        return self._log.journal

    def view(self, at: float) -> LiveView:
        self.go(at)
        return self._log.view()

    def submit(self, intent: Intent, at: float) -> Done | Refused:
        self.go(at)
        return self._log.submit(intent)

    def go(self, at: float) -> None:
        self._clock.advance(max(0.0, at - self._log.now()))
