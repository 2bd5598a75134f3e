"""One call tried at one moment: how late it makes things, what is late first, how long the batch stands."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from math import inf

from engine.plan.answer import Reason
from engine.plan.lookahead import late_ahead, run_committed
from engine.plan.state import Late, State
from engine.plan.work import NOBODY, Work


@dataclass
class Trial:
    """`at_s` is the water contact it came to; `late` the first thing late, with `limit` where it is a placement."""

    task: int
    dose: int
    at_s: float
    harm_s: float
    late: Late | None = None
    limit: str = ""
    waits: bool = False  # refused only because the batch would stand too long
    people: tuple[int, ...] = ()
    station: int = NOBODY
    held_by: Reason | None = None


class Bench:
    """The pour as it stands, on which calls are tried and taken back. `anyway_s` is late without any new call."""

    def __init__(self, work: Work, doses: list[int], wait_s: float) -> None:
        self.work, self.wait_s = work, wait_s
        self.base = State(work, doses)
        self.anyway_s = late_ahead(self.base)[0]

    def first_moment(self, task: int) -> float:
        """When a mixer and a station are free; infinite where there are none."""
        called = self.base.call[self.work.batch[task]]
        if called is not None:
            return called
        slot = self.base.slot(self.work.batch[task], self.work.all_mixers)
        return inf if slot is None else max(slot[0], self.work.now_s)

    def empty_from_s(self) -> float:
        """When everything begun is finished."""
        mark = self.base.mark()
        run_committed(self.base)
        ends = [end for task in self.base.timed if (end := self.base.end[task]) is not None]
        self.base.back_to(mark)
        return max(ends, default=self.work.now_s)

    def trial(self, task: int, dose: int, at_s: float) -> Trial:
        """Calls the batch of a placement at a moment, or as soon after as somebody can."""
        base, batch = self.base, self.work.batch[task]
        mark, before = base.mark(), base.option[batch]
        base.choose(batch, dose)
        found = self._tried(base, task, dose, at_s)
        base.back_to(mark)
        base.choose(batch, before)
        return found

    def trial_kept(self, task: int, dose: int, at_s: float, clean: bool) -> Trial:
        """A trial with others to come at later moments: where it is `clean`, or is not, what is done by then stays done."""
        base = self.base
        if dose != base.option[self.work.batch[task]]:
            return self.trial(task, dose, at_s)
        mark = base.mark()
        self.go_on(at_s)
        found = self.trial(task, dose, at_s)
        if (found.harm_s <= 0.0) != clean:
            base.back_to(mark)
        return found

    def _tried(self, state: State, task: int, dose: int, at_s: float) -> Trial:
        work, batch = self.work, self.work.batch[task]
        self.go_on(at_s)
        while state.unlaid() and state.step():
            pass
        if state.call[batch] is None:
            slot = state.slot(batch, work.all_mixers)
            if slot is None:
                return Trial(task, dose, inf, inf)
            state.take_out(task)
            state.note_call(batch, max(at_s, slot[0]), slot[1], slot[2])
            state.open_place(task)
        at_s = state.call[batch] or at_s
        harm_s = max(0.0, run_committed(state, self.anyway_s) - self.anyway_s)
        found = Trial(task, dose, at_s, harm_s, state.first_late)
        found.people, found.station = state.mixed_by[batch], state.mixed_at[batch]
        if harm_s > 0.0:
            if found.late is not None and found.late[0] < work.first_pass:
                found.limit = state.tightest_of_place(found.late[0])
            return found
        wait_s = (state.start[task] or 0.0) - at_s - work.arrive_s[task]
        if wait_s > self.wait_s:
            found.harm_s, found.waits = wait_s - self.wait_s, True
        return found

    def go_on(self, until_s: float) -> None:
        """People go on with what is open until a moment; what they begin before it no later call can change."""
        while self.base.step(until_s):
            pass

    @contextmanager
    def from_here(self) -> Iterator[None]:
        """What goes on inside is taken back at the end."""
        mark = self.base.mark()
        yield
        self.base.back_to(mark)
