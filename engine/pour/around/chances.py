"""How likely today's rate breaks a schedule: the window that bears the least quickening decides."""

from __future__ import annotations

import math
from collections.abc import Iterator

from engine.plan import problem as p
from engine.pour.posterior import Factor

TEN_PER_CENT = 1.2816  # standard deviations from the median to the 10 and 90 % marks


def spread_of(factor: Factor) -> float:
    """Standard deviation of ln k, as the 10 and 90 % marks of the factor say."""
    return math.log(factor.high / factor.low) / (2 * TEN_PER_CENT)


def quicker_chance(ratio: float, factor: Factor) -> float:
    """The chance, 0 to 1, that the mix sets at least `ratio` (above 0) times as fast as the median says: log-normal."""
    spread = spread_of(factor)
    if spread <= 0.0 or math.isinf(ratio):
        return float(ratio <= 1.0)
    return 0.5 * math.erfc(math.log(ratio) / (spread * math.sqrt(2.0)))


def missed_chance(problem: p.Problem, schedule: p.Schedule, factor: Factor) -> float:
    """The chance, 0 to 1, that the mix of today closes some limit before its stage ends as scheduled.

    One rate for the whole day: the limit with the least room decides. Nobody is taken to hurry or to wait.
    """
    room = min(_rooms(problem, schedule), default=math.inf)
    return 1.0 if room <= 0.0 else quicker_chance(room, factor)


def _rooms(problem: p.Problem, schedule: p.Schedule) -> Iterator[float]:
    """Closing age over the age at the end, of everything still to come."""
    water = {mix.batch: mix.start_s for mix in schedule.mixes}
    limits = {mix.batch: _limits(problem, mix.batch, mix.option) for mix in schedule.mixes}
    for batch in problem.batches:
        if batch.started_s is not None:
            water[batch.id] = batch.started_s
            limits[batch.id] = batch.options[batch.option or 0]
    for place in schedule.places:
        if place.end_s > problem.now_s:
            yield limits[place.batch].working_s / (place.end_s - water[place.batch])
    for stroke in schedule.passes:
        if stroke.end_s > problem.now_s:
            for batch_id in stroke.batches:
                yield limits[batch_id].passes[stroke.index][1] / (stroke.end_s - water[batch_id])


def _limits(problem: p.Problem, batch_id: str, option: int) -> p.Limits:
    return next(batch for batch in problem.batches if batch.id == batch_id).options[option]
