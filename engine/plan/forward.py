"""The forward planner, led by the finishers: walk on with whoever is free first, call a batch only if all still holds.

At each step the most urgent open stage competes with the first batch of one of the next patches. A batch is let in
when a short run of everything already committed plus the rest of its patch comes out no later than without it.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import inf

from engine.plan.lookahead import late_ahead, run_committed
from engine.plan.mixing import bring
from engine.plan.state import State
from engine.plan.work import NOBODY, Work

STEPS, STEPS_A_TASK = 2000, 200  # a walk longer than this only waits
LOOKED_AT = 16  # patches from the head of the queue
PAUSE_S, LONGEST_PAUSE_S = 4.0, 60.0  # between two tries of one patch; longer the oftener it was refused


class Stuck(ValueError):
    """No plan can be walked to its end: somebody or something that is needed is not there."""


@dataclass(frozen=True)
class Style:
    """How the planner leans: `share` of the spare working time a batch may wait, and what goes first.

    A new batch goes before an urgent stage when that has more than `keep_s` left; `ahead` patches are looked at.
    """

    share: float = 0.0
    keep_s: float = 0.0
    ahead: int = 3


def first_options(work: Work, wanted: int = 0) -> list[int]:
    """The same dose for every batch that still has a choice."""
    return [
        min(wanted, len(choices) - 1) if fixed is None else fixed
        for choices, fixed in zip(work.options, work.fixed_option, strict=True)
    ]


def run_forward(
    work: Work, style: Style, options: Sequence[int], patches: Sequence[int] | None = None
) -> State:
    """The forward rule on a compiled problem; the state at the end has everything timed."""
    walk = _Walk(work, style, options, patches)
    walk.run()
    return walk.state


class _Walk:
    """One run of the forward rule: the state so far and the patches not yet begun."""

    def __init__(
        self, work: Work, style: Style, options: Sequence[int], patches: Sequence[int] | None
    ) -> None:
        self.work, self.style = work, style
        self.state = State(work, options, style.share)
        order = range(len(work.places_of_patch)) if patches is None else patches
        self.coming = [number for number in order if self._is_untouched(number)] if work.can_begin else []
        self.not_before = dict.fromkeys(self.coming, -inf)  # a patch refused is not worth a try before
        self.no_longer_s = inf  # laying that takes as long is refused at this moment
        self.refused = dict.fromkeys(self.coming, 0)
        self.looked = (-1, -1, False)  # how much was done when the queue was last looked at
        self.found: list[int] = []
        self.anyway_s = late_ahead(self.state)[0]  # lateness to come from what is promised so far

    def _is_untouched(self, number: int) -> bool:
        row = self.work.places_of_patch[number]
        return bool(row) and all(self.work.called_s[self.work.batch[task]] is None for task in row)

    def run(self) -> None:
        """Raises `Stuck` where waiting brings nothing."""
        steps_left = STEPS + STEPS_A_TASK * self.work.n_tasks
        while self.coming:
            steps_left -= 1
            if not steps_left:
                raise Stuck("what is left cannot be begun by the people and stations there are")
            person, now_s = self._next_free()
            self.state.release(now_s)
            self._step(person, now_s)
        run_committed(self.state)

    def _next_free(self) -> tuple[int, float]:
        free = self.state.free
        person = min(self.work.finishers, key=free.__getitem__)
        return person, free[person]

    def _step(self, person: int, now_s: float) -> None:
        state = self.state
        crew_class = state.urgent(person)
        retry_s = inf
        if crew_class == NOBODY or state.ready[crew_class][0][0] - now_s > self.style.keep_s:
            retry_s = self._try_new(person, now_s)
            if retry_s <= now_s:
                return
        if crew_class != NOBODY:
            state.do_urgent(person, now_s, crew_class)
            return
        self._wait(person, now_s, retry_s)

    def _wait(self, person: int, now_s: float, retry_s: float) -> None:
        state = self.state
        next_s = min(retry_s, state.waits_until(person))
        if next_s == inf:
            others = [state.free[n] for n in self.work.finishers if state.free[n] > now_s]
            others += [heap[0][0] for heap in state.pending if heap and heap[0][0] > now_s]
            next_s = min(others, default=now_s + 1.0)
        state.free[person] = max(next_s, now_s + 1.0)

    def _try_new(self, person: int, now_s: float) -> float:
        """Lets in the first batch of a coming patch if that does no harm: `now_s` when done, else when to retry."""
        if not self.work.can[person][0]:
            return inf
        retry_s, self.no_longer_s = inf, inf
        nothing_open = not any(self.state.ready) and not any(self.state.pending)
        for number in self._candidates(nothing_open):
            moment = self.not_before[number]
            if nothing_open or (moment <= now_s and self._lay_s(number) < self.no_longer_s):
                moment = self.not_before[number] = self._try(number, person, now_s, nothing_open)
                if moment <= now_s:
                    return moment
            if moment > now_s:
                retry_s = min(retry_s, moment)
        return retry_s

    def _lay_s(self, number: int) -> float:
        """How long a finisher is held by laying the first batch of a patch."""
        task = self.work.places_of_patch[number][0]
        return self.work.approach[task] + self.work.dur[task]

    def _candidates(self, all_of_them: bool) -> list[int]:
        """The next few patches the order rules let begin; the same until something more is done."""
        done = len(self.state.timed), len(self.state.called), all_of_them
        if done != self.looked:
            self.looked, self.found = done, self._look(all_of_them)
        return self.found

    def _look(self, all_of_them: bool) -> list[int]:
        found: list[int] = []
        state, work = self.state, self.work
        for number in self.coming if all_of_them else self.coming[:LOOKED_AT]:
            task = work.places_of_patch[number][0]
            if work.before_in_batch[task] == NOBODY and state.may_begin(task):
                found.append(number)
                if len(found) == self.style.ahead:
                    break
        return found

    def _try(self, number: int, person: int, now_s: float, forced: bool) -> float:
        """Tries one patch: `now_s` when it was let in, else the moment it is worth another try."""
        state, task = self.state, self.work.places_of_patch[number][0]
        before = state.mark()
        moment = bring(state, task, person, now_s, state.earliest_place(task))
        if moment is not None:
            return max(moment - self.work.approach[task], now_s + 1.0)
        late_s, first = late_ahead(state, inf if forced else self.anyway_s)
        if late_s > self.anyway_s and not forced:
            state.back_to(before)
            if first is not None and self.work.patch[first[0]] != number:
                self.no_longer_s = min(
                    self.no_longer_s, self._lay_s(number)
                )  # the hands are missing elsewhere
            self.refused[number] += 1
            pause_s = max(late_s - self.anyway_s, PAUSE_S * self.refused[number])
            return now_s + min(pause_s, LONGEST_PAUSE_S)
        self.anyway_s = late_s
        self._drop_begun(number)
        return now_s

    def _drop_begun(self, number: int) -> None:
        """A patch that shares a batch with a patch now begun is begun as well."""
        self.coming.remove(number)
        work = self.work
        for row in (work.places_of_batch[work.batch[task]] for task in work.places_of_patch[number]):
            for share in row:
                begun = self.state.call[work.batch[work.places_of_patch[work.patch[share]][0]]] is not None
                if begun and work.patch[share] in self.not_before and work.patch[share] in self.coming:
                    self.coming.remove(work.patch[share])
