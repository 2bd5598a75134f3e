"""One patch on an empty site: can it hold its windows at all?"""

from __future__ import annotations

from dataclasses import replace
from functools import lru_cache

from engine.plan.forward import Style, first_options, run_forward
from engine.plan.problem import Batch, Finishing, Patch, Placement, Problem
from engine.plan.work import Work

STYLES = (Style(0.0), Style(1.0))


class Empty:
    """The site of a problem with everybody idle and nothing begun."""

    def __init__(self, problem: Problem) -> None:
        self.problem = problem
        self.people = tuple([replace(person, free_s=0.0) for person in problem.people])
        self.stations = tuple([replace(station, free_s=0.0) for station in problem.stations])
        self.batch = {batch.id: batch for batch in problem.batches}

    def with_patch(self, patch: Patch) -> Problem:
        """One patch there, its batches numbered, so that equal patches are equal."""
        number = {laid.batch: str(n) for n, laid in enumerate(patch.placements)}
        return Problem(
            people=self.people,
            stations=self.stations,
            batches=tuple([_fresh(self.batch[name], number[name]) for name in number]),
            patches=(_untouched(patch, number),),
            place_needs=self.problem.place_needs,
            wash_at_once=self.problem.wash_at_once,
        )


def _fresh(batch: Batch, name: str) -> Batch:
    return Batch(name, batch.mix_s, batch.wash_s, batch.options)


def _untouched(patch: Patch, number: dict[str, str]) -> Patch:
    placements = tuple(Placement(number[laid.batch], laid.carry_s, laid.place_s) for laid in patch.placements)
    jobs = tuple(
        Finishing(tuple(number[name] for name in job.batches if name in number), job.pass_s)
        for job in patch.finishing
    )
    return Patch("", patch.approach_s, placements, jobs)


@lru_cache(maxsize=4096)
def least_lateness(problem: Problem) -> float:
    """Least seconds late found by a few runs of the forward planner, over the doses on offer; stops at the first clean."""
    work = Work(problem)
    least_s: float | None = None
    for dose in range(max((len(choices) for choices in work.options), default=1)):
        for style in STYLES:
            late_s = run_forward(work, style, first_options(work, dose)).late_s
            least_s = late_s if least_s is None else min(least_s, late_s)
            if least_s <= 0.0:
                return 0.0
    return least_s or 0.0
