"""A day that was: the journal after each of its lines, and which line was the latest at a moment."""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from collections.abc import Iterable

from engine.clock import Timeline
from engine.job.model import Job
from engine.pour.events import Event
from engine.pour.journal import Journal, open_journal
from engine.record.folded import taken


class Past:
    """All lines so far with the day after each; days share what did not change, so that keeping them all is cheap.

    Lines are counted from 1, as in the log; line 0 is the day before its first line. A line counts from the moment
    it was written, whatever moment it speaks of: that is when the crew knew of it.
    """

    def __init__(self, job: Job, path: str = "") -> None:
        self.job = job
        self._path = path
        self.events: list[Event] = []
        self._journals: list[Journal] = [open_journal(job)]
        self._written: list[float] = []
        self._timeline = Timeline()

    def take(self, events: Iterable[Event]) -> None:
        """The next lines of the log. Raises `LogDamaged` for a line that cannot follow on those before."""
        for event in events:
            self._timeline = self._timeline.seen(event.stamp)
            written = self._timeline.at(event.stamp)
            journal = taken(self._journals[-1], event, self._path)
            self.events.append(event)
            self._journals.append(journal)
            self._written.append(max(written, self._written[-1]) if self._written else written)

    @property
    def lines(self) -> int:
        return len(self.events)

    @property
    def begins(self) -> float:
        """Log time of the first line."""
        return self._written[0] if self._written else self.job.start

    @property
    def ends(self) -> float:
        """Log time of the latest line."""
        return self._written[-1] if self._written else self.job.start

    def journal(self, line: int) -> Journal:
        """The day after a line."""
        return self._journals[line]

    def written(self, line: int) -> float:
        """When a line was written, in log time; never before the line above it."""
        return self._written[line - 1]

    def line_at(self, at: float) -> int:
        """The latest line written by a moment; 0 before the first."""
        return bisect_right(self._written, at)

    def lines_before(self, at: float) -> int:
        """How many lines were written before a moment."""
        return bisect_left(self._written, at)


def past_of(job: Job, events: Iterable[Event]) -> Past:
    """The past of a whole log."""
    past = Past(job)
    past.take(events)
    return past
