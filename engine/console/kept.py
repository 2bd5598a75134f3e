"""A log as it stands: written from notes, at a moment, as a list, and the visits still due by it."""

from __future__ import annotations

import datetime
from pathlib import Path
from typing import Any

from engine import PROGRAM
from engine.clock import Clock, SystemClock, Timeline
from engine.console.ground import date_on_site, made_up, make_way, read_day
from engine.job.files import read_job
from engine.pour.around.coming_back import visit_table, visits_due
from engine.pour.planning import quick_plan
from engine.pour.reckoning import Moment
from engine.pour.status import status as status_of
from engine.record.calendar import due_calendar
from engine.record.entered import enter_file
from engine.record.folded import folded, reckoned
from engine.record.lines import FIRST_HASH, encode
from engine.record.listing import as_text, listing
from engine.record.moments import moment_named
from engine.record.store import create_log
from engine.record.written import line_of
from engine.words import Words

DAY_S = 24 * 3600.0


def enter(job_path: Path, notes_path: Path, out: Path, said: Words, clock: Clock | None = None) -> int:
    """Write the log of a day's notes; the number of lines. Raises `BadInput` for what the files or the day refuse."""
    job = read_job(job_path, date_on_site(clock))
    events = enter_file(job, notes_path, said, PROGRAM)
    previous, whole, timeline = FIRST_HASH, bytearray(), Timeline()
    for event in events:
        timeline = timeline.seen(event.stamp)
        chunk, previous = encode(line_of(event, timeline.at(event.stamp)), previous)
        whole += chunk
    make_way(out)
    create_log(out, bytes(whole)).close()
    return len(events)


def status(log: Path, at: str | None, said: Words, clock: Clock | None = None) -> dict[str, Any]:
    """A log at a moment (left out: now, or the day's last line where that day is over), as plain JSON values."""
    job, events, torn = read_day(log)
    now = (clock or SystemClock()).stamp().wall
    when = moment_named(at, job, log) if at else max(events[-1].at, min(now, events[-1].at + DAY_S))
    journal = folded(job, (event for event in events if event.at <= when), str(log))
    moment = Moment(journal.day, when)
    with reckoned(str(log), events[-1].seq):
        found = status_of(moment, quick_plan(moment), said)
    marks = {"torn_tail": torn, "rehearsal": made_up(events)}
    return found | {mark: True for mark, is_so in marks.items() if is_so}


def returns(
    log: Path, said: Words, out: Path | None = None, clock: Clock | None = None
) -> list[dict[str, Any]]:
    """Visits still due by a log; `out` gets those with a day as a calendar file. Raises as `status` does."""
    job, events, _ = read_day(log)
    moment = Moment(folded(job, events, str(log)).day, events[-1].at)
    with reckoned(str(log), events[-1].seq):
        due = visits_due(moment)
    if out is not None:
        make_way(out)
        written = datetime.datetime.fromtimestamp((clock or SystemClock()).stamp().wall, datetime.UTC)
        out.write_text(due_calendar(job, due, written, said), encoding="utf-8", newline="")
    return [visit_table(visit, said) for visit in due]


def replay_list(log: Path, said: Words) -> list[dict[str, Any]]:
    """Every line of a log in words."""
    job, events, _ = read_day(log)
    folded(job, events, str(log))
    with reckoned(str(log), events[-1].seq):
        return listing(job, events, said)


def replay_text(entries: list[dict[str, Any]], said: Words) -> str:
    """The list as lines of text."""
    return as_text(entries, said)
