"""A pour laid out for a simulated crew: stages linked to what they follow, planned and real seconds side by side."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field
from itertools import chain, pairwise
from math import inf

from engine.plan.problem import Limits, Problem
from engine.rehearsal.luck import Luck


@dataclass(slots=True)
class Mix:
    """A batch: what is planned for it, what is drawn, and its times once it is called (the real end known to the day)."""

    number: int
    id: str
    planned_s: float
    real_s: float
    carry_s: float
    wash_s: float
    limits: Limits
    factor: float
    places: list[Stage] = field(default_factory=list)
    called_s: float = inf
    station: int = -1

    @property
    def mixed_s(self) -> float:
        """When the vessel is really mixed; infinite until called."""
        return self.called_s + self.real_s


@dataclass(slots=True, eq=False)
class Stage:
    """A placement (`index` −1) or a pass of a finishing job, with its times once begun."""

    patch: int
    index: int
    mixes: list[Mix]
    planned_s: float
    real_s: float
    approach_s: float
    carry_s: float = 0.0
    before: Stage | None = None  # in the patch, or the pass before
    after: Stage | None = None
    follows: tuple[Stage, ...] = ()  # of a job's first pass: the placements it finishes
    start_s: float = inf
    end_s: float = inf
    opened: bool = False

    def closes_s(self, planned: bool) -> float:
        """When it must have ended, by the plan's windows or by the real ones; of its own limits the first."""
        if self.index >= 0:
            return min(
                mix.called_s + mix.limits.passes[self.index][1] * (1.0 if planned else mix.factor)
                for mix in self.mixes
            )
        own = self.mixes[0]
        closes = own.called_s + own.limits.working_s * (1.0 if planned else own.factor)
        if self.before is None:
            return closes
        laid = self.before.mixes[0]
        return min(closes, laid.called_s + laid.limits.joint_s * (1.0 if planned else laid.factor))

    def really_opens_s(self) -> float:
        """When the surface bears the pass; for a placement, when its batch has been carried to the patch."""
        if self.index < 0:
            return self.mixes[0].mixed_s + self.carry_s
        return max(mix.called_s + mix.limits.passes[self.index][0] * mix.factor for mix in self.mixes)


class Layout:
    """All mixes and stages of a problem, by number; `places` and `jobs` by patch."""

    def __init__(self, problem: Problem, luck: Luck) -> None:
        self.problem = problem
        self.luck = luck
        carry = {laid.batch: laid.carry_s for patch in problem.patches for laid in patch.placements}
        self.mixes = [
            Mix(
                number,
                batch.id,
                batch.mix_s,
                luck.mix_s[number],
                carry[batch.id],
                batch.wash_s,
                batch.options[0],
                luck.window_factor(number),
            )
            for number, batch in enumerate(problem.batches)
        ]
        self.mix_of = {mix.id: mix for mix in self.mixes}
        self.number_of = {patch.id: number for number, patch in enumerate(problem.patches)}
        self.places = [self._places(number) for number in range(len(problem.patches))]
        self.jobs = [self._jobs(number) for number in range(len(problem.patches))]
        self._link()
        self.rules = [
            [
                (self.number_of[o.first], o.finished, o.lag_s)
                for o in problem.orders
                if o.then == patch.id and o.first in self.number_of
            ]
            for patch in problem.patches
        ]

        self.waiting_for = [
            [then for then, row in enumerate(self.rules) if any(first == number for first, *_ in row)]
            for number in range(len(self.rules))
        ]

    def must_end(self, patch: int, finished: bool) -> Iterator[Stage]:
        """The stages of a patch that must have ended before it counts as placed, or as finished."""
        yield from self.places[patch]
        if finished:
            yield from chain.from_iterable(self.jobs[patch])

    def _link(self) -> None:
        """What comes after each stage, and which job finishes which placement."""
        self.job_of: dict[tuple[int, int], list[Stage]] = {}
        for number, jobs in enumerate(self.jobs):
            for row in (self.places[number], *jobs):
                for one, two in pairwise(row):
                    one.after, two.before = two, one
            for job in jobs:
                names = {mix.number for mix in job[0].mixes}
                job[0].follows = tuple(s for s in self.places[number] if s.mixes[0].number in names)
                self.job_of |= {(number, name): job for name in names}

    def _places(self, number: int) -> list[Stage]:
        patch = self.problem.patches[number]
        row: list[Stage] = []
        for laid, real_s in zip(patch.placements, self.luck.place_s[number], strict=True):
            mix = self.mix_of[laid.batch]
            before = row[-1] if row else None
            stage = Stage(number, -1, [mix], laid.place_s, real_s, patch.approach_s, laid.carry_s, before)
            mix.places.append(stage)
            row.append(stage)
        return row

    def _jobs(self, number: int) -> list[list[Stage]]:
        patch = self.problem.patches[number]
        rows: list[list[Stage]] = []
        for job, real in zip(patch.finishing, self.luck.pass_s[number], strict=True):
            mixes = [self.mix_of[name] for name in job.batches]
            row: list[Stage] = []
            for index, (planned_s, real_s) in enumerate(zip(job.pass_s, real, strict=True)):
                approach_s = patch.approach_s if index else 0.0
                row.append(Stage(number, index, mixes, planned_s, real_s, approach_s))
            rows.append(row)
        return rows
