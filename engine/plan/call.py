"""When may the next bag be called? The earliest water contact after which everything promised still holds.

The question is asked of a near view of the pour: what is begun, and the first batches of the next few patches. A
trial calls one batch at one moment and carries everything committed through; refused, it moves later by what was late.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from math import inf

from engine.plan.forward import first_options
from engine.plan.lookahead import late_ahead, run_committed
from engine.plan.margins import Margins, bearable, with_margins
from engine.plan.near import near_view
from engine.plan.problem import Problem
from engine.plan.state import State
from engine.plan.work import NOBODY, Work

NO_MARGINS = Margins()
TRIALS = 40  # moments tried for one batch before it is given up


@dataclass(frozen=True)
class Reason:
    """What decides the moment of a call, by ids; the words are made elsewhere.

    `kind`: "now" (nothing stands in the way), "mixer" or "station" (busy until then), "finisher" (the batch would
    wait past its working time), "wait" (it would wait longer than allowed), "joint", "window" (a pass, by
    `pass_index`), "target", "order" (`patch` waits for another), "crew" (nobody can do it), "done" (nothing left).
    """

    kind: str
    patch: str = ""
    batch: str = ""
    pass_index: int = -1
    person: str = ""
    station: str = ""
    late_s: float = 0.0


@dataclass(frozen=True)
class Call:
    """The next call. `at_s` is None when there is no clean moment: then `reason` is what fails first.

    `latest_s` is the last water contact that still holds everything (infinite: nothing presses); `forced` marks a
    call that cannot be clean but loses more if it waits (a joint) or is the only thing to do (an empty site).
    """

    batch: str
    patch: str
    at_s: float | None
    latest_s: float
    reason: Reason
    option: int = 0
    people: tuple[str, ...] = ()
    station: str = ""
    forced: bool = False
    margin_share: float = 1.0  # of the margins asked for, what the patch can bear


@dataclass(frozen=True)
class _Trial:
    """One call tried at one moment: how late it makes things, the first thing late, how long the batch waits."""

    harm_s: float
    reason: Reason
    wait_s: float
    people: tuple[int, ...] = field(default=())
    station: int = NOBODY


def earliest_call(
    problem: Problem,
    margins: Margins = NO_MARGINS,
    ahead: int = 3,
    options: Mapping[str, int] | None = None,
) -> Call:
    """The earliest call from `problem.now_s` on, of any batch the rules allow among the next `ahead` patches.

    `options` fixes the dose number of batches not begun; else every dose is tried for the batch called.
    """
    view = near_view(problem, ahead)
    share = bearable(view, margins)
    work = Work(with_margins(view, margins, share))
    doses = first_options(work)
    for batch, number in (options or {}).items():
        if batch in work.batch_number and work.called_s[work.batch_number[batch]] is None:
            doses[work.batch_number[batch]] = number
    return _Caller(work, doses, margins, share, frozenset(options or {})).call()


class _Caller:
    """The question for one view of the pour."""

    def __init__(
        self, work: Work, doses: list[int], margins: Margins, share: float, chosen: frozenset[str]
    ) -> None:
        self.work, self.margins, self.share, self.chosen = work, margins, share, chosen
        self.doses = doses
        self.base = State(work, doses, 0.0)
        self.anyway_s = late_ahead(self.base)[0]

    def call(self) -> Call:
        best: Call | None = None
        for task in self._candidates():
            for dose in self._doses_of(self.work.batch[task]):
                found = self._earliest(task, dose)
                if best is None or _sooner(found, best):
                    best = found
        return best or Call("", "", None, inf, self._why_none())

    def _candidates(self) -> list[int]:
        """Placements whose batch may be called next: next of a begun patch, first of a coming one."""
        found = []
        for row in self.work.places_of_patch:
            task = next((t for t in row if self.base.call[self.work.batch[t]] is None), None)
            if task is not None and self._rules_allow(task):
                found.append(task)
        return found

    def _rules_allow(self, task: int) -> bool:
        work = self.work
        if work.before_in_batch[task] != NOBODY:
            return False
        return work.before_in_patch[task] != NOBODY or self.base.may_begin(task)

    def _doses_of(self, batch: int) -> list[int]:
        name = self.work.problem.batches[batch].id
        if self.work.fixed_option[batch] is not None or name in self.chosen:
            return [self.doses[batch]]
        return list(range(len(self.work.options[batch])))

    def _why_none(self) -> Reason:
        work = self.work
        if all(call is not None for call in self.base.call):
            return Reason("done")
        waiting = [
            n for n, row in enumerate(work.places_of_patch) if self.base.call[work.batch[row[0]]] is None
        ]
        return Reason("order", work.problem.patches[waiting[0]].id if waiting else "")

    # one batch

    def _earliest(self, task: int, dose: int) -> Call:
        """Moves the call later until it does no harm, then back to the first clean second."""
        first_s = self._first_moment(task)
        if first_s == inf:
            return self._refused(task, dose, Reason("crew", batch=self._batch_id(task)))
        at_s, trial, refused_s, why = first_s, self._try(task, dose, first_s), first_s, None
        steps = 0
        while trial.harm_s > 0.0 and steps < TRIALS:
            refused_s, why, steps = at_s, trial.reason, steps + 1
            at_s += max(1.0, min(trial.harm_s, 120.0))
            trial = self._try(task, dose, at_s)
        if trial.harm_s > 0.0:
            return self._refused(task, dose, self._try(task, dose, first_s).reason)
        while why is not None and at_s - refused_s > 1.0:
            middle = refused_s + max(1.0, float(int((at_s - refused_s) / 2.0)))
            attempt = self._try(task, dose, middle)
            if attempt.harm_s > 0.0:
                refused_s, why = middle, attempt.reason
            else:
                at_s, trial = middle, attempt
        return self._granted(task, dose, at_s, trial, why or self._what_holds(task, first_s))

    def _first_moment(self, task: int) -> float:
        """When a mixer and a station are free, and not so early that an order rule keeps the batch waiting."""
        slot = self.base.slot(self.work.batch[task], self.work.all_mixers)
        return inf if slot is None else max(slot[0], self.work.now_s)

    def _try(self, task: int, dose: int, at_s: float) -> _Trial:
        mark, batch = self.base.mark(), self.work.batch[task]
        before = self.base.option[batch]
        self.base.choose(batch, dose)
        trial = self._carried(self.base, task, at_s)
        self.base.back_to(mark)
        self.base.choose(batch, before)
        return trial

    def _carried(self, trial: State, task: int, at_s: float) -> _Trial:
        work, batch = self.work, self.work.batch[task]
        slot = trial.slot(batch, work.all_mixers)
        if slot is None:
            return _Trial(inf, Reason("crew"), 0.0)
        trial.take_out(task)
        trial.note_call(batch, max(at_s, slot[0]), slot[1], slot[2])
        trial.open_place(task)
        late_s = run_committed(trial)
        harm = max(0.0, late_s - self.anyway_s)
        wait_s = (trial.start[task] or 0.0) - at_s - work.arrive_s[task]
        if harm == 0.0 and wait_s > self.margins.wait_s:
            return _Trial(
                wait_s - self.margins.wait_s, Reason("wait", *self._ids(task)), wait_s, slot[2], slot[1]
            )
        return _Trial(harm, self._why_late(trial), wait_s, slot[2], slot[1])

    def _why_late(self, trial: State) -> Reason:
        if trial.first_late is None:
            return Reason("now")
        task, person, late_s = trial.first_late
        work = self.work
        name = work.problem.people[person].id
        patch = work.problem.patches[work.patch[task]].id
        if task >= work.first_pass:
            batch = work.problem.batches[work.batches_of_job[work.job[task]][0]].id
            return Reason("window", patch, batch, work.pass_number[task], name, late_s=late_s)
        return Reason(trial.tightest_of_place(task), patch, self._batch_id(task), -1, name, late_s=late_s)

    def _what_holds(self, task: int, first_s: float) -> Reason:
        """What keeps an unharmful call from being made at once."""
        work = self.work
        slot = self.base.slot(work.batch[task], work.all_mixers)
        if slot is None or first_s <= work.now_s:
            return Reason("now", *self._ids(task))
        _, station, people = slot
        busy = max(people, key=self.base.free.__getitem__)
        kind = "station" if self.base.vessel_free[station] > self.base.free[busy] else "mixer"
        who, where = work.problem.people[busy].id, work.problem.stations[station].id
        return Reason(kind, *self._ids(task), person=who, station=where)

    def _granted(self, task: int, dose: int, at_s: float, trial: _Trial, why: Reason) -> Call:
        people = tuple(self.work.problem.people[n].id for n in trial.people)
        station = self.work.problem.stations[trial.station].id
        patch, batch = self._ids(task)
        latest = self._latest(task, dose, at_s)
        return Call(batch, patch, at_s, latest, why, dose, people, station, margin_share=self.share)

    def _latest(self, task: int, dose: int, at_s: float) -> float:
        """The last clean second: infinite for a patch nothing presses, else found between here and its limit."""
        limit = self.base.latest_place(task) - self.work.arrive_s[task]
        if limit == inf:
            return inf
        low, high = at_s, limit + 1.0
        while high - low > 1.0:
            middle = low + max(1.0, float(int((high - low) / 2.0)))
            if self._try(task, dose, middle).harm_s > 0.0:
                high = middle
            else:
                low = middle
        return low

    def _refused(self, task: int, dose: int, why: Reason) -> Call:
        patch, batch = self._ids(task)
        return Call(batch, patch, None, inf, why, dose, margin_share=self.share)

    def _batch_id(self, task: int) -> str:
        return self.work.problem.batches[self.work.batch[task]].id

    def _ids(self, task: int) -> tuple[str, str]:
        return self.work.problem.patches[self.work.patch[task]].id, self._batch_id(task)


def _sooner(one: Call, other: Call) -> bool:
    if one.at_s is None or other.at_s is None:
        return other.at_s is None and one.at_s is not None
    return one.at_s < other.at_s
