"""Where everyone and everything is while a plan is being made: who is free when, what is open, what has been timed.

A state moves forward, and can be put back to a mark. Stages are opened as soon as what they follow has been timed, and
wait in two heaps for each class of work: `pending` by the moment a person must set out for them, `ready` by their
latest start.
"""

from __future__ import annotations

import sys
from collections.abc import Sequence
from heapq import heapify, heappop, heappush
from math import inf
from typing import Any

from engine.plan.begun import note_facts, open_what_is_begun
from engine.plan.mixing import Mixing, bring
from engine.plan.work import NOBODY, Work

Stage = tuple[float, int, float]  # latest start, task, earliest start
NEVER: Stage = (inf, sys.maxsize, inf)
NO_CLASSES: list[int] = []
Late = tuple[int, int, float]  # task, person, seconds
Mark = tuple[Any, ...]


class State(Mixing):
    """One moment of a plan. `share` is how much of its spare working time a called batch may wait (0 to 1)."""

    __slots__ = (
        "blocked",
        "finished_s",
        "first_late",
        "late_s",
        "passes_left",
        "pending",
        "placed_s",
        "places_left",
        "ready",
        "timed",
        "undo",
    )

    def __init__(self, work: Work, option: Sequence[int], share: float = 0.0) -> None:
        super().__init__(work, option, share)
        self.late_s = 0.0
        self.first_late: Late | None = None
        self.pending: list[list[tuple[float, float, int, float]]] = [[] for _ in range(work.n_classes)]
        self.ready: list[list[Stage]] = [[] for _ in range(work.n_classes)]
        self.blocked: tuple[int, ...] = ()
        self.places_left: list[int] = []
        self.passes_left: list[int] = []
        self.placed_s: list[float] = []
        self.finished_s: list[float] = []
        self.timed: list[int] = []  # tasks in the order they were timed
        self.undo: list[tuple[list[Any], int, Any]] = []  # a list, an index, what stood there
        note_facts(self)
        open_what_is_begun(self)

    def mark(self) -> Mark:
        """What `back_to` needs to put everything back as it is now."""
        heaps = [heap[:] for heap in self.pending], [heap[:] for heap in self.ready]
        people = self.free[:], self.idle[:], self.vessel_free[:], self.unwashed
        logs = len(self.timed), len(self.called), len(self.undo)
        return heaps, people, logs, self.blocked, self.late_s, self.first_late

    def back_to(self, mark: Mark) -> None:
        """Forgets all since a mark. A mark can be used again only after it has been taken again."""
        (self.pending, self.ready), people, logs, self.blocked, self.late_s, self.first_late = mark
        self.free, self.idle, self.vessel_free, self.unwashed = people
        for task in self.timed[logs[0] :]:
            self.end[task] = None
        for batch in self.called[logs[1] :]:
            self.call[batch] = self.end[batch] = None
        while len(self.undo) > logs[2]:
            row, index, before = self.undo.pop()
            row[index] = before
        del self.timed[logs[0] :], self.called[logs[1] :]

    def latest_end(self, tasks: list[int]) -> float:
        return max((end for task in tasks if (end := self.end[task]) is not None), default=-inf)

    # opening stages

    def open_place(self, task: int) -> None:
        """Puts a placement among the stages, once all it follows has been timed; else it stays away or is blocked."""
        work = self.work
        for other in work.follows[task]:
            if self.end[other] is None:
                return
        if not work.free_to_follow[task] and not self.may_begin(task):
            self.blocked += (task,)
            return
        earliest, lead, batch = self.earliest_place(task), work.approach[task], work.batch[task]
        if self.call[batch] is None and not work.only_mixers:
            lead = work.ready_s[batch]  # someone here must turn away and mix it first
        heappush(
            self.pending[work.class_of[task]], (earliest - lead, self.latest_place(task), task, earliest)
        )

    def may_begin(self, task: int) -> bool:
        """Whether the order rules let this placement be laid, and its batch be called if it is not yet."""
        work = self.work
        if work.free_to_follow[task]:
            return True
        batch = work.batch[task]
        if work.before_in_patch[task] == NOBODY and not self._rules_hold(work.patch[task], batch):
            return False
        if self.call[batch] is not None or len(work.places_of_batch[batch]) == 1:
            return True
        return all(self._share_may_follow(share, batch) for share in work.places_of_batch[batch])

    def _share_may_follow(self, share: int, batch: int) -> bool:
        before = self.work.before_in_patch[share]
        if before == NOBODY:
            return self._rules_hold(self.work.patch[share], batch)
        return self.end[before] is not None

    def _rules_hold(self, patch: int, batch: int) -> bool:
        work = self.work
        for rule in work.rules[patch]:
            waits = self.places_left[rule.first] or (rule.finished and self.passes_left[rule.first])
            if waits and all(work.patch[share] != rule.first for share in work.places_of_batch[batch]):
                return False
        return True

    def earliest_place(self, task: int) -> float:
        """Earliest start of a placement as far as what it follows, its arrival and the order rules say."""
        work = self.work
        earliest = work.now_s
        for other in work.follows[task]:
            end = self.end[other] or 0.0
            if end > earliest:
                earliest = end
        if work.before_in_patch[task] == NOBODY:
            for rule in work.rules[work.patch[task]]:
                done = self.finished_s[rule.first] if rule.finished else self.placed_s[rule.first]
                earliest = max(earliest, done + rule.lag_s)
        call = self.call[work.batch[task]]
        if call is not None and call + work.arrive_s[task] > earliest:
            return call + work.arrive_s[task]
        return earliest

    def latest_place(self, task: int) -> float:
        """Latest start of a placement: its batch still workable, the batch before still able to knit, targets."""
        work = self.work
        batch, before = work.batch[task], work.before_in_patch[task]
        call = self.call[batch]
        limit = inf if call is None else call + self.limits[batch].working_s
        if before != NOBODY:
            other = work.batch[before]
            joint_s = (self.call[other] or 0.0) + self.limits[other].joint_s
            if joint_s < limit:
                limit = joint_s
        if work.after_in_patch[task] == NOBODY:
            limit = min(limit, work.placed_by[work.patch[task]])
        return limit - work.dur[task]

    def open_next_pass(self, passes: list[int], index: int, earliest: float) -> None:
        """Opens the first pass from `index` on that is still to come, no sooner than `earliest` and what is done."""
        for k in range(index, len(passes)):
            end = self.end[passes[k]]
            if end is not None:
                earliest = max(earliest, end)
            elif passes[k] not in self.work.given_up:
                self.open_pass(passes[k], earliest)
                return

    def open_pass(self, task: int, earliest: float) -> None:
        """Puts a pass among the stages."""
        work = self.work
        if self.opens_s[task] > earliest:
            earliest = self.opens_s[task]
        stage = (earliest - work.approach[task], self.latest_s[task], task, earliest)
        heappush(self.pending[work.class_of[task]], stage)

    def take_out(self, task: int) -> None:
        """Withdraws a placement that was to fetch its batch later, because the batch is called on its own."""
        heap = self.pending[self.work.class_of[task]]
        kept = [stage for stage in heap if stage[2] != task]
        if len(kept) < len(heap):
            heapify(kept)
            self.pending[self.work.class_of[task]] = kept

    # choosing

    def step(self, until_s: float = inf) -> bool:
        """Whoever can do something that is open first does the most urgent of it; False when nothing is before `until_s`."""
        free, ready, pending = self.free, self.ready, self.pending
        best, now_s, able = NOBODY, until_s, NO_CLASSES
        for people, classes in self.work.turns:
            opens_s = inf
            for crew_class in classes:
                if ready[crew_class]:
                    opens_s = -inf
                    break
                heap = pending[crew_class]
                if heap and heap[0][0] < opens_s:
                    opens_s = heap[0][0]
            if opens_s > now_s:
                continue
            for person in people:
                when = free[person]
                if when < opens_s:
                    when = opens_s
                if when < now_s or (when == now_s and person < best):
                    best, now_s, able = person, when, classes
        if best == NOBODY:
            return False
        chosen, least = NOBODY, NEVER
        for crew_class, heap in enumerate(pending):
            row = ready[crew_class]
            while heap and heap[0][0] <= now_s:
                heappush(row, heappop(heap)[1:])
            if row and row[0] < least and crew_class in able:
                chosen, least = crew_class, row[0]
        if chosen != NOBODY:
            self.do_urgent(best, now_s, chosen)
        return True

    def waits_until(self, person: int) -> float:
        """First moment this person, once free, has an open stage to set out for."""
        when = inf
        for crew_class in self.work.classes_of[person]:
            if self.ready[crew_class]:
                return self.free[person]
            heap = self.pending[crew_class]
            if heap and heap[0][0] < when:
                when = heap[0][0]
        free = self.free[person]
        return free if free > when else when

    def release(self, now_s: float) -> None:
        """Moves the stages a person could set out for by `now_s` to the ready ones."""
        ready = self.ready
        for crew_class, pending in enumerate(self.pending):
            while pending and pending[0][0] <= now_s:
                heappush(ready[crew_class], heappop(pending)[1:])

    def urgent(self, person: int) -> int:
        """The class of the ready stage of least latest start among those the person can do; NOBODY for none."""
        best, best_s = NOBODY, NEVER
        for crew_class in self.work.classes_of[person]:
            heap = self.ready[crew_class]
            if heap and heap[0] < best_s:
                best, best_s = crew_class, heap[0]
        return best

    # doing

    def do_urgent(self, person: int, now_s: float, crew_class: int) -> None:
        """Takes the most urgent ready stage of a class and times it."""
        latest, task, earliest = heappop(self.ready[crew_class])
        work = self.work
        if task < work.first_pass and self.call[work.batch[task]] is None:
            retry = bring(self, task, person, now_s, earliest)
            if retry is not None:
                turns_away = work.mixes[person] and not work.only_mixers
                lead = work.ready_s[work.batch[task]] if turns_away else work.approach[task]
                stage = (max(retry - lead, now_s + 1.0), latest, task, earliest)
                heappush(self.pending[crew_class], stage)
            return
        start_s = now_s + work.approach[task]
        self.take(task, person, start_s if start_s > earliest else earliest, latest)

    def take(self, task: int, person: int, start_s: float, latest: float) -> None:
        """A person does a stage from `start_s`."""
        if start_s > latest:
            self.late_s += start_s - latest
            self.first_late = self.first_late or (task, person, start_s - latest)
        work = self.work
        end = start_s + work.dur[task]
        self.start[task], self.end[task], self.who[task] = start_s, end, person
        self.timed.append(task)
        self.free[person] = self.idle[person] = end
        if task < work.first_pass:
            self._after_place(task, end)
            return
        following = work.next_pass[task]
        if following != NOBODY:
            self.open_pass(following, end)
        if work.some_watched and work.watched[work.patch[task]]:
            self._after_watched_pass(work.patch[task], end)

    def _after_place(self, task: int, end: float) -> None:
        work = self.work
        patch, job = work.patch[task], work.job[task]
        if work.watched[patch]:
            self._count(self.places_left, patch)
            self._no_earlier(self.placed_s, patch, end)
            self._no_earlier(self.finished_s, patch, end)
        for follower in work.followers[task]:
            self.open_place(follower)
        if job != NOBODY and work.places_of_job[job][-1] == task:
            self.open_next_pass(work.passes_of_job[job], 0, end)
        if self.blocked:
            self._unblock()

    def _after_watched_pass(self, patch: int, end: float) -> None:
        self._count(self.passes_left, patch)
        self._no_earlier(self.finished_s, patch, end)
        if self.blocked and not (self.passes_left[patch] or self.places_left[patch]):
            self._unblock()

    def _count(self, left: list[int], patch: int) -> None:
        self.undo.append((left, patch, left[patch]))
        left[patch] -= 1

    def _no_earlier(self, moments: list[float], patch: int, end: float) -> None:
        if moments[patch] < end:
            self.undo.append((moments, patch, moments[patch]))
            moments[patch] = end

    def _unblock(self) -> None:
        waiting, self.blocked = self.blocked, ()
        for task in waiting:
            self.open_place(task)

    def tightest_of_place(self, task: int) -> str:
        """Which limit gives a placement its latest start: "finisher" (working time), "joint" or "target"."""
        work = self.work
        latest, batch = self.latest_place(task) + work.dur[task], work.batch[task]
        if latest == work.placed_by[work.patch[task]]:
            return "target"
        call = self.call[batch]
        return "finisher" if call is not None and latest == call + self.limits[batch].working_s else "joint"
