"""One patch on an empty site: can it hold its windows at all?"""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import lru_cache

from engine.plan.forward import Style, first_options, run_forward
from engine.plan.problem import Batch, Finishing, Limits, Patch, Person, Placement, Problem, Station
from engine.plan.work import Work

STYLES = (Style(0.0), Style(1.0))


# what of a patch counts when it is alone, its batches numbered: equal for equal patches, and quick to look up
Lone = tuple[
    float,  # walk to it
    tuple[tuple[str, float, float, tuple[Limits, ...]], ...],  # batches: number, mixing, washing, doses
    tuple[tuple[str, float, float], ...],  # placements: number, carrying, placing
    tuple[tuple[tuple[str, ...], tuple[float, ...]], ...],  # finishing jobs: numbers, passes
]


@dataclass(frozen=True, eq=False)
class Site:
    """People and stations, all idle. There is one for equal sites (`_site`), so that it is looked up by what it is."""

    people: tuple[Person, ...]
    stations: tuple[Station, ...]
    place_needs: str
    wash_at_once: bool

    def problem(self, lone: Lone) -> Problem:
        """One patch here, nothing begun."""
        approach_s, batches, placements, jobs = lone
        patch = Patch(
            "",
            approach_s,
            tuple([Placement(*laid) for laid in placements]),
            tuple([Finishing(*job) for job in jobs]),
        )
        return Problem(
            people=self.people,
            stations=self.stations,
            batches=tuple([Batch(*batch) for batch in batches]),
            patches=(patch,),
            place_needs=self.place_needs,
            wash_at_once=self.wash_at_once,
        )


@lru_cache(maxsize=64)
def _site(
    people: tuple[Person, ...], stations: tuple[Station, ...], place_needs: str, wash_at_once: bool
) -> Site:
    return Site(people, stations, place_needs, wash_at_once)


class Empty:
    """The site of a problem with everybody idle and nothing begun."""

    def __init__(self, problem: Problem) -> None:
        people = tuple([replace(person, free_s=0.0) for person in problem.people])
        stations = tuple([replace(station, free_s=0.0) for station in problem.stations])
        self.site = _site(people, stations, problem.place_needs, problem.wash_at_once)
        self.batch = {batch.id: batch for batch in problem.batches}

    def with_patch(self, patch: Patch) -> Problem:
        """One patch there, its batches numbered, so that equal patches are equal."""
        return self.site.problem(self.lone(patch))

    def lone(self, patch: Patch) -> Lone:
        """What of a patch counts there."""
        number = {laid.batch: str(n) for n, laid in enumerate(patch.placements)}
        batches = [(number[name], self.batch[name]) for name in number]
        return (
            patch.approach_s,
            tuple([(name, batch.mix_s, batch.wash_s, batch.options) for name, batch in batches]),
            tuple([(number[laid.batch], laid.carry_s, laid.place_s) for laid in patch.placements]),
            tuple(
                [
                    (tuple([number[name] for name in job.batches if name in number]), job.pass_s)
                    for job in patch.finishing
                ]
            ),
        )


@lru_cache(maxsize=4096)
def least_lateness(problem: Problem) -> float:
    """Least seconds late of a problem as planned."""
    return least_late_s(Work(problem))


def least_late_s(work: Work) -> float:
    """Least seconds late found by a few runs of the forward planner, over the doses on offer; stops at the first clean."""
    least_s: float | None = None
    for dose in range(max((len(choices) for choices in work.options), default=1)):
        for style in STYLES:
            late_s = run_forward(work, style, first_options(work, dose)).late_s
            least_s = late_s if least_s is None else min(least_s, late_s)
            if least_s <= 0.0:
                return 0.0
    return least_s or 0.0
