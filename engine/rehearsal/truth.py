"""The day as the material lives it: the same clock model, with the rate only the rehearsal knows."""

from __future__ import annotations

from engine.pour.reckoning import Covers, Moment, Steps
from engine.pour.state import Batch, Day
from engine.rehearsal.fate import Fate
from engine.site.trajectory import BatchClock


class Truth(Moment):
    """A moment in which every batch sets at its drawn rate, whatever anybody has said or learned."""

    def __init__(self, day: Day, at: float, fate: Fate) -> None:
        super().__init__(day, at)
        self._fate = fate

    def _clock(self, batch: Batch, covered: Covers, factor: Steps) -> BatchClock:  # noqa: ARG002 learned, not true
        return super()._clock(batch, covered, ((0.0, self._fate.rate(batch.id)),))
