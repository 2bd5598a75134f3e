"""One patch on an empty site: can it hold its windows at all?"""

from __future__ import annotations

from dataclasses import replace

from engine.plan.forward import Style, first_options, run_forward
from engine.plan.problem import Patch, Person, Problem
from engine.plan.work import Work

STYLES = (Style(0.0), Style(1.0))


def lateness_alone(problem: Problem, patch: Patch) -> float:
    """Least seconds late found for one patch with the whole crew idle, over the doses on offer."""
    names = {laid.batch for laid in patch.placements}
    alone = replace(
        problem,
        people=tuple(_idle(person) for person in problem.people),
        stations=tuple(replace(station, free_s=0.0) for station in problem.stations),
        batches=tuple(batch for batch in problem.batches if batch.id in names),
        patches=(patch,),
        orders=(),
        targets=(),
        now_s=0.0,
    )
    work = Work(alone)
    doses = range(max((len(choices) for choices in work.options), default=1))
    return min(
        (run_forward(work, style, first_options(work, dose)).late_s for dose in doses for style in STYLES),
        default=0.0,
    )


def _idle(person: Person) -> Person:
    return replace(person, free_s=0.0)
