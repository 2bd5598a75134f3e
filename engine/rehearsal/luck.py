"""What a rehearsed day draws: how long each task really takes and how fast the material really sets.

Every task has its own draw, made up front in a fixed order, so that different callers meet the same day.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import exp, log, sqrt
from random import Random

from engine.plan.problem import Problem


@dataclass(frozen=True)
class Spread:
    """How far a day strays: `tasks` is the coefficient of variation of durations, the rest bounds of uniform factors."""

    tasks: float = 0.25
    day: tuple[float, float] = (0.8, 1.2)  # of every window of the day
    batch: tuple[float, float] = (0.95, 1.05)  # of one batch's, on top


AS_DRAWN = Spread()
AS_PLANNED = Spread(0.0, (1.0, 1.0), (1.0, 1.0))


@dataclass(frozen=True)
class Luck:
    """One day's draws, numbered as the problem lists batches, placements and passes. Seconds and plain factors."""

    day_factor: float
    batch_factor: tuple[float, ...]
    mix_s: tuple[float, ...]
    place_s: tuple[tuple[float, ...], ...]  # by patch, placement
    pass_s: tuple[tuple[tuple[float, ...], ...], ...]  # by patch, job, pass

    def window_factor(self, batch: int) -> float:
        """What multiplies every window of a batch."""
        return self.day_factor * self.batch_factor[batch]


def stretch_of(rng: Random, variation: float) -> float:
    """A log-normal factor of mean 1 and the coefficient of variation given; it always takes one draw."""
    spread = sqrt(log(1.0 + variation * variation))
    return exp(spread * rng.gauss(0.0, 1.0) - spread * spread / 2.0)


def draw(problem: Problem, seed: int, spread: Spread = AS_DRAWN) -> Luck:
    """The day of a seed for a problem; the same seed always gives the same day."""
    rng = Random(seed)
    day_factor = rng.uniform(*spread.day)
    batch_factor = tuple(rng.uniform(*spread.batch) for _ in problem.batches)

    def real(planned_s: float) -> float:
        return planned_s * stretch_of(rng, spread.tasks)

    return Luck(
        day_factor=day_factor,
        batch_factor=batch_factor,
        mix_s=tuple(real(batch.mix_s) for batch in problem.batches),
        place_s=tuple(tuple(real(laid.place_s) for laid in patch.placements) for patch in problem.patches),
        pass_s=tuple(
            tuple(tuple(real(seconds) for seconds in job.pass_s) for job in patch.finishing)
            for patch in problem.patches
        ),
    )
