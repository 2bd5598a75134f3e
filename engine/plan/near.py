"""The part of a pour that matters to the next call: what is begun, and the next few patches."""

from __future__ import annotations

from dataclasses import replace

from engine.plan.problem import Batch, Patch, Problem


def near_view(problem: Problem, ahead: int) -> Problem:
    """The problem cut to begun patches and the next `ahead` that are not, with what their order rules wait for."""
    batches = {batch.id: batch for batch in problem.batches}
    keep: set[str] = set()
    coming = 0
    for patch in problem.patches:
        begun = _is_begun(patch, batches)
        if begun or coming < ahead:
            keep.add(patch.id)
            coming += not begun
    keep |= {order.first for order in problem.orders if order.then in keep}
    keep |= _sharing(problem, keep)
    patches = tuple(patch for patch in problem.patches if patch.id in keep)
    names = {laid.batch for patch in patches for laid in patch.placements}
    return replace(
        problem, patches=patches, batches=tuple(batch for batch in problem.batches if batch.id in names)
    )


def _is_begun(patch: Patch, batches: dict[str, Batch]) -> bool:
    return any(batches[laid.batch].started_s is not None for laid in patch.placements)


def _sharing(problem: Problem, keep: set[str]) -> set[str]:
    """Patches that share a batch with one that is kept."""
    names = {laid.batch for patch in problem.patches if patch.id in keep for laid in patch.placements}
    return {patch.id for patch in problem.patches if any(laid.batch in names for laid in patch.placements)}
