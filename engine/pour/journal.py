"""Events in order with the day after each: undo of any depth is a step back, a shifted stamp refolds from its line.

Nothing is erased: the log keeps every line, the journal holds those that stand.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace

from engine.job.model import Job
from engine.pour.events import ClockJumped, DayOpened, Event, StampShifted, Undone
from engine.pour.fold import apply
from engine.pour.state import Day, new_day

SYSTEM = (DayOpened, ClockJumped)


@dataclass(frozen=True, eq=False)
class Journal:
    """A chain of standing lines. `event` is the latest one, `before` the journal without it."""

    day: Day
    event: Event | None = None
    before: Journal | None = None

    def take(self, event: Event) -> Journal:
        """The journal after a line of the log."""
        body = event.body
        if isinstance(body, SYSTEM):
            return self
        if isinstance(body, Undone):
            return self._undone(body.seq)
        if isinstance(body, StampShifted):
            return Journal(_refold(self, body), event, self)
        return Journal(apply(self.day, event), event, self)

    def _undone(self, seq: int) -> Journal:
        """Raises `ValueError` where the line taken back is not the latest one standing."""
        if self.event is None or self.before is None or self.event.seq != seq:
            raise ValueError(f"line {seq} cannot be taken back: it is not the latest one standing")
        return self.before

    def standing(self) -> tuple[Event, ...]:
        """The lines that stand, oldest first, shifted stamps at their shifted time; shifts themselves left out."""
        shifts: dict[int, float] = {}
        found: list[Event] = []
        node: Journal | None = self
        while node is not None and node.event is not None:
            body = node.event.body
            if isinstance(body, StampShifted):
                shifts[body.seq] = shifts.get(body.seq, 0.0) + body.by_s
            else:
                found.append(node.event)
            node = node.before
        return tuple(_shifted(event, shifts) for event in reversed(found))

    def latest(self) -> Event | None:
        """The latest standing line that is not a shift, at its shifted time."""
        lines = self.standing()
        return lines[-1] if lines else None


def open_journal(job: Job) -> Journal:
    """A journal with nothing in it."""
    return Journal(new_day(job))


def fold(job: Job, events: Iterable[Event]) -> Journal:
    """The journal of a whole log."""
    journal = open_journal(job)
    for event in events:
        journal = journal.take(event)
    return journal


def _shifted(event: Event, shifts: dict[int, float]) -> Event:
    by_s = shifts.get(event.seq)
    return event if not by_s else replace(event, at=event.at + by_s, how="shifted")


def _refold(journal: Journal, shift: StampShifted) -> Day:
    """The day with one stamp moved: every standing line folded again."""
    moved = [_shifted(event, {shift.seq: shift.by_s}) for event in journal.standing()]
    day = new_day(journal.day.job)
    for event in moved:
        day = apply(day, event)
    return day
