"""Choices of a day side by side, weighed in a process of their own: what goes in and what comes out, each a line of text."""

from __future__ import annotations

import json
from collections.abc import Iterator

from engine.job.model import Job
from engine.plain import from_plain, to_plain
from engine.pour.around.plan_page import as_queued
from engine.pour.state import Day
from engine.rehearsal.weighed import choices_table, weighed
from engine.words import Words


def choices_asked(day: Day, words: Words) -> str:
    """The whole visit with queue and crew as they stand, and the texts to answer in."""
    return json.dumps({"job": to_plain(as_queued(day)), "texts": words.texts()})


def choices_answered(asked: str, days: int) -> Iterator[str]:
    """A table of choices as JSON, each better than the one before: first planned one by one, then rehearsed on `days`.

    Raises `ValueError` for a line that `choices_asked` did not write.
    """
    given = json.loads(asked)
    job, words = from_plain(Job, given["job"]), Words(given["texts"])
    for rows in weighed(job, days):
        yield json.dumps({**choices_table(rows, words), "time_zone": job.zone})
