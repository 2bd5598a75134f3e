"""Room for what is not known: stages that take longer and windows that close earlier than planned."""

from __future__ import annotations

from dataclasses import dataclass, replace
from math import inf

from engine.plan.alone import lateness_alone
from engine.plan.problem import Batch, Finishing, Limits, Patch, Placement, Problem


@dataclass(frozen=True)
class Margins:
    """Fractions: `stages` 0.2 plans every stage 20 % longer, `closings` 0.2 every closing age 20 % earlier.

    `wait_s` is the longest a batch may stand at the patch before it is placed.
    """

    stages: float = 0.0
    closings: float = 0.0
    wait_s: float = inf


def with_margins(problem: Problem, margins: Margins, share: float = 1.0) -> Problem:
    """The problem with `share` of the margins put into everything not yet begun."""
    longer, earlier = 1.0 + share * margins.stages, 1.0 - share * margins.closings
    if longer == 1.0 and earlier == 1.0:
        return problem
    return replace(
        problem,
        batches=tuple(_batch(batch, longer, earlier) for batch in problem.batches),
        patches=tuple(_patch(patch, longer) for patch in problem.patches),
    )


def _batch(batch: Batch, longer: float, earlier: float) -> Batch:
    options = tuple(_limits(option, earlier) for option in batch.options)
    mix_s = batch.mix_s if batch.started_s is not None else batch.mix_s * longer
    return replace(batch, mix_s=mix_s, options=options)


def _limits(limits: Limits, earlier: float) -> Limits:
    passes = tuple((opens, max(opens, closes * earlier)) for opens, closes in limits.passes)
    return replace(
        limits, working_s=limits.working_s * earlier, joint_s=limits.joint_s * earlier, passes=passes
    )


def _patch(patch: Patch, longer: float) -> Patch:
    placements = tuple(_placement(laid, longer) for laid in patch.placements)
    return replace(
        patch, placements=placements, finishing=tuple(_job(job, longer) for job in patch.finishing)
    )


def _placement(laid: Placement, longer: float) -> Placement:
    return laid if laid.started_s is not None else replace(laid, place_s=laid.place_s * longer)


def _job(job: Finishing, longer: float) -> Finishing:
    return replace(job, pass_s=tuple(seconds * longer for seconds in job.pass_s))


def bearable(problem: Problem, margins: Margins) -> float:
    """The share of the margins (0 to 1, in sixteenths) that every coming patch can bear alone on an empty site.

    Asked again for every problem, because limits move with the weather and with what the day has taught.
    """
    if not margins.stages and not margins.closings:
        return 1.0
    low, high = 0, 16
    while low < high:
        middle = (low + high + 1) // 2
        if _all_bear(with_margins(problem, margins, middle / 16.0)):
            low = middle
        else:
            high = middle - 1
    return low / 16.0


def _all_bear(problem: Problem) -> bool:
    begun = {batch.id for batch in problem.batches if batch.started_s is not None}
    coming = (p for p in problem.patches if not any(laid.batch in begun for laid in p.placements))
    return all(lateness_alone(problem, patch) <= 0.0 for patch in coming)
