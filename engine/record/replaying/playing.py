"""The clock of a replay: a moment of the past that stands still or runs at a pace, read off against a clock outside."""

from __future__ import annotations

from dataclasses import dataclass, replace

PACES = (1, 2, 5, 10, 30, 60)


@dataclass(frozen=True)
class PastClock:
    """At `since` on the clock outside it was `at` in the past. Seconds; `pace` is one of `PACES`."""

    at: float
    since: float = 0.0
    pace: int = 1
    playing: bool = False

    def now(self, outside: float) -> float:
        """The moment of the past."""
        passed_s = max(0.0, outside - self.since)
        return self.at + passed_s * self.pace if self.playing else self.at

    def moved(self, at: float, outside: float) -> PastClock:
        """Set to a moment; it runs on if it ran."""
        return replace(self, at=at, since=outside)

    def played(self, outside: float, playing: bool = True) -> PastClock:
        """Running, or standing still, from where it is."""
        return replace(self.moved(self.now(outside), outside), playing=playing)

    def paced(self, outside: float, by: int) -> PastClock:
        """So many paces faster, or (negative) slower, as far as there are any."""
        place = min(max(PACES.index(self.pace) + by, 0), len(PACES) - 1)
        return replace(self.moved(self.now(outside), outside), pace=PACES[place])
