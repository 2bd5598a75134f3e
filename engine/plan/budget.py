"""How much may still be tried: milliseconds of a clock handed in, or a number of evaluations."""

from __future__ import annotations

from collections.abc import Callable

CLOCK_EVERY = 8  # evaluations between two looks at the clock


class Budget:
    """One plan's allowance. Evaluations alone give the same plan for the same problem always."""

    def __init__(self, ms: float | None, evaluations: float, clock: Callable[[], float] | None) -> None:
        self.evaluations, self.used = evaluations, 0
        self.clock = clock if ms is not None else None
        self.began_s = self.clock() if self.clock is not None else 0.0
        self.length_s = (ms or 0.0) / 1000.0
        self._passed = 0.0

    def count(self) -> None:
        """One more plan tried."""
        self.used += 1

    def spent(self) -> float:
        """The share used up, 1 and more when it is over."""
        if self.clock is not None and self.used % CLOCK_EVERY == 0:
            passed_s = self.clock() - self.began_s
            self._passed = passed_s / self.length_s if self.length_s else 1.0
        return max(self._passed, self.used / self.evaluations)
