"""The events of a log folded into its day, for every reader: a line that cannot follow is named, whatever it says."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from contextlib import contextmanager

from engine.errors import LogDamaged
from engine.job.model import Job
from engine.pour.events import Event
from engine.pour.journal import Journal, open_journal
from engine.record.fitting import check_event
from engine.tables import printable

REFUSALS = (
    ArithmeticError,
    LookupError,
    TypeError,
    ValueError,
)  # what folding a line that does not fit may raise


def taken(journal: Journal, event: Event, path: str) -> Journal:
    """The journal after a line. Raises `LogDamaged` naming a line that does not fit the day before it."""
    try:
        check_event(event, journal.day)
        return journal.take(event)
    except REFUSALS as why:
        raise LogDamaged(path, event.seq, named(why)) from None


def folded(job: Job, events: Iterable[Event], path: str) -> Journal:
    """The journal of a log, or of some of its lines in their order. Raises `LogDamaged` as `taken`."""
    journal = open_journal(job)
    for event in events:
        journal = taken(journal, event, path)
    return journal


@contextmanager
def reckoned(path: str, line: int) -> Iterator[None]:
    """What is reckoned of a day whose lines all follow; figures of it that nothing can be reckoned with are damage.

    Raises `LogDamaged` naming `line`, the last one of that day.
    """
    try:
        yield
    except REFUSALS as why:
        what = f"the day up to this line cannot be reckoned with: {named(why)}; `bagcall check` tells what is odd in it"
        raise LogDamaged(path, line, what) from None


def named(why: Exception) -> str:
    """A refusal in words: a name that the day does not know comes as it is."""
    if isinstance(why, KeyError) and why.args:
        return f"the day has no {printable(str(why.args[0]))[:40]}"
    return printable(str(why)) or type(why).__name__
