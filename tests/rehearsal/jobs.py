"""Jobs and words for rehearsed days."""

from __future__ import annotations

import datetime
from functools import cache

from engine.job.files import configs_folder, read_job, read_words
from engine.job.model import Job
from engine.rehearsal.days import RehearsedDay, rehearse_day
from engine.rehearsal.luck import AS_PLANNED
from engine.words import Words
from tests.pour.driving import library, mild

TODAY = datetime.date(2026, 11, 5)
WORDS = Words(read_words("en"))


@cache
def shipped(name: str) -> Job:
    """A demo job that comes with the program."""
    return read_job(configs_folder() / "jobs" / f"{name}.toml", TODAY)


JOBS = {
    "library": library,
    "mild": mild,
    "community hall": lambda: shipped("community-hall"),
    "rowing club": lambda: shipped("rowing-club"),
}


@cache
def as_planned(name: str) -> RehearsedDay:
    """A job's day in which nothing strays."""
    return rehearse_day(JOBS[name](), 1, WORDS, AS_PLANNED)
