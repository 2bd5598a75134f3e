"""A day written down by hand, entered afterwards: the lines that the keys at those times would have written."""

from __future__ import annotations

from collections.abc import Callable, Iterable

from engine.clock import Stamp
from engine.errors import BadInput, Problem
from engine.job.model import Job
from engine.pour import intents as i
from engine.pour.decide import decide
from engine.pour.events import DayOpened, Event, StrokeName
from engine.pour.journal import Journal, open_journal
from engine.pour.lazy import LazyPlan
from engine.pour.reckoning import Moment
from engine.pour.targets import Refusal
from engine.record.notes import NoteRow
from engine.words import Words

ENTERED = "entered"  # the boot mark of lines that no running clock stamped

_STROKES: dict[str, StrokeName] = {
    "floated": "float",
    "first trowel": "first_trowel",
    "second trowel": "second_trowel",
    "broomed": "broom",
    "edged": "edge",
}


def enter(job: Job, rows: Iterable[NoteRow], file: str, words: Words, program: str) -> tuple[Event, ...]:
    """The events of a day's notes. Raises `BadInput` with every row that the day does not allow."""
    rows = tuple(rows)
    began = min([job.start, *(row.at for row in rows)])
    events = [Event(1, began, DayOpened(job, program), Stamp(began, 0.0, ENTERED))]
    journal, problems = open_journal(job), []
    for row in rows:
        try:
            written = _events(journal, row, len(events) + 1, began)
        except Refusal as refused:
            problems.append(
                Problem(file, f"line {row.line}", f"{row.what} {row.which}".strip(), words(refused.reason))
            )
            continue
        for event in written:
            journal = journal.take(event)
            events.append(event)
    if problems:
        raise BadInput(problems)
    return tuple(events)


def _events(journal: Journal, row: NoteRow, seq: int, began: float) -> list[Event]:
    moment = Moment(journal.day, row.at)
    deeds = decide(journal, moment, intent_of(row, journal), LazyPlan(moment))
    stamp = Stamp(row.at, row.at - began, ENTERED)
    return [Event(seq + n, row.at, deed.body, stamp, deed.who, deed.assumed) for n, deed in enumerate(deeds)]


def intent_of(row: NoteRow, journal: Journal) -> i.Intent:
    """What a row of the notes asks for."""
    if row.what in _STROKES:
        return i.StampStroke(_STROKES[row.what], row.which, row.who)
    return _INTENTS[row.what](row, journal)


def _text(row: NoteRow) -> str:
    return row.value if isinstance(row.value, str) else ""


_INTENTS: dict[str, Callable[[NoteRow, Journal], i.Intent]] = {}
