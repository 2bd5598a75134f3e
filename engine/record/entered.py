"""A day written down by hand, entered afterwards: the lines that the keys at those times would have written."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from pathlib import Path
from typing import Any

from engine.clock import Stamp
from engine.errors import BadInput, LogDamaged, Problem
from engine.job.files import read_text
from engine.job.model import Job
from engine.pour import intents as i
from engine.pour.body import Body
from engine.pour.decide import decide
from engine.pour.events import DayOpened, Event, ReadingTaken, StrokeName
from engine.pour.journal import Journal, open_journal
from engine.pour.lazy import LazyPlan
from engine.pour.reckoning import Moment
from engine.pour.targets import Refusal
from engine.record.folded import taken
from engine.record.notes import NoteRow, parse_notes
from engine.words import Words, say

MOST_WET = 60  # batches at once; our own choice
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
            journal = _after(journal, written)
        except Refusal as refused:
            problems.append(
                Problem(file, f"line {row.line}", f"{row.what} {row.which}".strip(), words(refused.reason))
            )
            continue
        events += written
    if problems:
        raise BadInput(problems)
    return tuple(events)


def _after(journal: Journal, events: Iterable[Event]) -> Journal:
    """The journal after what a row says. Raises `Refusal` for what no reader of the log would take."""
    try:
        for event in events:
            journal = taken(journal, event, "")
    except LogDamaged as damaged:
        raise Refusal(say("refusal.not_of_a_day", why=damaged.why)) from None
    return journal


def enter_file(job: Job, path: Path, words: Words, program: str) -> tuple[Event, ...]:
    """The events of a notes file. Raises `BadInput` with what its cells and what the day refuse, in one run.

    Below a row that cannot be read the day is not judged: whatever it lacks there may be in that row.
    """
    rows, problems = parse_notes(read_text(path), job, str(path))
    if not problems:
        return enter(job, rows, str(path), words, program)
    lines = [int(one.where.split()[-1]) for one in problems if one.where.startswith("line ")]
    unread = min(lines, default=0)
    try:
        enter(job, [row for row in rows if row.line < unread], str(path), words, program)
    except BadInput as refused:
        raise BadInput([*refused.problems, *problems]) from None
    raise BadInput(problems)


def _events(journal: Journal, row: NoteRow, seq: int, began: float) -> list[Event]:
    moment = Moment(journal.day, row.at)
    if row.what == "water":
        _check_wet(moment)
    deeds = decide(journal, moment, intent_of(row), LazyPlan(moment))
    stamp = Stamp(row.at, row.at - began, ENTERED)
    return [Event(seq + n, row.at, deed.body, stamp, deed.who, deed.assumed) for n, deed in enumerate(deeds)]


def _check_wet(moment: Moment) -> None:
    """Raises `Refusal` where more stands mixed than anybody has vessels for."""
    wet = sum(batch.live and batch.tipped_at is None for batch in moment.day.batches)
    if wet >= MOST_WET:
        raise Refusal(say("refusal.all_wet", wet=wet))


def intent_of(row: NoteRow) -> i.Intent:
    """What a row of the notes asks for."""
    if row.what in _STROKES:
        return i.StampStroke(_STROKES[row.what], row.which, row.who)
    if isinstance(row.value, Body):
        return i.WriteDown(row.value)
    return _INTENTS[row.what](row)


def _text(row: NoteRow) -> str:
    return row.value if isinstance(row.value, str) else ""


def _number(row: NoteRow) -> float | None:
    return row.value if isinstance(row.value, float) else None


def _reading(row: NoteRow) -> i.Intent:
    values: dict[str, Any] = row.value if isinstance(row.value, dict) else {}
    return i.TakeReading(ReadingTaken(pour=row.which, **values))


def _lost(row: NoteRow) -> i.Intent:
    return i.LoseBatch(row.which, _text(row))


def _tipped(row: NoteRow) -> i.Intent:
    return i.StampTipped(row.which, row.who, _text(row))


_INTENTS: dict[str, Callable[[NoteRow], i.Intent]] = {
    "reading": _reading,
    "trial": lambda row: i.StartTrial(row.which, _number(row) or 0.0),
    "trial stiff": lambda row: i.TrialStiff(row.which),
    "water": lambda row: i.AddWater(row.which, row.who, _number(row)),
    "half bag": lambda row: i.AddWater(row.which, row.who, half=True),
    "mixed": lambda row: i.StampMixed(row.which, row.who),
    "tipped": _tipped,
    "ready": lambda row: i.SeeReady(row.which),
    "not yet": lambda row: i.SeeNotYet(row.which),
    "stiff": lambda row: i.SeeStiff(row.which),
    "still moves": lambda row: i.SeeStillMoves(row.which),
    "lost": _lost,
    "rejected": lambda row: i.RejectBag(row.which, _text(row)),
    "vessel lost": lambda row: i.LoseVessel(row.which, _text(row)),
    "soaked": lambda row: i.SoakPour(row.which),
    "covered": lambda row: i.CoverPour(row.which, "blanket" if row.value == "blanket" else "sheet"),
    "uncovered": lambda row: i.UncoverPour(row.which),
    "opened": lambda row: i.OpenPour(row.which, "wheels" if row.value == "wheels" else "feet", row.who),
    "packets": lambda row: i.CorrectPackets(row.which, _number(row) or 0.0),
    "away": lambda row: i.MarkAway(row.who),
    "back": lambda row: i.MarkBack(row.who),
    "skip": lambda row: i.SkipNext(row.which),
    "split": lambda row: i.SplitPour(row.which, _number(row)),
    "note": lambda row: i.WriteNote(_text(row), row.which),
    "undo": lambda _: i.Undo(),
    "freeze": lambda _: i.FreezeFactor(),
    "free": lambda _: i.FreeFactor(),
    "forget": lambda row: i.ForgetSign(int(_number(row) or 0)),
}
