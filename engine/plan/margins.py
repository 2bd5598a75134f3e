"""Room for what is not known: stages that take longer and windows that close earlier than planned."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import lru_cache
from math import inf

from engine.plan.alone import Empty, Lone, Site, least_late_s
from engine.plan.problem import Problem
from engine.plan.work import Strain, Work

SIXTEENTHS = 16


@dataclass(frozen=True)
class Margins:
    """Fractions: `stages` 0.2 plans every stage 20 % longer, `closings` 0.2 every closing age 20 % earlier.

    `wait_s` is the longest a batch may stand at the patch before it is placed.
    """

    stages: float = 0.0
    closings: float = 0.0
    wait_s: float = inf


def strain_of(problem: Problem, margins: Margins, share: float | Mapping[str, float] = 1.0) -> Strain | None:
    """`share` of the margins, of all or by patch, as they fall on each patch and batch of a problem; None for none."""
    if not margins.stages and not margins.closings:
        return None
    shares = share if isinstance(share, Mapping) else {patch.id: share for patch in problem.patches}
    of_batch = {batch.id: 1.0 for batch in problem.batches}
    for patch in problem.patches:
        for laid in patch.placements:
            of_batch[laid.batch] = min(shares[patch.id], of_batch[laid.batch])
    return Strain(
        stages=[1.0 + shares[patch.id] * margins.stages for patch in problem.patches],
        mixing=[1.0 + of_batch[batch.id] * margins.stages for batch in problem.batches],
        closings=[1.0 - of_batch[batch.id] * margins.closings for batch in problem.batches],
    )


def bearable(problem: Problem, margins: Margins) -> dict[str, float]:
    """The share of the margins (0 to 1, in sixteenths) that each patch can bear alone on an empty site.

    Asked again for every problem, because limits move with the weather and with what the day has taught. Each patch
    has its own share, so that one that can bear little takes nothing from the others.
    """
    if not margins.stages and not margins.closings:
        return {patch.id: 1.0 for patch in problem.patches}
    empty = Empty(problem)
    return {patch.id: _bears(empty.site, empty.lone(patch), margins) for patch in problem.patches}


@lru_cache(maxsize=4096)
def _bears(site: Site, lone: Lone, margins: Margins) -> float:
    problem = site.problem(lone)
    low, high = 0, SIXTEENTHS
    while low < high:
        middle = high if high == SIXTEENTHS else (low + high + 1) // 2
        if least_late_s(Work(problem, strain_of(problem, margins, middle / SIXTEENTHS))) <= 0.0:
            low = middle
        else:
            high = middle - 1
    return low / SIXTEENTHS
