"""Every window as it was foretold when the batch was tipped and as it stood when the pass was stamped, beside the stamp."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from typing import Any

from engine.job.model import Job
from engine.pour.events import Event, StrokeName
from engine.pour.reckoning import Moment
from engine.pour.state import Batch, Stroke
from engine.pour.times import iso
from engine.record.replaying.past import Past, past_of
from engine.site.windows import WindowTimes, window_state


@dataclass(frozen=True)
class Predicted:
    """A pass of a batch. `at_tip` is its window as known when the batch was tipped, `latest` as known just before its
    stamp, for a pass that has none as known now. Times are log time in seconds.
    """

    pour: str
    batch: str
    name: StrokeName
    at_tip: WindowTimes
    latest: WindowTimes
    stroke: Stroke | None
    skipped: bool

    @property
    def off_s(self) -> float | None:
        """Stamp less `due` as foretold at the tip: how far the work was from what was first foretold."""
        return self.stroke.at - self.at_tip.due if self.stroke else None

    @property
    def moved_s(self) -> float:
        """How far `due` moved between tip and stamp, by readings and signs; not finite where it is not reached."""
        return self.latest.due - self.at_tip.due


class Foretold:
    """The windows of a past as they were known, line by line; goes on as the past grows.

    Lines taken back later are left out only where the day at `line` says so, so that any line can be asked for.
    """

    def __init__(self, past: Past) -> None:
        self._past = past
        self._seen = 0
        self._tips: dict[str, dict[int, dict[str, WindowTimes]]] = {}  # batch, line of its tip, windows
        self._stamps: dict[tuple[int, str], WindowTimes] = {}  # line of the stamp and batch

    def rows(self, line: int, at: float) -> tuple[Predicted, ...]:
        """Every window of the day after a line, as known then, in the order of the batches and their passes."""
        self.grow(line)
        moment = Moment(self._past.journal(line).day, at)
        return tuple(row for batch in moment.day.batches for row in self._of(moment, batch, line))

    def grow(self, line: int) -> None:
        """Reckon what was foretold up to a line, once."""
        while self._seen < line:
            self._seen += 1
            self._look(self._seen)

    def stamped(self, line: int, batch: str) -> WindowTimes | None:
        """The window of the stamp of a line as known just before it; None for an edge, which has none."""
        return self._stamps.get((line, batch))

    def _look(self, line: int) -> None:
        before, after = self._past.journal(line - 1).day, self._past.journal(line).day
        if before is after or before.batches == after.batches:
            return
        known = {batch.id: batch for batch in before.batches}
        for batch in after.batches:
            if batch is not known.get(batch.id):
                self._changed(line, known.get(batch.id), batch)

    def _changed(self, line: int, old: Batch | None, new: Batch) -> None:
        past = self._past
        if new.tipped_at is not None and new.live and (old is None or old.tipped_at is None):
            moment = Moment(past.journal(line).day, new.tipped_at)
            self._tips.setdefault(new.id, {})[line] = moment.windows(new)
        stroke = new.strokes[-1] if new.strokes else None
        if old is not None and stroke is not None and len(new.strokes) > len(old.strokes):
            window = Moment(past.journal(line - 1).day, stroke.at).windows(old).get(stroke.name)
            if window is not None:
                self._stamps[line, new.id] = window

    def _of(self, moment: Moment, batch: Batch, line: int) -> Iterator[Predicted]:
        tips = [at for at in self._tips.get(batch.id, ()) if at <= line]
        if not tips or not batch.live or batch.tipped_at is None:
            return
        at_tip = self._tips[batch.id][tips[-1]]
        for name, now in moment.windows(batch).items():
            stroke = batch.stroke(name)  # type: ignore[arg-type]
            latest = self._stamps.get((stroke.seq, batch.id), now) if stroke else now
            first = at_tip.get(name, latest)
            yield Predicted(batch.pour, batch.id, name, first, latest, stroke, name in batch.skipped)  # type: ignore[arg-type]


def predicted(past: Past, line: int, at: float) -> tuple[Predicted, ...]:
    """Every window of the day after a line, as it was known by then."""
    return Foretold(past).rows(line, at)


def predicted_table(job: Job, events: Iterable[Event]) -> list[dict[str, Any]]:
    """Every window of a day at its end as plain JSON values: ISO times, seconds; `early`, `late` and the like as of the stamp."""
    past = past_of(job, events)
    return [_row(row) for row in predicted(past, past.lines, past.ends)]


def _row(row: Predicted) -> dict[str, Any]:
    done = row.stroke.at if row.stroke else None
    return {
        "pour": row.pour,
        "batch": row.batch,
        "pass": row.name,
        "at_tip": _window(row.at_tip),
        "latest": _window(row.latest),
        "done": iso(done),
        "skipped": row.skipped,
        "state": window_state(row.latest, done) if done is not None else None,
        "off_s": _finite(row.off_s),
        "moved_s": _finite(row.moved_s),
    }


def _window(window: WindowTimes) -> dict[str, str | None]:
    return {name: iso(getattr(window, name)) for name in ("open", "due", "late", "lost")}


def _finite(seconds: float | None) -> float | None:
    """None for what is not reached within the reckoned days."""
    return None if seconds is None or seconds - seconds != 0.0 else seconds
