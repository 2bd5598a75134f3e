"""When may the next bag be called? The earliest water contact after which everything promised still holds.

The question is asked of a near view of the pour: what is begun, and the first batches of the next few patches. A
trial calls one batch at one moment and carries everything committed through; refused, it moves later by what was late.
What no moment can hold clean is forced where waiting would lose more: the next batch of a live edge at the moment of
least harm, or the next batch of the queue once the site is empty.
"""

from __future__ import annotations

from collections.abc import Mapping
from math import inf

from engine.plan.answer import Call, Reason, instead_of, late_reason
from engine.plan.forward import first_options
from engine.plan.margins import Margins, bearable, strain_of
from engine.plan.near import near_view
from engine.plan.problem import Problem
from engine.plan.trial import Bench, Trial
from engine.plan.work import NOBODY, Work

__all__ = ["Call", "Reason", "earliest_call"]

NO_MARGINS = Margins()
SHORTEST_STEP_S, LONGER, LONGEST_STEP_S = 2.0, 1.4, 3600.0  # between the moments tried for one batch
FINENESS = 0.02  # of the time still to go: asked again, it is looked at more closely
LATEST_WITHIN_S = 4.0  # how closely the last water contact is looked for


def earliest_call(
    problem: Problem,
    margins: Margins = NO_MARGINS,
    ahead: int = 3,
    options: Mapping[str, int] | None = None,
    *,
    with_latest: bool = True,
) -> Call:
    """The earliest call from `problem.now_s` on, of any batch the rules allow among the next `ahead` patches.

    `options` fixes the dose number of batches not begun; else every dose is tried for the batch called. The margins
    are cut, patch by patch, to what the patch could bear alone with the limits as they now stand. Without `with_latest`
    the last water contact is not looked for, and stays infinite.
    """
    view = near_view(problem, ahead)
    shares = bearable(view, margins)
    work = Work(view, strain_of(view, margins, shares))
    doses = first_options(work)
    for batch, number in (options or {}).items():
        if batch in work.batch_number and work.called_s[work.batch_number[batch]] is None:
            doses[work.batch_number[batch]] = number
    bench = Bench(work, doses, margins.wait_s)
    return _Caller(bench, shares, frozenset(options or ()), with_latest).call()


