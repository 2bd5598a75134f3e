"""Small changes to what the forward planner is told: a dose, the queue of patches, the style; kept unless they are worse."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from random import Random

from engine.plan.budget import Budget
from engine.plan.forward import Style, first_options, run_forward
from engine.plan.judge import Rank, rank_of
from engine.plan.timed import Timed
from engine.plan.work import Work

NEVER_S = 1e9  # an urgent stage is always done first
STYLES = (  # the quickest that is good, the surest, then the rest
    Style(0.5, 60.0),
    Style(0.0, 0.0),
    Style(1.0, 60.0),
    Style(1.0, 0.0),
    Style(0.0, 60.0),
    Style(0.5, 0.0),
    Style(0.0, NEVER_S),
    Style(0.5, NEVER_S),
    Style(1.0, NEVER_S),
)


@dataclass(frozen=True)
class Told:
    """What one run of the forward planner is told."""

    style: Style
    option: list[int]
    queue: list[int]


@dataclass(frozen=True)
class Found:
    """What came of it."""

    rank: Rank
    told: Told
    timed: Timed


class Climb:
    """The forward planner in every style and dose, then with small changes. `best` is the best found so far."""

    def __init__(self, work: Work, rng: Random) -> None:
        self.work, self.rng = work, rng
        self.queue = list(range(len(work.places_of_patch)))
        doses = range(max((len(choices) for choices in work.options), default=1))
        self.starts = [
            Told(style, first_options(work, dose), self.queue) for style in STYLES for dose in doses
        ]
        self.dosed = [
            n for n in range(work.n_batches) if work.fixed_option[n] is None and len(work.options[n]) > 1
        ]
        self.best = self._run(self.starts[0])

    def _run(self, told: Told) -> Found:
        timed = run_forward(self.work, told.style, told.option, told.queue).outcome()
        return Found(rank_of(timed), told, timed)

    def by_style(self, budget: Budget, until: float) -> None:
        """Tries every style and dose while `until` of the budget (0 to 1) is not spent."""
        for told in self.starts[1:]:
            if budget.spent() >= until:
                return
            self._keep(told, budget)

    def by_changes(self, budget: Budget, until: float) -> None:
        """Tries small changes until `until` of the budget is spent."""
        while budget.spent() < until:
            self._keep(self._changed(self.best.told), budget)

    def _keep(self, told: Told, budget: Budget) -> None:
        budget.count()
        found = self._run(told)
        if found.rank <= self.best.rank:
            self.best = found

    def _changed(self, told: Told) -> Told:
        kind = self.rng.random()
        if self.dosed and kind < 0.5:
            return Told(told.style, self._other_doses(told.option), told.queue)
        if len(told.queue) > 1 and kind < 0.85:
            queue = told.queue[:]
            queue.insert(self.rng.randrange(len(queue)), queue.pop(self.rng.randrange(len(queue))))
            return Told(told.style, told.option, queue)
        return Told(self.rng.choice(STYLES), told.option, told.queue)

    def _other_doses(self, before: Sequence[int]) -> list[int]:
        option, work = list(before), self.work
        batches = [self.rng.choice(self.dosed)]
        if self.rng.random() < 0.4:
            row = work.places_of_patch[work.patch[work.places_of_batch[batches[0]][0]]]
            batches = [work.batch[place] for place in row if work.batch[place] in self.dosed]
        dose = self.rng.randrange(max(len(work.options[batch]) for batch in batches))
        for batch in batches:
            option[batch] = min(dose, len(work.options[batch]) - 1)
        return option
