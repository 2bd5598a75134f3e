"""What is left of a day, laid out for the scheduler: seconds count from the moment, which is 0.

Placing is tipping and striking off. A batch's limits come from its own clock where it is under way, from a clock
started at its expected water contact where it is still to come.
"""

from __future__ import annotations

from collections.abc import Mapping, Set
from dataclasses import dataclass, replace
from itertools import pairwise

from engine.job.model import Pour
from engine.plan import problem as p
from engine.pour.assigned import told_to
from engine.pour.finishing_jobs import finishing_jobs
from engine.pour.needs import bags_a_batch, bags_left, this_visit
from engine.pour.prospects import Prospect, prospects
from engine.pour.reckoning import Moment
from engine.pour.stages import next_stroke
from engine.pour.state import Batch


@dataclass(frozen=True)
class Lift:
    """One lift of a pour still at work: its patch name, live batches and the batches still to come (id, bags)."""

    patch: str
    pour: Pour
    index: int
    top: bool
    live: tuple[Batch, ...]
    coming: tuple[tuple[str, float], ...]


def worksheet(moment: Moment, expected: Mapping[str, float], strips: Set[str] = frozenset()) -> p.Problem:
    """The day's remaining work. `expected` holds the water contact foreseen for a pour's next batch, by pour id.

    Pours in `strips` are finished batch by batch even where their windows would meet.
    """
    lifts = [lift for pour in moment.day.pours for lift in lifts_at_work(moment, pour)]
    batches: list[p.Batch] = []
    patches: list[p.Patch] = []
    targets: list[p.Target] = []
    for lift in lifts:
        ahead = (
            prospects(moment, lift.pour, lift.top, expected.get(lift.pour.id, moment.at))
            if lift.coming and not lift.pour.shares
            else ()
        )
        batches += [_under_way(moment, batch) for batch in lift.live]
        if not lift.pour.shares:
            batches += [_to_come(moment, lift, batch_id, ahead) for batch_id, _ in lift.coming]
        patches.append(_patch(moment, lift, ahead, lift.pour.id in strips))
        targets += [
            p.Target(lift.patch, a.placed_by - moment.at) for a in ahead[:1] if a.placed_by is not None
        ]
    return p.Problem(
        people=_people(moment),
        stations=_stations(moment),
        batches=tuple(batches),
        patches=tuple(patches),
        orders=_orders(lifts),
        targets=tuple(targets),
    )


def begun_only(problem: p.Problem) -> p.Problem:
    """The work on what is mixed already, where nothing new can be begun."""
    begun = {batch.id for batch in problem.batches if batch.started_s is not None}
    patches = tuple(
        replace(
            patch,
            placements=tuple(laid for laid in patch.placements if laid.batch in begun),
            finishing=tuple(job for job in patch.finishing if begun.issuperset(job.batches)),
        )
        for patch in problem.patches
    )
    batches = tuple(batch for batch in problem.batches if batch.id in begun)
    return replace(
        problem, batches=batches, patches=tuple(q for q in patches if q.placements), orders=(), targets=()
    )


def lifts_at_work(moment: Moment, pour: Pour) -> list[Lift]:
    """The lifts of a pour on which anything is still to be done, from the bottom up."""
    if not this_visit(moment, pour):
        return []
    if pour.shares:
        return _shared_lift(moment, pour)
    takeoff = moment.takeoffs[pour.id]
    live = moment.day.batches_of(pour.id)
    coming = _coming(moment, pour)
    found = []
    for index in range(takeoff.lifts):
        mine = tuple(batch for batch in live if moment.lift(batch) == index)
        ahead = tuple((batch_id, bags) for batch_id, bags, lift in coming if lift == index)
        if ahead or any(b.tipped_at is None or next_stroke(moment, b) is not None for b in mine):
            top = index == takeoff.lifts - 1
            name = pour.id if takeoff.lifts == 1 else f"{pour.id} lift {index + 1}"
            found.append(Lift(name, pour, index, top, mine, ahead))
    return found


def _shared_lift(moment: Moment, pour: Pour) -> list[Lift]:
    """A pour filled from another's last bag: the portion tipped into it, or the bag that is still to be shared out."""
    portions = moment.day.batches_of(pour.id)
    if portions:
        ahead = any(next_stroke(moment, portion) is not None for portion in portions)
        return [Lift(pour.id, pour, 0, True, portions, ())] if ahead else []
    shared = _shared_bag(moment, pour)
    return [Lift(pour.id, pour, 0, True, (), (shared,))] if shared else []


def _shared_bag(moment: Moment, pour: Pour) -> tuple[str, float] | None:
    """The last bag of the pour it shares with: still to come, or in its vessel."""
    if not moment.day.has_pour(pour.shares):
        return None
    host = lifts_at_work(moment, moment.day.pour(pour.shares))
    if not host:
        return None
    if host[-1].coming:
        return host[-1].coming[-1]
    waiting = [batch for batch in host[-1].live if batch.tipped_at is None or next_stroke(moment, batch)]
    return (waiting[-1].id, waiting[-1].bags) if waiting else None


