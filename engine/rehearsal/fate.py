"""What a rehearsed job draws, by name: each batch, stroke and sign has its own draw, whatever the order of the day."""

from __future__ import annotations

from dataclasses import dataclass
from math import exp
from random import Random

from engine.rehearsal.luck import AS_DRAWN, AS_PLANNED, Spread, stretch_of


@dataclass(frozen=True)
class Fate:
    """One day's draws. A stretch multiplies a planned duration; a rate multiplies the speed of setting."""

    seed: int
    spread: Spread = AS_DRAWN

    def stretch(self, what: str, of: str) -> float:
        """How much longer than planned a task takes: `of` names the batch or pour, `what` the task."""
        return stretch_of(self._dice(what, of), self.spread.tasks)

    def rate(self, batch: str) -> float:
        """How fast a batch sets against its clock: the day's factor and its own."""
        day = self._dice("day", "").uniform(*self.spread.day)
        return 1.0 / (day * self._dice("batch", batch).uniform(*self.spread.batch))

    def misjudged(self, batch: str, noise: float) -> float:
        """How far off a finisher's word on a batch's surface is; `noise` is in ln of set age."""
        return 1.0 if self.spread == AS_PLANNED else exp(self._dice("word", batch).gauss(0.0, noise))

    def choice(self, what: str, among: int) -> int:
        """A number below `among`."""
        return self._dice(what, "").randrange(among)

    def between(self, what: str, low: float, high: float) -> float:
        """A number in a range."""
        return self._dice(what, "").uniform(low, high)

    def _dice(self, what: str, of: str) -> Random:
        return Random(f"{self.seed}/{what}/{of}")
