"""Room for what is not known: stages that take longer and windows that close earlier than planned."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import lru_cache
from math import inf

from engine.plan.alone import Empty, least_lateness
from engine.plan.problem import Batch, Finishing, Limits, Patch, Placement, Problem

SIXTEENTHS = 16


@dataclass(frozen=True)
class Margins:
    """Fractions: `stages` 0.2 plans every stage 20 % longer, `closings` 0.2 every closing age 20 % earlier.

    `wait_s` is the longest a batch may stand at the patch before it is placed.
    """

    stages: float = 0.0
    closings: float = 0.0
    wait_s: float = inf


def with_margins(problem: Problem, margins: Margins, share: float | Mapping[str, float] = 1.0) -> Problem:
    """The problem with `share` of the margins, of all or by patch, put into everything not yet begun."""
    if not margins.stages and not margins.closings:
        return problem
    shares = share if isinstance(share, Mapping) else {patch.id: share for patch in problem.patches}
    of_batch: dict[str, float] = {}
    for patch in problem.patches:
        for laid in patch.placements:
            of_batch[laid.batch] = min(shares[patch.id], of_batch.get(laid.batch, 1.0))
    return Problem(
        problem.people,
        problem.stations,
        tuple(_batch(batch, margins, of_batch.get(batch.id, 1.0)) for batch in problem.batches),
        tuple(_patch(patch, 1.0 + shares[patch.id] * margins.stages) for patch in problem.patches),
        problem.orders,
        problem.targets,
        problem.now_s,
        problem.place_needs,
        problem.wash_at_once,
    )


def _batch(batch: Batch, margins: Margins, share: float) -> Batch:
    earlier = 1.0 - share * margins.closings
    return Batch(
        batch.id,
        batch.mix_s if batch.started_s is not None else batch.mix_s * (1.0 + share * margins.stages),
        batch.wash_s,
        tuple([_limits(option, earlier) for option in batch.options]),
        batch.started_s,
        batch.mixed_s,
        batch.option,
        batch.person,
        batch.station,
    )


def _limits(limits: Limits, earlier: float) -> Limits:
    passes = tuple([(opens, max(opens, closes * earlier)) for opens, closes in limits.passes])
    working_s, joint_s = limits.working_s * earlier, limits.joint_s * earlier
    return Limits(limits.name, limits.packets, working_s, joint_s, passes)


def _patch(patch: Patch, longer: float) -> Patch:
    placements = tuple([_placement(laid, longer) for laid in patch.placements])
    return Patch(
        patch.id, patch.approach_s, placements, tuple([_job(job, longer) for job in patch.finishing])
    )


def _placement(laid: Placement, longer: float) -> Placement:
    if laid.started_s is not None:
        return laid
    return Placement(laid.batch, laid.carry_s, laid.place_s * longer, person=laid.person)


def _job(job: Finishing, longer: float) -> Finishing:
    return Finishing(job.batches, tuple([seconds * longer for seconds in job.pass_s]), job.done, job.people)


def bearable(problem: Problem, margins: Margins) -> dict[str, float]:
    """The share of the margins (0 to 1, in sixteenths) that each patch can bear alone on an empty site.

    Asked again for every problem, because limits move with the weather and with what the day has taught. Each patch
    has its own share, so that one that can bear little takes nothing from the others.
    """
    if not margins.stages and not margins.closings:
        return {patch.id: 1.0 for patch in problem.patches}
    empty = Empty(problem)
    return {patch.id: _bears(empty.with_patch(patch), margins) for patch in problem.patches}


@lru_cache(maxsize=4096)
def _bears(lone: Problem, margins: Margins) -> float:
    low, high = 0, SIXTEENTHS
    while low < high:
        middle = high if high == SIXTEENTHS else (low + high + 1) // 2
        if least_lateness(with_margins(lone, margins, middle / SIXTEENTHS)) <= 0.0:
            low = middle
        else:
            high = middle - 1
    return low / SIXTEENTHS