def _coming(moment: Moment, pour: Pour) -> list[tuple[str, float, int]]:
    """Batches still to be mixed for a pour: id, bags, lift."""
    takeoff, left, per_batch = moment.takeoffs[pour.id], bags_left(moment, pour), bags_a_batch(moment)
    number = 1 + sum(1 for b in moment.day.batches if b.pour == pour.id and not b.source)
    coming: list[tuple[str, float, int]] = []
    while left > 1e-9:
        lift = takeoff.lifts - 1 - int((left - 1e-9) / takeoff.bags_per_lift)
        bags = min(per_batch, left - takeoff.bags_per_lift * (takeoff.lifts - 1 - lift))
        coming.append((f"{pour.id}.{number}", bags, max(0, lift)))
        left, number = left - bags, number + 1
    return coming


def _people(moment: Moment) -> tuple[p.Person, ...]:
    here = [person for person in moment.day.crew() if person.id not in moment.day.away()]
    return tuple(
        p.Person(one.id, "mix" in one.does, "place" in one.does, "finish" in one.does) for one in here
    )


def _stations(moment: Moment) -> tuple[p.Station, ...]:
    """As many stations as there are vessels left to mix in."""
    vessels = moment.job.stock.vessels - len(moment.day.vessels_lost)
    stations = moment.job.stations
    if 0 < vessels < len(stations):
        broken = [station for station, _ in moment.day.vessels_lost]
        stations = tuple(sorted(stations, key=lambda station: broken.count(station.id)))[:vessels]
    return tuple(p.Station(station.id, station.hands) for station in stations)


def limits_of(moment: Moment, batch: Batch) -> p.Limits:
    """The ages that bind a batch under way."""
    windows = moment.windows(batch)
    workable = moment.workable_until(batch) - batch.water_at
    passes = tuple(
        (0.0 if name == "float" else window.open - batch.water_at, window.late - batch.water_at)
        for name, window in windows.items()
    )
    joint = workable + moment.job.times.strike_off_s  # tipped while workable, struck off after
    return p.Limits(f"{batch.packets:g}", batch.packets, workable, joint, passes)


def _under_way(moment: Moment, batch: Batch) -> p.Batch:
    times = moment.job.times
    mixing_s = moment.card(batch.pour).mixing_s
    mixed_at = batch.mixed_at if batch.mixed_at is not None else batch.water_at + mixing_s
    if batch.tipped_at is not None:
        mixed_at = min(mixed_at, batch.tipped_at - times.carry_s)
    elif batch.mixed_at is None:
        mixed_at = max(mixed_at, moment.at)
    return p.Batch(
        id=batch.id,
        mix_s=mixing_s,
        wash_s=0.0 if batch.source else times.rinse_s + times.load_s,
        options=(limits_of(moment, batch),),
        started_s=batch.water_at - moment.at,
        mixed_s=mixed_at - moment.at,
        option=0,
        person="" if batch.source else batch.mixer,
        station="" if batch.source else batch.station,
    )


def _to_come(moment: Moment, lift: Lift, batch_id: str, ahead: tuple[Prospect, ...]) -> p.Batch:
    times = moment.job.times
    first = batch_id == lift.coming[0][0]
    return p.Batch(
        id=batch_id,
        mix_s=moment.card(lift.pour.id).mixing_s,
        wash_s=times.rinse_s + times.load_s,
        options=tuple(prospect.limits for prospect in ahead),
        person=told_to(moment.day, "mix", lift.pour.id) if first else "",
    )


def _patch(moment: Moment, lift: Lift, ahead: tuple[Prospect, ...], strips: bool) -> p.Patch:
    times = moment.job.times
    carry, place = times.carry_s, times.tip_s + times.strike_off_s
    laid = [_laid(moment, batch, carry, place) for batch in lift.live]
    placer = told_to(moment.day, "place", lift.pour.id)
    laid += [p.Placement(batch_id, carry, place, person=placer) for batch_id, _ in lift.coming]
    jobs = finishing_jobs(moment, lift.pour, lift.live, lift.coming, lift.top, ahead, strips)
    return p.Patch(lift.patch, times.walk_s, tuple(laid), jobs)


def _laid(moment: Moment, batch: Batch, carry_s: float, place_s: float) -> p.Placement:
    placement = p.Placement(batch.id, carry_s, place_s, person=_placer(moment, batch))
    if batch.tipped_at is None:
        return placement
    tip = batch.tipped_at - moment.at
    times = moment.job.times
    return replace(placement, started_s=tip - times.tip_s, ended_s=tip + times.strike_off_s)


def _placer(moment: Moment, batch: Batch) -> str:
    return batch.tipped_by or told_to(moment.day, "place", batch.pour, (batch.id,))


def _orders(lifts: list[Lift]) -> tuple[p.Order, ...]:
    """Lifts from the bottom up, pours in the order of the queue, and what must be finished first."""
    waiting = [lift.patch for lift in lifts if lift.coming]
    queue = [p.Order(first, then) for first, then in pairwise(waiting)]
    last_of = {lift.pour.id: lift.patch for lift in lifts}
    after = [
        p.Order(last_of[first], lift.patch, finished=True)
        for lift in lifts
        if lift.coming
        for first in lift.pour.after
        if first in last_of
    ]
    return (*queue, *after)
