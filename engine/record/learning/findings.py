"""What logs tell of one value, or why they do not tell it."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from engine.mix.learned import Learned
from engine.words import Say

TENTH = 1.2815515655446004  # of the normal law: 8 in 10 lie within so many spreads of the mean
LEAST_STAMPS = 5
FAR_OUT = 3.5  # spreads of ln around the median: a stamp so far out is set apart
LEAST_SPREAD = 0.15  # in ln: stamps nearer to one another than work ever is set none apart


@dataclass(frozen=True)
class Finding:
    """A value in SI units beside the card's or the job's, with 10 and 90 per cent; `why` where it is not told.

    `observations` speak of it, on so many days; `apart` were left out; `at_most`: it is a bound from above.
    """

    of: str
    key: str
    was: float
    observations: int
    days: int
    value: float | None = None
    low: float | None = None
    high: float | None = None
    apart: int = 0
    at_most: bool = False
    why: Say | None = None

    @property
    def learned(self) -> Learned | None:
        """What a learned file keeps of it; None where it is not told."""
        if self.why is not None or self.value is None or self.low is None or self.high is None:
            return None
        return Learned(self.of, self.key, self.value, self.low, self.high, self.observations, self.was)


@dataclass(frozen=True)
class Spread:
    """Median, 10 and 90 per cent of what was stamped, how many, and how many were set apart."""

    median: float
    low: float
    high: float
    count: int
    apart: int


def spread_of(values: Sequence[float]) -> Spread:
    """The spread of positive values, those far out set apart. Raises `ValueError` without any."""
    logs = sorted(math.log(value) for value in values)
    middle = _share(logs, 0.5)
    reach = FAR_OUT * max(LEAST_SPREAD, 1.4826 * _share(sorted(abs(x - middle) for x in logs), 0.5))
    kept = [x for x in logs if abs(x - middle) <= reach]
    tenth, median, ninth = (math.exp(_share(kept, share)) for share in (0.1, 0.5, 0.9))
    return Spread(median, tenth, ninth, len(kept), len(logs) - len(kept))


def _share(ordered: Sequence[float], share: float) -> float:
    """Where a share of ordered values lies, straight lines between them."""
    if not ordered:
        raise ValueError("there is no spread of nothing")
    place = share * (len(ordered) - 1)
    below = math.floor(place)
    above = min(below + 1, len(ordered) - 1)
    return ordered[below] + (ordered[above] - ordered[below]) * (place - below)
