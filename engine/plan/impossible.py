"""Before the first bag: pours that cannot hold their windows at all, the limit that fails first, and what cures it.

A patch is tried alone on an empty site. Every cure is tried by the scheduler too before it is named.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from itertools import pairwise

from engine.plan.alone import Empty, least_lateness
from engine.plan.planner import plan
from engine.plan.problem import Batch, Finishing, Limits, Miss, Patch, Person, Problem, Station

EVALUATIONS = 150  # of the search for one lone patch
SLOWER = {"retarder": (1.25, 1.5, 2.0, 3.0), "cooler": (1.1, 1.25, 1.5)}  # limits stretched by
MOST_MORE = 2  # people of one kind
PARTS_EVALUATIONS = 60


@dataclass(frozen=True)
class Cure:
    """`kind` and how much: "joint" (parts the patch is laid in), "retarder" (a dose that stretches the strongest so far),
    "cooler" (all limits stretched), "mixer" (each with a station) and "finisher" (more of them)."""

    kind: str
    amount: float


@dataclass(frozen=True)
class Impossible:
    """A patch that cannot be done: the limit that fails first ("working", "joint", "pass 0", ...), by how much.

    `proven` when sums alone show it; else no clean schedule was found.
    """

    patch: str
    batch: str
    limit: str
    late_s: float
    proven: bool
    cures: tuple[Cure, ...]


def impossible(problem: Problem) -> tuple[Impossible, ...]:
    """Every patch not begun that fails even alone, with its cures in the order they are worth trying."""
    empty = Empty(problem)
    begun = {batch.id for batch in problem.batches if batch.started_s is not None}
    found = []
    for patch in problem.patches:
        if begun.isdisjoint([laid.batch for laid in patch.placements]):
            lone = empty.with_patch(patch)
            if (miss := fails_first(lone)) is not None:
                batch = patch.placements[int(miss.batch)].batch
                cures = tuple(_cures(lone))
                found.append(
                    Impossible(patch.id, batch, miss.limit, miss.late_s, cannot_by_sums(lone), cures)
                )
    return tuple(found)


def holds(lone: Problem, evaluations: int = EVALUATIONS) -> bool:
    """Whether a clean schedule is found for a lone patch."""
    if cannot_by_sums(lone):
        return False
    return least_lateness(lone) <= 0.0 or not plan(lone, budget_evaluations=evaluations).misses


def fails_first(lone: Problem) -> Miss | None:
    """The first limit broken, in the order of the work, in the least late schedule of a lone patch; None if it holds."""
    if not cannot_by_sums(lone) and least_lateness(lone) <= 0.0:
        return None
    misses = plan(lone, budget_evaluations=EVALUATIONS).misses
    order = {"working": 0, "joint": 1}
    return min(misses, key=lambda miss: (int(miss.batch), order.get(miss.limit, 2), miss.limit), default=None)


def cannot_by_sums(lone: Problem) -> bool:
    """Proof without a schedule: a batch too slow for its own working time, or a patch whose oldest batch is floated late.

    Placements of one patch follow each other, so that the last is down no sooner than all placing after the first.
    """
    batches = {batch.id: batch for batch in lone.batches}
    for patch in lone.patches:
        for laid in patch.placements:
            batch = batches[laid.batch]
            working_s = max(option.working_s for option in batch.options)
            if batch.mix_s + laid.carry_s + laid.place_s > working_s:
                return True
        if any(_floated_late(job, patch, batches) for job in patch.finishing):
            return True
    return False


def _floated_late(job: Finishing, patch: Patch, batches: dict[str, Batch]) -> bool:
    if not job.batches or not job.pass_s:
        return False
    first = batches[job.batches[0]]
    laid = [one for one in patch.placements if one.batch in job.batches]
    down_s = first.mix_s + laid[0].carry_s + sum(one.place_s for one in laid)
    return down_s + job.pass_s[0] > max(option.passes[0][1] for option in first.options)


def _cures(lone: Problem) -> Iterator[Cure]:
    parts = next((n for n in range(2, len(lone.batches) + 1) if _holds_in_parts(lone, n)), 0)
    if parts:
        yield Cure("joint", parts)
    for factor in SLOWER["retarder"]:
        if holds(with_stronger(lone, factor)):
            yield Cure("retarder", factor)
            break
    for kind in ("mixer", "finisher"):
        more = next((n for n in range(1, MOST_MORE + 1) if holds(with_more(lone, kind, n))), 0)
        if more:
            yield Cure(kind, more)
    for factor in SLOWER["cooler"]:
        if holds(stretched(lone, factor)):
            yield Cure("cooler", factor)
            break


def _holds_in_parts(lone: Problem, parts: int) -> bool:
    """Every part alone: a planned joint lets the first be finished before the next is begun."""
    return all(holds(part, PARTS_EVALUATIONS) for part in in_parts(lone, parts))


def in_parts(lone: Problem, parts: int) -> list[Problem]:
    """A lone patch cut by planned joints into parts of equal batches, as near as can be; each a pour of its own."""
    patch, count = lone.patches[0], len(lone.patches[0].placements)
    cuts = [round(n * count / parts) for n in range(parts + 1)]
    return [_part(lone, patch, low, high) for low, high in pairwise(cuts)]


def _part(lone: Problem, patch: Patch, low: int, high: int) -> Problem:
    laid = patch.placements[low:high]
    names = {one.batch for one in laid}
    jobs = []
    for job in patch.finishing:
        own = tuple(name for name in job.batches if name in names)
        if own:
            share = len(own) / len(job.batches)
            jobs.append(Finishing(own, tuple(seconds * share for seconds in job.pass_s)))
    batches = tuple(batch for batch in lone.batches if batch.id in names)
    return replace(lone, batches=batches, patches=(replace(patch, placements=laid, finishing=tuple(jobs)),))


def with_stronger(problem: Problem, factor: float) -> Problem:
    """The same pour with one more dose to choose, which stretches the limits of the strongest by a factor."""
    return replace(
        problem,
        batches=tuple(
            replace(batch, options=(*batch.options, _longer(_strongest(batch), factor)))
            for batch in problem.batches
        ),
    )


def _strongest(batch: Batch) -> Limits:
    return max(batch.options, key=lambda option: option.working_s)


def stretched(problem: Problem, factor: float) -> Problem:
    """The same pour with every age limit longer by a factor: cooler material, or a cooler hour."""
    return replace(
        problem,
        batches=tuple(
            replace(batch, options=tuple(_longer(option, factor) for option in batch.options))
            for batch in problem.batches
        ),
    )


def _longer(limits: Limits, factor: float) -> Limits:
    passes = tuple((opens * factor, closes * factor) for opens, closes in limits.passes)
    return replace(
        limits, working_s=limits.working_s * factor, joint_s=limits.joint_s * factor, passes=passes
    )


def with_more(problem: Problem, kind: str, count: int) -> Problem:
    """The same pour with more mixers, each with a station, or more people who place and finish."""
    mixes = kind == "mixer"
    people = tuple(Person(f"more {n + 1}", mixes, not mixes, not mixes) for n in range(count))
    stations = tuple(Station(f"more {n + 1}") for n in range(count)) if mixes else ()
    return replace(problem, people=problem.people + people, stations=problem.stations + stations)
