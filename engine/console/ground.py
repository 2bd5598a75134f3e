"""What every door needs: the words, the date on site, the folder of logs, a job at its start, a log as it stands."""

from __future__ import annotations

import datetime
import os
from pathlib import Path

from engine.clock import Clock, SystemClock
from engine.errors import BadInput, Problem
from engine.job.files import read_words
from engine.job.model import Job
from engine.pour.events import DayOpened, Event
from engine.pour.journal import open_journal
from engine.pour.reckoning import Moment
from engine.record.folder import default_folder
from engine.record.store import read_log
from engine.record.written import events_of
from engine.words import Words


def words(language: str = "en") -> Words:
    """The catalogue of a language."""
    return Words(read_words(language))


def date_on_site(clock: Clock | None) -> datetime.date:
    """The date on site, by the machine's zone."""
    return datetime.datetime.fromtimestamp((clock or SystemClock()).stamp().wall).astimezone().date()


def log_folder() -> Path:
    """Where logs live; `BAGCALL_LOGS` names another folder."""
    named = os.environ.get("BAGCALL_LOGS")
    return Path(named) if named else default_folder()


def at_start(job: Job) -> Moment:
    return Moment(open_journal(job).day, job.start)


def read_day(log: Path) -> tuple[Job, tuple[Event, ...], bool]:
    contents = read_log(log)
    job, events, _ = events_of(contents.lines, str(log))
    return job, events, bool(contents.tail)


def made_up(events: tuple[Event, ...]) -> bool:
    opened = events[0].body
    return isinstance(opened, DayOpened) and opened.made_up


def make_way(out: Path) -> None:
    """Make way for a new log. Raises `BadInput` where something stands there already."""
    if out.exists():
        if not out.is_file() or out.stat().st_size:
            raise BadInput(
                [Problem(str(out), "-o", "", "there is something here already; name another file")]
            )
        out.unlink()
