"""What went wrong in a day or changed its course, line by line, as the crew could know it then."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Literal, get_args

from engine.pour import events as e
from engine.pour.body import Body
from engine.pour.reckoning import Moment
from engine.pour.state import Batch
from engine.pour.told import told
from engine.record.replaying.past import Past
from engine.record.replaying.predicted import Foretold
from engine.units import show_duration
from engine.words import Say, say

Kind = Literal["lost", "joint", "late", "vessel", "away", "rejected", "clock", "reading"]
KINDS: tuple[Kind, ...] = get_args(Kind)  # the gravest first
OF_BODY: dict[type[Body], Kind] = {
    e.BatchLost: "lost",
    e.PourSplit: "joint",
    e.VesselLost: "vessel",
    e.WentAway: "away",
    e.BagRejected: "rejected",
    e.ClockJumped: "clock",
    e.ReadingTaken: "reading",
}


@dataclass(frozen=True)
class Incident:
    """Its line in the log, when that was written (log time, s), and what it was."""

    line: int
    at: float
    kind: Kind
    said: Say


class Incidents:
    """The incidents of a past; goes on as the past grows. What was taken back later is none."""

    def __init__(self, past: Past, foretold: Foretold) -> None:
        self._past, self._foretold = past, foretold
        self._found: list[Incident] = []
        self._undone: set[int] = set()

    def all(self) -> tuple[Incident, ...]:
        """Those of the lines looked at so far, in the order of the lines."""
        return tuple(one for one in tuple(self._found) if one.line not in self._undone)

    def look(self, line: int) -> None:
        """Look at the next line; lines are looked at in their order, each once."""
        self._foretold.grow(line)
        event = self._past.events[line - 1]
        if isinstance(event.body, e.Undone):
            self._undone.add(event.body.seq)
        written = self._past.written(line)
        self._found += [Incident(line, written, kind, said) for kind, said in self._in(line, event)]

    def _in(self, line: int, event: e.Event) -> Iterator[tuple[Kind, Say]]:
        body = event.body
        if kind := OF_BODY.get(type(body)):
            yield kind, told(event, self._past.job.units)
        elif isinstance(body, e.StrokeDone):
            yield from self._late(line, event, body)
        elif isinstance(body, e.Tipped | e.PartTipped):
            yield from self._joint(line, body.batch)

    def _late(self, line: int, event: e.Event, body: e.StrokeDone) -> Iterator[tuple[Kind, Say]]:
        """One for all batches of a stroke: the one that was past its window by most."""
        windows = {batch: self._foretold.stamped(line, batch) for batch in body.batches}
        by = {batch: event.at - window.late for batch, window in windows.items() if window}
        worst = max(by, key=lambda batch: by[batch], default="")
        if worst and by[worst] > 0.0:
            stroke = body.name.replace("_", " ")
            yield "late", say("incident.late", batch=worst, stroke=stroke, by=show_duration(by[worst]))

    def _joint(self, line: int, batch_id: str) -> Iterator[tuple[Kind, Say]]:
        """A batch tipped against one of its lift that had ceased to be workable."""
        day = self._past.journal(line).day
        batch = day.batch(batch_id)
        moment = Moment(day, batch.tipped_at or 0.0)
        before = _tipped_before(moment, batch)
        by_s = moment.at - moment.workable_until(before) if before else 0.0
        if before and by_s > 0.0:
            yield "joint", say("incident.joint", batch=batch.id, before=before.id, by=show_duration(by_s))


def _tipped_before(moment: Moment, batch: Batch) -> Batch | None:
    """The batch of the same pour and lift tipped last before this one."""
    others = [
        (other.tipped_at, other.seq, other)
        for other in moment.day.batches_of(batch.pour)
        if other.tipped_at is not None and other.id != batch.id and moment.lift(other) == moment.lift(batch)
    ]
    return max(others, key=lambda one: one[:2])[2] if others else None
