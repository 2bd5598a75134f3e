"""Drives a day by intents at given times, without files, threads or screens."""

from __future__ import annotations

import datetime
from functools import cache
from zoneinfo import ZoneInfo

from engine.clock import Stamp
from engine.job.files import read_job
from engine.job.model import Job
from engine.pour.decide import decide
from engine.pour.events import Event
from engine.pour.intents import Intent
from engine.pour.journal import Journal, fold, open_journal
from engine.pour.lazy import LazyPlan
from engine.pour.reckoning import Moment
from engine.pour.state import Batch
from tests.scenarios.expected import DATA

TODAY = datetime.date(2026, 11, 5)


@cache
def library() -> Job:
    return read_job(DATA / "library" / "job.toml", TODAY)


@cache
def mild() -> Job:
    """Everything at 70 °F, the mix without heat of its own, three pours with 0, 1 and 2 packets."""
    return read_job(DATA / "isothermal" / "70F" / "job.toml", TODAY)


class Drive:
    """A day under way. Times are `HH:MM:SS` on the job's date."""

    def __init__(self, job: Job) -> None:
        self.job = job
        self.journal: Journal = open_journal(job)
        self.events: list[Event] = []

    def at(self, clock: str) -> float:
        hour, minute, second = (int(part) for part in clock.split(":"))
        date = datetime.date.fromisoformat(self.job.date)
        moment = datetime.datetime(date.year, date.month, date.day, hour, minute, second)
        return moment.replace(tzinfo=ZoneInfo(self.job.zone)).timestamp()

    def moment(self, clock: str) -> Moment:
        return Moment(self.journal.day, self.at(clock))

    def do(self, clock: str, *intents: Intent) -> Drive:
        """Submit intents one after the other at one time. Raises `Refusal`."""
        for intent in intents:
            moment = self.moment(clock)
            for deed in decide(self.journal, moment, intent, LazyPlan(moment)):
                stamp = Stamp(moment.at, moment.at, "driven")
                at = moment.at if deed.at is None else deed.at
                event = Event(len(self.events) + 2, at, deed.body, stamp, deed.who, deed.assumed)
                self.journal = self.journal.take(event)
                self.events.append(event)
        return self

    def batch(self, batch_id: str) -> Batch:
        return self.journal.day.batch(batch_id)

    def due(self, clock: str, batch_id: str, name: str) -> float:
        """When a pass is due, as reckoned at a time."""
        return self.moment(clock).windows(self.batch(batch_id))[name].due

    def refolded(self) -> Journal:
        """The journal of the same events folded afresh, as a replay would."""
        return fold(self.job, self.events)
