"""What a timed pour means: the schedule as others read it, every limit it breaks, and the smallest slack."""

from __future__ import annotations

from collections.abc import Iterator
from math import inf

from engine.plan.problem import Limits, Miss, MixStart, PassStart, PlaceStart, Schedule, WashStart
from engine.plan.timed import Timed
from engine.plan.work import NOBODY, Work

Rank = tuple[float, float, float]  # seconds late, end, slack with its sign turned: less is better
Closing = tuple[str, int, int, float, bool]  # limit, patch, batch, seconds left (negative: late), stamped


def schedule_of(timed: Timed) -> Schedule:
    """The schedule of a pour in which everything has been timed."""
    closings = list(closings_of(timed))
    patches = timed.work.problem.patches
    batches = timed.work.problem.batches
    misses = tuple(
        Miss(limit, patches[patch].id, batches[batch].id, -left, stamped)
        for limit, patch, batch, left, stamped in closings
        if left < 0.0
    )
    return Schedule(
        mixes=_mixes(timed),
        places=_places(timed),
        passes=_passes(timed),
        end_s=end_of(timed),
        slack_s=min((left for *_, left, stamped in closings if not stamped), default=inf),
        misses=misses,
        washes=_washes(timed),
    )


def rank_of(timed: Timed) -> Rank:
    """What a timed pour is judged by."""
    late_s, slack_s = 0.0, inf
    for *_, left, stamped in closings_of(timed):
        if left < 0.0:
            late_s -= left
        if not stamped and left < slack_s:
            slack_s = left
    return late_s, end_of(timed), -slack_s


def end_of(timed: Timed) -> float:
    """When the last stroke is done; now, where nothing is left to do."""
    ends = (end for end in timed.end[timed.work.n_batches :] if end is not None)
    return max(ends, default=timed.work.now_s)


def closings_of(timed: Timed) -> Iterator[Closing]:
    """Every closing time of the pour with the seconds left to it: working time, joints, passes, targets."""
    work = timed.work
    for row in work.places_of_patch:
        for task in row:
            yield from _closings_of_place(timed, task)
    for job in range(len(work.passes_of_job)):
        yield from _closings_of_job(timed, job)


def _closings_of_place(timed: Timed, task: int) -> Iterator[Closing]:
    work = timed.work
    end = timed.end[task]
    if end is None:
        return
    stamped, patch, batch = task in work.fact, work.patch[task], work.batch[task]
    yield "working", patch, batch, _limit(timed, batch).working_s + _called(timed, batch) - end, stamped
    before = work.before_in_patch[task]
    if before != NOBODY:
        other = work.batch[before]
        yield "joint", patch, batch, _limit(timed, other).joint_s + _called(timed, other) - end, stamped
    if work.after_in_patch[task] == NOBODY and work.placed_by[patch] < inf:
        yield "target", patch, batch, work.placed_by[patch] - end, stamped


def _closings_of_job(timed: Timed, job: int) -> Iterator[Closing]:
    work = timed.work
    for k, task in enumerate(work.passes_of_job[job]):
        end = timed.end[task]
        if end is None:
            continue
        for batch in work.batches_of_job[job]:
            left = _called(timed, batch) + _limit(timed, batch).passes[k][1] - end
            yield f"pass {k}", work.patch[task], batch, left, task in work.fact


def _limit(timed: Timed, batch: int) -> Limits:
    return timed.work.options[batch][timed.option[batch]]


def _called(timed: Timed, batch: int) -> float:
    return timed.call[batch] or 0.0


def _name(work: Work, person: int) -> str:
    return work.problem.people[person].id if person != NOBODY else ""


def _mixes(timed: Timed) -> tuple[MixStart, ...]:
    work = timed.work
    rows = []
    for number, batch in enumerate(work.problem.batches):
        call = timed.call[number]
        if call is None:
            continue
        people = [_name(work, n) for n in timed.mixed_by.get(number, ())] or [batch.person]
        at = timed.mixed_at.get(number)
        station = batch.station if at is None else work.problem.stations[at].id
        end = call + work.hold_s[number]
        rows.append(
            MixStart(batch.id, call, timed.option[number], people[0], station, end, tuple(people[1:]))
        )
    return tuple(rows)


def _places(timed: Timed) -> tuple[PlaceStart, ...]:
    work = timed.work
    rows = []
    for task in range(work.n_batches, work.first_pass):
        start, end = timed.start[task], timed.end[task]
        if start is not None and end is not None:
            patch, batch = work.problem.patches[work.patch[task]], work.problem.batches[work.batch[task]]
            rows.append(PlaceStart(patch.id, batch.id, start, end, _name(work, timed.who[task])))
    return tuple(rows)


def _passes(timed: Timed) -> tuple[PassStart, ...]:
    work = timed.work
    rows = []
    for task in range(work.first_pass, work.n_tasks):
        start, end = timed.start[task], timed.end[task]
        if start is not None and end is not None:
            patch, job = work.problem.patches[work.patch[task]], work.job[task]
            person = _name(work, timed.who[task])
            k = work.pass_number[task]
            rows.append(PassStart(patch.id, work.job_ids[job], k, start, end, person))
    return tuple(rows)


def _washes(timed: Timed) -> tuple[WashStart, ...]:
    work = timed.work
    rows = []
    for batch, start in timed.wash_start.items():
        person = _name(work, timed.mixed_by[batch][0])
        rows.append(WashStart(work.problem.batches[batch].id, start, start + work.wash_s[batch], person))
    return tuple(rows)
