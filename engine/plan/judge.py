"""What a timed state means: the schedule as others read it, every limit it breaks, and the smallest slack."""

from __future__ import annotations

from collections.abc import Iterator
from math import inf

from engine.plan.problem import Miss, MixStart, PassStart, PlaceStart, Schedule, WashStart
from engine.plan.state import State
from engine.plan.work import NOBODY, Work

Closing = tuple[str, int, int, float, bool]  # limit, patch, batch, seconds left (negative: late), stamped


def schedule_of(state: State) -> Schedule:
    """The schedule of a state in which everything has been timed."""
    closings = list(closings_of(state))
    patches = state.work.problem.patches
    batches = state.work.problem.batches
    misses = tuple(
        Miss(limit, patches[patch].id, batches[batch].id, -left, stamped)
        for limit, patch, batch, left, stamped in closings
        if left < 0.0
    )
    return Schedule(
        mixes=_mixes(state),
        places=_places(state),
        passes=_passes(state),
        end_s=end_of(state),
        slack_s=min((left for *_, left, stamped in closings if not stamped), default=inf),
        misses=misses,
        washes=_washes(state),
    )


def end_of(state: State) -> float:
    """When the last stroke is done; now, where nothing is left to do."""
    ends = (end for end in state.end[state.work.n_batches :] if end is not None)
    return max(ends, default=state.work.now_s)


def closings_of(state: State) -> Iterator[Closing]:
    """Every closing time of the pour with the seconds left to it: working time, joints, passes, targets."""
    work = state.work
    for row in work.places_of_patch:
        for task in row:
            yield from _closings_of_place(state, task)
    for job in range(len(work.passes_of_job)):
        yield from _closings_of_job(state, job)


def _closings_of_place(state: State, task: int) -> Iterator[Closing]:
    work = state.work
    end = state.end[task]
    if end is None:
        return
    stamped, patch, batch = task in work.fact, work.patch[task], work.batch[task]
    yield "working", patch, batch, _limit(state, batch).working_s + _called(state, batch) - end, stamped
    before = work.before_in_patch[task]
    if before != NOBODY:
        other = work.batch[before]
        yield "joint", patch, batch, _limit(state, other).joint_s + _called(state, other) - end, stamped
    if work.after_in_patch[task] == NOBODY and work.placed_by[patch] < inf:
        yield "target", patch, batch, work.placed_by[patch] - end, stamped


def _closings_of_job(state: State, job: int) -> Iterator[Closing]:
    work = state.work
    for k, task in enumerate(work.passes_of_job[job]):
        end = state.end[task]
        if end is None:
            continue
        for batch in work.batches_of_job[job]:
            left = _called(state, batch) + _limit(state, batch).passes[k][1] - end
            yield f"pass {k}", work.patch[task], batch, left, task in work.fact


def _limit(state: State, batch: int):  # type: ignore[no-untyped-def]
    return state.work.options[batch][state.option[batch]]


def _called(state: State, batch: int) -> float:
    return state.call[batch] or 0.0


def _name(work: Work, person: int) -> str:
    return work.problem.people[person].id if person != NOBODY else ""


def _mixes(state: State) -> tuple[MixStart, ...]:
    work = state.work
    rows = []
    for number, batch in enumerate(work.problem.batches):
        call = state.call[number]
        if call is None:
            continue
        people = [_name(work, n) for n in state.mixed_by.get(number, ())] or [batch.person]
        at = state.mixed_at.get(number)
        station = batch.station if at is None else work.problem.stations[at].id
        end = call + work.hold_s[number]
        rows.append(
            MixStart(batch.id, call, state.option[number], people[0], station, end, tuple(people[1:]))
        )
    return tuple(rows)


def _places(state: State) -> tuple[PlaceStart, ...]:
    work = state.work
    rows = []
    for task in range(work.n_batches, work.first_pass):
        start, end = state.start[task], state.end[task]
        if start is not None and end is not None:
            patch, batch = work.problem.patches[work.patch[task]], work.problem.batches[work.batch[task]]
            rows.append(PlaceStart(patch.id, batch.id, start, end, _name(work, state.who[task])))
    return tuple(rows)


def _passes(state: State) -> tuple[PassStart, ...]:
    work = state.work
    rows = []
    for task in range(work.first_pass, work.n_tasks):
        start, end = state.start[task], state.end[task]
        if start is not None and end is not None:
            patch, job = work.problem.patches[work.patch[task]], work.job[task]
            person = _name(work, state.who[task])
            k = work.pass_number[task]
            rows.append(PassStart(patch.id, work.job_ids[job], k, start, end, person))
    return tuple(rows)


def _washes(state: State) -> tuple[WashStart, ...]:
    work = state.work
    rows = []
    for batch, start in state.wash_start.items():
        person = _name(work, state.mixed_by[batch][0])
        rows.append(WashStart(work.problem.batches[batch].id, start, start + work.wash_s[batch], person))
    return tuple(rows)
