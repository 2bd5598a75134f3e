"""The part of a pour that matters to the next call: what is begun, and the next few patches."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace

from engine.plan.problem import Patch, Problem


def near_view(problem: Problem, ahead: int) -> Problem:
    """The problem cut to begun patches and the next `ahead` that are not, with what their order rules wait for."""
    begun = {batch.id for batch in problem.batches if batch.started_s is not None}
    keep: set[str] = set()
    coming = 0
    for patch in problem.patches:
        if _has(patch, begun):
            keep.add(patch.id)
        elif coming < ahead:
            keep.add(patch.id)
            coming += 1
    keep |= {order.first for order in problem.orders if order.then in keep}
    names = _batches_of(patch for patch in problem.patches if patch.id in keep)
    patches = tuple([patch for patch in problem.patches if patch.id in keep or _has(patch, names)])  # shares
    names = _batches_of(patches)
    batches = tuple([batch for batch in problem.batches if batch.id in names])
    return replace(problem, patches=patches, batches=batches)


def _has(patch: Patch, names: set[str]) -> bool:
    return not names.isdisjoint([laid.batch for laid in patch.placements])


def _batches_of(patches: Iterable[Patch]) -> set[str]:
    return {laid.batch for patch in patches for laid in patch.placements}
