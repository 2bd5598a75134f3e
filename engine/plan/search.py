"""Local search around a plan: its roster is changed a little, timed anew, and kept if better or, early on, not much worse."""

from __future__ import annotations

from math import inf, log
from random import Random

from engine.plan.budget import Budget
from engine.plan.crew import Crew
from engine.plan.judge import Rank
from engine.plan.moves import Moves
from engine.plan.roster import Roster, Timing
from engine.plan.timed import Timed
from engine.plan.work import Work

LATE_COST, LATE_COST_GROWS = (
    2.0,
    6.0,
)  # what a second late weighs against one at the end of the day; more as time goes
WARMTH = 0.01  # of the end: how much worse is tried at first


class Search:
    """The search for one pour. `best` is the best roster timed so far."""

    def __init__(self, work: Work, rng: Random) -> None:
        self.work, self.rng = work, rng
        self.crew = Crew(work)
        self.moves = Moves(self.crew, self.rng)
        self.late_cost = LATE_COST
        self.best: Timing | None = None
        self.best_rank: Rank = (inf, inf, inf)
        self.best_roster = Roster([], [], [])

    def roster_of(self, timed: Timed) -> Roster:
        """The turns as they were taken, and how early each batch was called."""
        work = self.work
        turns = [task for task in range(work.n_batches, work.n_tasks) if self._is_to_come(task)]
        keys = [0.0 if start is None else start - work.approach[n] for n, start in enumerate(timed.start)]
        early_s = [0.0] * work.n_batches
        for batch in self.moves.free:
            place, call = work.places_of_batch[batch][0], timed.call[batch] or 0.0
            early_s[batch] = max(0.0, (timed.start[place] or 0.0) - work.ready_s[batch] - call)
            if self.moves.both and any(any(work.can[n]) for n in timed.mixed_by.get(batch, ())):
                turns.append(batch)
        return Roster(self.moves.in_order(sorted(turns), keys), early_s, list(timed.option))

    def _is_to_come(self, task: int) -> bool:
        return task not in self.work.fact and task not in self.work.given_up

    def time(self, roster: Roster, before: Timing | None = None, stop_cost: float = inf) -> Timing | None:
        """The roster timed; None where it costs more than `stop_cost`. `before`: timing of the one it was made from."""
        timing = Timing(self.crew, roster, before)
        return timing if timing.run(roster.turns, self.late_cost, stop_cost) else None

    def anneal(self, roster: Roster, budget: Budget, until: float, warm: float = WARMTH) -> None:
        """Changes the roster until `until` of the budget (0 to 1) is spent, `warm` at first."""
        timing = self._noted(self.time(roster), roster)
        began = budget.spent()
        if timing is None or not roster.turns:
            return
        while (spent := budget.spent()) < until:
            budget.count()
            cold = 1.0 - (spent - began) / (until - began)
            warmth = max(1e-9, timing.end_s * warm * cold * cold)
            self.late_cost = LATE_COST + LATE_COST_GROWS * spent
            changed = self.moves.change(roster, timing)
            if changed is None:
                continue
            worst = timing.late_s * self.late_cost + timing.end_s - warmth * log(1.0 - self.rng.random())
            found = self.time(changed, timing, worst)
            if found is not None:
                roster, timing = changed, found
                self._noted(found, changed)

    def loosen(self, budget: Budget) -> None:
        """Calls batches of the best roster just in time where that leaves more slack and ends no later."""
        for batch in self.moves.free:
            roster = self.best_roster
            if budget.spent() >= 1.0 or not roster.turns:
                return
            if roster.early_s[batch] > 0.0:
                budget.count()
                early_s = roster.early_s[:]
                early_s[batch] = 0.0
                changed = Roster(roster.turns, early_s, roster.option)
                self._noted(self.time(changed), changed)

    def _noted(self, timing: Timing | None, roster: Roster) -> Timing | None:
        if timing is not None:
            rank = (timing.late_s, timing.end_s, -timing.slack_s)
            if rank < self.best_rank:
                self.best, self.best_rank, self.best_roster = timing, rank, roster
        return timing
