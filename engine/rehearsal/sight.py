"""What a caller can see of a simulated crew: the pour as a problem from now on, without what only the day knows.

A task under way is expected to end as planned, or a few seconds from now where it is overdue.
"""

from __future__ import annotations

from dataclasses import replace
from math import inf

from engine.plan.problem import Batch, Finishing, Limits, Patch, Placement, Problem, StageFact
from engine.rehearsal.crew import Crew
from engine.rehearsal.layout import Mix, Stage

OVERDUE_S = 5.0


class Sight:
    """The problem as seen at any moment of one rehearsed pour. `factor` multiplies every window of the plan."""

    def __init__(self, crew: Crew) -> None:
        self.crew = crew
        self._whole = crew.layout.problem
        self._over: set[int] = set()
        self.factor = self._stretched_by = 1.0
        self._fresh = {batch.id: batch for batch in self._whole.batches}

    def problem(self) -> Problem:
        """The pour from now on; patches on which nothing is left are left out."""
        self._stretch()
        self._count_out()
        whole, layout = self._whole, self.crew.layout
        left = [n for n in range(len(whole.patches)) if n not in self._over]
        names = {mix.number for n in left for place in layout.places[n] for mix in place.mixes}
        gone = {whole.patches[n].id for n in self._over}
        return replace(
            whole,
            people=tuple(replace(one, free_s=self._free_s(n)) for n, one in enumerate(whole.people)),
            stations=tuple(replace(one, free_s=self._station_s(n)) for n, one in enumerate(whole.stations)),
            batches=tuple(self._batch(mix) for mix in layout.mixes if mix.number in names),
            patches=tuple(self._patch(n) for n in left),
            orders=tuple(order for order in whole.orders if order.first not in gone),
            now_s=self.crew.now_s,
        )

    def laid_s(self, place: Stage) -> float:
        """When the placements before this one of its patch will have been laid, were nothing else to do."""
        done_s = self.crew.now_s
        for before in self.crew.layout.places[place.patch]:
            if before is place:
                break
            if before.start_s < inf:
                done_s = max(done_s, self._ends_s(before))
            else:
                arrives_s = self._mixed_s(before.mixes[0]) + before.carry_s
                done_s = max(done_s + before.approach_s, arrives_s) + before.planned_s
        return done_s

    def _stretch(self) -> None:
        if self.factor != self._stretched_by:
            self._stretched_by = self.factor
            self._fresh = {batch.id: _stretched(batch, self.factor) for batch in self._whole.batches}

    def _count_out(self) -> None:
        """Patches on which nothing is left and for which nobody waits any more."""
        now_s, layout = self.crew.now_s, self.crew.layout
        for number in range(len(self._whole.patches)):
            if number in self._over:
                continue
            end_s = max(stage.end_s for stage in layout.must_end(number, finished=True))
            lag_s = max(
                (lag for rules in layout.rules for first, _, lag in rules if first == number), default=0.0
            )
            if end_s + lag_s <= now_s:
                self._over.add(number)

    # people and stations

    def _free_s(self, person: int) -> float:
        now_s = self.crew.now_s
        doing = self.crew.doing[person]
        if doing is None or self.crew.free_s[person] <= now_s:
            return now_s
        return self._washed_s(doing) if isinstance(doing, Mix) else self._ends_s(doing)

    def _station_s(self, station: int) -> float:
        now_s = self.crew.now_s
        if self.crew.station_s[station] <= now_s:
            return now_s
        return max(self._washed_s(mix) for mix in self.crew.layout.mixes if mix.station == station)

    def _washed_s(self, mix: Mix) -> float:
        return max(self._mixed_s(mix) + mix.carry_s + mix.wash_s, self.crew.now_s)

    def _mixed_s(self, mix: Mix) -> float:
        return mix.mixed_s if mix.mixed_s <= self.crew.now_s else self._due_s(mix.called_s + mix.planned_s)

    def _ends_s(self, stage: Stage) -> float:
        return stage.end_s if stage.end_s <= self.crew.now_s else self._due_s(stage.start_s + stage.planned_s)

    def _due_s(self, planned_s: float) -> float:
        return planned_s if planned_s > self.crew.now_s else self.crew.now_s + OVERDUE_S

    # work

    def _batch(self, mix: Mix) -> Batch:
        fresh = self._fresh[mix.id]
        if mix.called_s == inf:
            return fresh
        return Batch(fresh.id, fresh.mix_s, fresh.wash_s, fresh.options, mix.called_s, self._mixed_s(mix), 0)

    def _patch(self, number: int) -> Patch:
        patch, layout = self._whole.patches[number], self.crew.layout
        places = layout.places[number]
        if places[0].mixes[0].called_s == inf:
            return patch
        laid = tuple(map(self._placement, patch.placements, places))
        jobs = tuple(map(self._job, patch.finishing, layout.jobs[number]))
        return Patch(patch.id, patch.approach_s, laid, jobs)

    def _placement(self, laid: Placement, stage: Stage) -> Placement:
        if stage.start_s == inf:
            return laid
        return Placement(laid.batch, laid.carry_s, laid.place_s, stage.start_s, self._ends_s(stage))

    def _job(self, job: Finishing, row: list[Stage]) -> Finishing:
        if row[0].start_s == inf:
            return job
        done = tuple(StageFact(stage.start_s, self._ends_s(stage)) for stage in row if stage.start_s < inf)
        return Finishing(job.batches, job.pass_s, done)


def _stretched(batch: Batch, factor: float) -> Batch:
    return replace(batch, options=tuple(_scaled(limits, factor) for limits in batch.options))


def _scaled(limits: Limits, factor: float) -> Limits:
    passes = tuple((opens * factor, closes * factor) for opens, closes in limits.passes)
    return replace(
        limits, working_s=limits.working_s * factor, joint_s=limits.joint_s * factor, passes=passes
    )
