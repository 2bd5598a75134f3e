"""Every miss of a day, and its seconds split by running the day again with one cause set back at a time."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass

from engine.job.model import Job, OpenTo, Pour
from engine.pour.events import Event
from engine.pour.journal import fold
from engine.pour.needs import bags_left
from engine.pour.state import Batch, Stroke
from engine.record.causes.missed import CAUSES, Missed, Share, What
from engine.record.causes.world import Facts, World
from engine.site.trajectory import HORIZON_S

LATER_THAN_PLANNED_S = 300.0  # an opening that nobody promised is told from here on; chosen, no source
OPENINGS: tuple[OpenTo, ...] = ("feet", "wheels")


@dataclass(frozen=True)
class _Case:
    """Something that may be late: where it stood as the day was, and its lateness in any run of the day."""

    what: What
    batch: Batch
    due: float
    limit: float
    actual: float
    late: Callable[[World], float]
    promised: bool = False


def causes_of(job: Job, events: Iterable[Event], at: float) -> tuple[Missed, ...]:
    """Every missed window and late opening of a log at a moment, in the order of the day, split by cause.

    Openings that lie ahead are judged as they are expected. How it is done stands with the package.
    """
    events = tuple(event for event in events if event.at <= at)
    facts = Facts(job, fold(job, events).day, events, at)
    worlds = {cause: World(facts, frozenset({cause})) for cause in CAUSES}
    missed = (_missed(case, worlds.values()) for case in _cases(facts))
    return tuple(sorted(missed, key=lambda one: (one.actual, one.pour, one.batch, one.what)))


def _missed(case: _Case, worlds: Iterable[World]) -> Missed:
    late_s = case.actual - case.limit
    shares = _shares(late_s, [case.late(world) for world in worlds])
    return Missed(
        case.what,
        case.batch.pour,
        case.batch.id,
        case.due,
        case.limit,
        case.actual,
        late_s,
        shares,
        case.promised,
    )


def _shares(late_s: float, without_s: list[float]) -> tuple[Share, ...]:
    """What each cause added, no more than there is to tell, and the rest."""
    added = [min(max(late_s - without, -HORIZON_S), HORIZON_S) for without in without_s]
    held_back_s = -sum(min(0.0, one) for one in added)
    told = [min(one, late_s + held_back_s) for one in added]
    shares = [Share(cause, seconds) for cause, seconds in zip(CAUSES, told, strict=True)]
    return (*shares, Share("rest", late_s - math.fsum(told)))


def _cases(facts: Facts) -> Iterator[_Case]:
    for batch in facts.day.batches:
        if batch.tipped_at is not None and batch.live:
            yield from _passes(facts, batch)
        if batch.tipped_at is not None or batch.lost_at is not None:
            yield from _workable(facts, batch)
        if batch.tipped_at is not None:
            yield from _joint(facts, batch)
    for pour in facts.day.pours:
        yield from _openings(facts, pour)


def _passes(facts: Facts, batch: Batch) -> Iterator[_Case]:
    for name, window in facts.as_it_was.windows(batch).items():
        stroke = batch.stroke(name)  # type: ignore[arg-type]
        if stroke is None or stroke.at <= window.late:
            continue

        def late(world: World, name: str = name, stroke: Stroke = stroke) -> float:
            return world.stamp(batch, stroke) - world.windows(batch)[name].late

        yield _Case(stroke.name, batch, window.due, window.late, stroke.at, late)  # type: ignore[arg-type]


def _workable(facts: Facts, batch: Batch) -> Iterator[_Case]:
    """A batch that left its vessel after its working time."""

    def late(world: World) -> float:
        return (world.out(batch) or 0.0) - world.workable_until(batch)

    limit, out = facts.as_it_was.workable_until(batch), facts.as_it_was.out(batch)
    if out is not None and out > limit:
        yield _Case("workable", batch, limit, limit, out, late)


def _joint(facts: Facts, batch: Batch) -> Iterator[_Case]:
    """A batch tipped against one of its lift whose edge was no longer workable."""
    before = _tipped_before(facts, batch)
    if before is None:
        return

    def late(world: World, before: Batch = before) -> float:
        return (world.out(batch) or 0.0) - world.workable_until(before)

    limit, out = facts.as_it_was.workable_until(before), batch.tipped_at or 0.0
    if out > limit:
        yield _Case("joint", batch, limit, limit, out, late)


def _tipped_before(facts: Facts, batch: Batch) -> Batch | None:
    """The batch of the same pour and lift tipped last before this one."""
    moment = facts.moment
    others = [
        (other.tipped_at, other.seq, other)
        for other in moment.day.batches_of(batch.pour)
        if other.tipped_at is not None and batch.tipped_at is not None and other.id != batch.id
        if (other.tipped_at, other.seq) < (batch.tipped_at, batch.seq)
        if moment.lift(other) == moment.lift(batch)
    ]
    return max(others, key=lambda one: one[:2])[2] if others else None


def _openings(facts: Facts, pour: Pour) -> Iterator[_Case]:
    """Openings of a filled pour later than promised, or where nothing is promised than planned."""
    batches = facts.day.batches_of(pour.id)
    if not batches or bags_left(facts.moment, pour) > 0 or any(b.tipped_at is None for b in batches):
        return
    for to in OPENINGS:
        promised = [t.by for t in facts.moment.job.targets if pour.id in t.pours and t.open_to == to]
        found = _opening(facts, pour, to, min(promised, default=None))
        if found is not None:
            yield found


def _opening(facts: Facts, pour: Pour, to: OpenTo, by: float | None) -> _Case | None:
    """One opening; a stamp counts against a promise alone, and may stand idle like a batch."""
    batches = facts.day.batches_of(pour.id)
    last = max(batches, key=lambda batch: facts.as_it_was.opens(batch, to))
    reckoned = facts.as_it_was.opens(last, to)
    stamps = [one.at for one in facts.day.opened if one.pour == pour.id and one.to == to and by is not None]
    after_s = min(stamps, default=reckoned) - reckoned
    due = _planned_opening(facts, batches, to) if by is None else by
    begun_s = facts.begun_later_s if by is not None else 0.0

    def late(world: World) -> float:
        opens = max(world.opens(batch, to) for batch in batches)
        opens += min(0.0, after_s) if "waiting" in world.back else after_s
        return opens - (begun_s if "calls" in world.back else 0.0) - due

    actual = reckoned + after_s
    if math.isinf(reckoned) or actual - due <= (0.0 if by is not None else LATER_THAN_PLANNED_S):
        return None
    return _Case(to, last, due, due, actual, late, by is not None)


def _planned_opening(facts: Facts, batches: tuple[Batch, ...], to: OpenTo) -> float:
    """When a pour would have opened with everything as planned."""
    plan = World(facts, frozenset(CAUSES))
    return max(plan.opens(batch, to) for batch in batches)
