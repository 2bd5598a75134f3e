"""What lies and what it will really do: openings and closings at the drawn rates, and every window missed."""

from __future__ import annotations

from dataclasses import dataclass
from math import inf

from engine.plan.problem import Miss
from engine.pour.reckoning import Moment
from engine.pour.state import Batch, Day
from engine.rehearsal.fate import Fate
from engine.rehearsal.strokes import Laid, Stroke
from engine.rehearsal.truth import Truth

LEAVES_S = 60.0  # nobody waits for a word so long that less than this is left for the stroke


@dataclass(frozen=True)
class Watch:
    """A first surface watched: when it seems ready, and when the clock had promised it (None: not before that)."""

    ready: float
    not_yet: float | None


class Surfaces:
    """Every batch in its patch. `misses` grows as windows are missed."""

    def __init__(self, fate: Fate) -> None:
        self.laid: dict[str, Laid] = {}
        self.misses: list[Miss] = []
        self._fate = fate

    def lay(self, day: Day, now: float, batch: Batch, struck: float) -> Laid:
        """A batch tipped now and struck off at a time: what it will do, and whether it was laid in time."""
        truth = Truth(day, now, self._fate)
        windows = truth.windows(batch)
        laid = Laid(
            struck,
            {name: window.open for name, window in windows.items() if name != "float"},
            {name: window.late for name, window in windows.items()},
        )
        self.laid[batch.id] = laid
        self._judge("working", batch, struck - truth.workable_until(batch))
        before = _edge_met(truth, batch)
        if before is not None and batch.tipped_at is not None:
            self._judge("joint", batch, batch.tipped_at - truth.workable_until(before))
        return laid

    def watch(self, day: Day, now: float, batch: Batch) -> Watch | None:
        """Waits for a batch's first trowel: it goes on when the surface seems to be due, however sure that is."""
        truth = Truth(day, now, self._fate)
        window = truth.windows(batch).get("first_trowel")
        if window is None:
            return None
        noise = day.job.practice["learning.word_noise"]
        due_s = truth.card(batch.pour).passes.first_trowel.due_s
        seems = truth.trajectory(batch).time_of(due_s * self._fate.misjudged(batch.id, noise))
        latest = max(window.due, window.late - LEAVES_S)
        ready = min(max(inf if seems is None else seems, window.open), latest)
        self.laid[batch.id].opens["first_trowel"] = ready
        promised = Moment(day, now).windows(batch)["first_trowel"].due
        return Watch(ready, promised if promised < ready - 1.0 else None)

    def stroked(self, day: Day, stroke: Stroke, end: float) -> None:
        """A stroke that ended: late for each batch it closed on before."""
        for batch_id in stroke.batches:
            closes = self.laid[batch_id].closes.get(stroke.name, inf)
            self._judge(stroke.name, day.batch(batch_id), end - closes)

    def _judge(self, limit: str, batch: Batch, late_s: float) -> None:
        if late_s > 0.0:
            self.misses.append(Miss(limit, batch.pour, batch.id, late_s, stamped=True))


def _edge_met(truth: Truth, batch: Batch) -> Batch | None:
    """The batch whose edge this one was laid against, if there is one."""
    before = [
        other
        for other in truth.day.batches_of(batch.pour)
        if (other.water_at, other.seq) < (batch.water_at, batch.seq)
        and truth.lift(other) == truth.lift(batch)
    ]
    return before[-1] if before else None
