"""Bags, packets and vessels: what each pour still takes and what is left on the trailer."""

from __future__ import annotations

from dataclasses import dataclass

from engine.job.lifts import whole_up
from engine.job.model import Pour
from engine.pour.reckoning import Moment
from engine.pour.state import Batch


@dataclass(frozen=True)
class Stock:
    """What is left; `bags` of all mixes together, and by mix key."""

    bags: float
    packets: float
    vessels: int
    by_mix: tuple[tuple[str, float], ...]


def this_visit(moment: Moment, pour: Pour) -> bool:
    return pour.visit == 1 and pour.id not in moment.day.left


def bags_in(moment: Moment, pour: Pour) -> float:
    """Bags in live batches of a pour; a portion of a shared batch fills it."""
    batches = moment.day.batches_of(pour.id)
    if any(batch.source for batch in batches):
        return float(moment.takeoffs[pour.id].bags)
    return sum(batch.bags for batch in batches)


def bags_left(moment: Moment, pour: Pour) -> float:
    """Bags a pour still takes: whole bags of the take-off less what is in batches not lost."""
    known, which = moment.bags_left, (pour.id, pour.visit)
    if which not in known:
        known[which] = _bags_left(moment, pour)
    return known[which]


def _bags_left(moment: Moment, pour: Pour) -> float:
    if pour.id in moment.day.filled or not this_visit(moment, pour):
        return 0.0
    return max(0.0, moment.takeoffs[pour.id].bags - bags_in(moment, pour))


def bags_needed(moment: Moment) -> float:
    """Bags that all pours of this visit still take."""
    return sum(bags_left(moment, pour) for pour in moment.day.pours)


def bags_a_batch(moment: Moment) -> float:
    """Bags in one batch: the largest any station mixes."""
    return max(station.bags_per_batch for station in moment.job.stations)


def next_bags(moment: Moment, pour: Pour, per_batch: float) -> float:
    """Bags in the pour's next batch: a vessel full, less where the lift needs less."""
    takeoff = moment.takeoffs[pour.id]
    left = bags_left(moment, pour)
    lift_left = (
        left - takeoff.bags_per_lift * max(0, whole_up(left / takeoff.bags_per_lift) - 1) if left else 0.0
    )
    return min(per_batch, lift_left) if lift_left > 0 else per_batch


def batches_needed(moment: Moment, pour: Pour) -> int:
    """Batches the pour takes in all, a vessel full each, the last of a lift perhaps less."""
    live = moment.day.batches_of(pour.id)
    if pour.id in moment.day.filled or any(batch.source for batch in live):
        return len(live)
    if pour.shares:
        return 1
    takeoff = moment.takeoffs[pour.id]
    return takeoff.lifts * whole_up(takeoff.bags_per_lift / bags_a_batch(moment))


def batches_tipped(moment: Moment, pour: Pour) -> int:
    return sum(1 for batch in moment.day.batches_of(pour.id) if batch.tipped_at is not None)


def _used(moment: Moment) -> dict[str, float]:
    """Bags gone by mix key: mixed (lost or not), trial halves, thrown out dry."""
    used: dict[str, float] = {}
    day = moment.day
    mixed = [(moment.takeoffs[batch.pour].mix, batch.bags) for batch in day.batches]
    trials = [(trial.mix, trial.bags) for trial in day.trials]
    rejected = [(mix, 1.0) for mix, _, _ in day.rejected]
    for mix, bags in (*mixed, *trials, *rejected):
        used[mix] = used.get(mix, 0.0) + bags
    return used


def stock(moment: Moment) -> Stock:
    """Bags, packets and vessels left now."""
    day, planned = moment.day, moment.job.stock
    used = _used(moment)
    by_mix = tuple((mix, bags - used.get(mix, 0.0)) for mix, bags in planned.bags)
    packets = planned.packets - sum(_packets_in(batch) for batch in day.batches)
    packets -= sum(trial.packets * trial.bags for trial in day.trials)
    return Stock(
        bags=sum(bags for _, bags in planned.bags) - sum(used.values()),
        packets=packets,
        vessels=planned.vessels - len(day.vessels_lost),
        by_mix=by_mix,
    )


def _packets_in(batch: Batch) -> float:
    return batch.packets * batch.bags
