"""A day that somebody else writes: taken in line by line, looked at, never written."""

from __future__ import annotations

from engine.clock import Clock, Stamp, Timeline
from engine.errors import LogDamaged
from engine.pour.events import DayOpened
from engine.pour.journal import open_journal
from engine.record.day import DayLog, Opened
from engine.record.folded import taken
from engine.record.lines import Line
from engine.record.written import event_of, job_of
from engine.words import Words


class WatchedDay(DayLog):
    """Views of a day from its lines; the first one is its job. A jump of the clock is its writer's to see.

    How fast a made-up day runs its log does not tell: its clock stands at the latest line. Raises `LogDamaged`.
    """

    def __init__(self, first: Line, clock: Clock, words: Words, path: str) -> None:
        timeline = Timeline().seen(first.stamp)
        event = event_of(first, timeline, path)
        journal = taken(open_journal(job_of(event, path)), event, path)
        super().__init__(Opened(journal, timeline, first.seq), clock, _unwritten, words)
        self._path, self._latest_at = path, event.at
        self.made_up = isinstance(event.body, DayOpened) and event.body.made_up

    def take(self, line: Line) -> None:
        """Fold the next line. Raises `LogDamaged` where this program does not know it, or did not know the one before."""
        if line.seq != self._seq + 1:
            raise LogDamaged(
                self._path, self._seq + 1, "it could not be taken in; this program may be too old for it"
            )
        timeline = self._timeline.seen(line.stamp)
        event = event_of(line, timeline, self._path)
        self._journal = taken(self._journal, event, self._path)
        self._timeline, self._seq, self._latest_at = timeline, line.seq, max(self._latest_at, event.at)

    @property
    def lines(self) -> int:
        """How many lines are in."""
        return self._seq

    def now(self) -> float:
        """Log time now."""
        return self._latest_at if self.made_up else super().now()

    def _watch_clock(self, stamp: Stamp) -> None:
        """Left to the program that writes."""


def _unwritten(line: Line) -> None:
    raise AssertionError(f"line {line.seq} of a day that is only looked at")
