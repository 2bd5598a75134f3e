"""The part of a pour that matters to the next call: what is begun, and the next few patches."""

from __future__ import annotations

from dataclasses import replace
from itertools import islice

from engine.plan.problem import Patch, Problem


def near_view(problem: Problem, ahead: int) -> Problem:
    """The problem cut to begun patches and the next `ahead` that are not, with what their order rules wait for."""
    patches = problem.patches
    keep = _laid_from(patches, {batch.id for batch in problem.batches if batch.started_s is not None})
    keep |= set(islice((patch.id for patch in patches if patch.id not in keep), ahead))
    keep |= {order.first for order in problem.orders if order.then in keep}
    near = [patch for patch in patches if patch.id in keep]
    shares = _laid_from(patches, {laid.batch for patch in near for laid in patch.placements})
    if not shares <= keep:
        near = [patch for patch in patches if patch.id in keep or patch.id in shares]
    names = {laid.batch for patch in near for laid in patch.placements}
    batches = [batch for batch in problem.batches if batch.id in names]
    return replace(problem, patches=tuple(near), batches=tuple(batches))


def _laid_from(patches: tuple[Patch, ...], batches: set[str]) -> set[str]:
    """The patches some of these batches go to."""
    found = set()
    for patch in patches:
        for laid in patch.placements:
            if laid.batch in batches:
                found.add(patch.id)
                break
    return found