class _Caller:
    """The question for one view of the pour."""

    def __init__(
        self, bench: Bench, shares: Mapping[str, float], chosen: frozenset[str], with_latest: bool
    ) -> None:
        self.bench, self.work, self.shares, self.chosen = bench, bench.work, shares, chosen
        self.with_latest = with_latest
        self.least: Trial | None = None  # of all that did harm, the one that did least

    def call(self) -> Call:
        best: Trial | None = None
        tasks = self._candidates()
        for task in tasks:
            for dose in self._doses_of(self.work.batch[task]):
                found = self._earliest(task, dose, inf if best is None else best.at_s)
                best = found or best
        if best is not None:
            return self._granted(best)
        if self.least is not None:
            return self._forced(self.least)
        return self._none(tasks)

    def _candidates(self) -> list[int]:
        """Placements whose batch may be called next: next of a begun patch, first of a coming one."""
        found, called = [], self.bench.base.call
        for row in self.work.places_of_patch:
            task = next((t for t in row if called[self.work.batch[t]] is None), None)
            if task is not None and self._rules_allow(task):
                found.append(task)
        return found

    def _rules_allow(self, task: int) -> bool:
        work = self.work
        if work.before_in_batch[task] != NOBODY:
            return False
        return work.before_in_patch[task] != NOBODY or self.bench.base.may_begin(task)

    def _doses_of(self, batch: int) -> list[int]:
        name = self.work.problem.batches[batch].id
        if self.work.fixed_option[batch] is not None or name in self.chosen:
            return [self.bench.base.option[batch]]
        return list(range(len(self.work.options[batch])))

    # one batch

    def _earliest(self, task: int, dose: int, before_s: float) -> Trial | None:
        """The first clean call of a batch, sooner than `before_s`."""
        with self.bench.from_here():
            if before_s < inf and not self._could_be_sooner(task, dose, before_s):
                return None
            return self._stepped(task, dose, before_s)

    def _could_be_sooner(self, task: int, dose: int, before_s: float) -> bool:
        """A batch that does harm just before a moment is not looked at sooner."""
        last_s = before_s - 1.0
        return self.bench.first_moment(task) <= last_s and self.bench.trial(task, dose, last_s).harm_s <= 0.0

    def _stepped(self, task: int, dose: int, before_s: float) -> Trial | None:
        """Later by the harm a call does, and by more each time; then back by halves."""
        at_s, step_s = self.bench.first_moment(task), 0.0
        refused: Trial | None = None
        while at_s < before_s and step_s < LONGEST_STEP_S:
            trial = self.bench.trial_kept(task, dose, at_s, clean=False)
            if trial.harm_s <= 0.0:
                return self._halved(refused, trial) if refused else trial
            self._note_harm(trial)
            refused = trial
            self.bench.go_on(at_s)
            step_s = max(SHORTEST_STEP_S, trial.harm_s, step_s * LONGER)
            at_s = max(at_s, trial.at_s) + step_s
        return None

    def _note_harm(self, trial: Trial) -> None:
        if trial.at_s < inf and (self.least is None or trial.harm_s < self.least.harm_s):
            self.least = trial

    def _halved(self, refused: Trial, clean: Trial) -> Trial:
        """The first clean moment between a refused and a clean one, finer the nearer it is; why it is not sooner."""
        while clean.at_s - refused.at_s > max(1.0, FINENESS * (clean.at_s - self.work.now_s)):
            middle_s = refused.at_s + max(1.0, float(int((clean.at_s - refused.at_s) / 2.0)))
            trial = self.bench.trial_kept(clean.task, clean.dose, middle_s, clean=False)
            if trial.harm_s > 0.0:
                refused = trial
            elif trial.at_s < clean.at_s:
                clean = trial
            else:
                break
        clean.held_by = late_reason(self.work, refused)
        return clean

    # answers

    def _granted(self, trial: Trial) -> Call:
        latest_s = self._latest(trial) if self.with_latest else inf
        return self._answer(trial, latest_s, trial.held_by or self._what_holds(trial))

    def _forced(self, trial: Trial) -> Call:
        """No clean moment: the least harm for a live edge; else whatever is next once the site is empty."""
        work, why = self.work, late_reason(self.work, trial)
        if work.before_in_patch[trial.task] == NOBODY:
            empty_s = self.bench.empty_from_s()
            if trial.at_s < empty_s:
                trial = self.bench.trial(trial.task, trial.dose, empty_s)
        return self._answer(trial, trial.at_s, why, forced=True)

    def _answer(self, trial: Trial, latest_s: float, why: Reason, forced: bool = False) -> Call:
        patch, batch = self._ids(trial.task)
        problem = self.work.problem
        return Call(
            batch=batch,
            patch=patch,
            at_s=trial.at_s,
            latest_s=latest_s,
            reason=why,
            option=trial.dose,
            people=tuple(problem.people[n].id for n in trial.people),
            station=problem.stations[trial.station].id,
            forced=forced,
            margin_share=self.shares[patch],
            instead=instead_of(self.work, trial.task) if forced else "",
        )

    def _none(self, tasks: list[int]) -> Call:
        if tasks:
            patch, batch = self._ids(tasks[0])
            return Call(batch, patch, None, inf, Reason("crew", patch, batch), instead="people")
        work, called = self.work, self.bench.base.call
        waiting = [row[0] for row in work.places_of_patch if row and called[work.batch[row[0]]] is None]
        if not waiting:
            return Call("", "", None, inf, Reason("done"))
        return Call("", "", None, inf, Reason("order", self._ids(waiting[0])[0]), instead="wait")

    def _what_holds(self, trial: Trial) -> Reason:
        """What keeps a harmless call from being made at once."""
        work, base = self.work, self.bench.base
        ids = self._ids(trial.task)
        if trial.at_s <= work.now_s:
            return Reason("now", *ids)
        busy = max(trial.people, key=base.idle.__getitem__)
        kind = "station" if base.vessel_free[trial.station] > base.idle[busy] else "mixer"
        return Reason(
            kind, *ids, person=work.problem.people[busy].id, station=work.problem.stations[trial.station].id
        )

    def _latest(self, trial: Trial) -> float:
        """The last clean water contact: infinite for a patch nothing presses, else found between here and its limit."""
        limit_s = self.bench.base.latest_place(trial.task) - self.work.arrive_s[trial.task]
        low, high = trial.at_s, limit_s + 1.0
        if limit_s == inf:
            return inf
        with self.bench.from_here():
            while high - low > LATEST_WITHIN_S:
                middle_s = low + float(int((high - low) / 2.0))
                if self.bench.trial_kept(trial.task, trial.dose, middle_s, clean=True).harm_s > 0.0:
                    high = middle_s
                else:
                    low = middle_s
        return low

    def _ids(self, task: int) -> tuple[str, str]:
        problem = self.work.problem
        return problem.patches[self.work.patch[task]].id, problem.batches[self.work.batch[task]].id
