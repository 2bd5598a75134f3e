"""A pour laid out for a simulated crew: stages linked to what they follow, planned and real seconds side by side."""

from __future__ import annotations

from dataclasses import dataclass, field
from math import inf

from engine.plan.problem import Limits, Problem
from engine.rehearsal.luck import Luck

NONE = -1


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
    person: int = NONE
    station: int = NONE

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
    start_s: float = inf
    end_s: float = inf
    person: int = NONE
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
        self.rules = [
            [
                (self.number_of[o.first], o.finished, o.lag_s)
                for o in problem.orders
                if o.then == patch.id and o.first in self.number_of
            ]
            for patch in problem.patches
        ]

    def _places(self, number: int) -> list[Stage]:
        patch, row = self.problem.patches[number], []
        for laid, real_s in zip(patch.placements, self.luck.place_s[number], strict=True):
            mix = self.mix_of[laid.batch]
            before = row[-1] if row else None
            stage = Stage(number, -1, [mix], laid.place_s, real_s, patch.approach_s, laid.carry_s, before)
            mix.places.append(stage)
            row.append(stage)
        return row

    def _jobs(self, number: int) -> list[list[Stage]]:
        patch, rows = self.problem.patches[number], []
        for job, real in zip(patch.finishing, self.luck.pass_s[number], strict=True):
            mixes = [self.mix_of[name] for name in job.batches]
            row: list[Stage] = []
            for index, (planned_s, real_s) in enumerate(zip(job.pass_s, real, strict=True)):
                approach_s = patch.approach_s if index else 0.0
                before = row[-1] if row else None
                row.append(Stage(number, index, mixes, planned_s, real_s, approach_s, 0.0, before))
            rows.append(row)
        return rows
