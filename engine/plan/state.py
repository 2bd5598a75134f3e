"""Where everyone and everything is while a plan is being made: who is free when, what is open, what has been timed.

A state only moves forward. Stages are opened as soon as what they follow has been timed, and wait in two heaps for
each class of work: `pending` by the moment a person must set out for them, `ready` by their latest start.
"""

from __future__ import annotations

from heapq import heapify, heappop, heappush
from math import floor, inf

from engine.plan.begun import note_facts, open_what_is_begun
from engine.plan.work import NOBODY, Work

Stage = tuple[float, int, float]  # latest start, task, earliest start


class State:
    """One moment of a plan. `share` is how much of its spare working time a called batch may wait (0 to 1)."""

    __slots__ = (
        "blocked",
        "call",
        "end",
        "finished_s",
        "first_late",
        "free",
        "idle",
        "late_s",
        "mixed_at",
        "mixed_by",
        "option",
        "passes_left",
        "pending",
        "placed_s",
        "places_left",
        "ready",
        "share",
        "start",
        "unwashed",
        "vessel_free",
        "wash_start",
        "who",
        "work",
    )

    def __init__(self, work: Work, option: list[int], share: float) -> None:
        self.work = work
        self.option = option
        self.share = share
        self.late_s = 0.0
        self.first_late: tuple[int, int, float] | None = None  # task, person, seconds
        self.free = list(work.person_free)
        self.idle = list(work.person_free)  # since when; waiting moves `free` on, never this
        self.vessel_free = list(work.station_free)
        self.call: list[float | None] = list(work.called_s)
        self.start: list[float | None] = [None] * work.n_tasks
        self.end: list[float | None] = [None] * work.n_tasks
        self.who = list(work.fixed_person)
        self.mixed_by: dict[int, tuple[int, ...]] = {}
        self.mixed_at: dict[int, int] = {}
        self.unwashed = NOBODY
        self.wash_start: dict[int, float] = {}
        self.pending: list[list[tuple[float, float, int, float]]] = [[] for _ in range(work.n_classes)]
        self.ready: list[list[Stage]] = [[] for _ in range(work.n_classes)]
        self.blocked: tuple[int, ...] = ()
        self.places_left: list[int] = []
        self.passes_left: list[int] = []
        self.placed_s: list[float] = []
        self.finished_s: list[float] = []
        note_facts(self)
        open_what_is_begun(self)

    def copy(self) -> State:
        """A state of its own that can run ahead without touching this one."""
        twin: State = State.__new__(State)
        twin.work, twin.share = self.work, self.share
        twin.late_s, twin.first_late = self.late_s, self.first_late
        twin.option, twin.blocked, twin.unwashed = self.option, self.blocked, self.unwashed
        twin.free, twin.vessel_free, twin.call = self.free[:], self.vessel_free[:], self.call[:]
        twin.idle = self.idle[:]
        twin.start, twin.end, twin.who = self.start[:], self.end[:], self.who[:]
        twin.mixed_by, twin.mixed_at = self.mixed_by.copy(), self.mixed_at.copy()
        twin.wash_start = self.wash_start.copy()
        twin.pending = [heap[:] for heap in self.pending]
        twin.ready = [heap[:] for heap in self.ready]
        twin.places_left, twin.passes_left = self.places_left[:], self.passes_left[:]
        twin.placed_s, twin.finished_s = self.placed_s[:], self.finished_s[:]
        return twin

    def latest_end(self, tasks: list[int]) -> float:
        return max((end for task in tasks if (end := self.end[task]) is not None), default=-inf)

    # opening stages

    def open_place(self, task: int) -> None:
        """Puts a placement among the stages, once all it follows has been timed; else it stays away or is blocked."""
        work = self.work
        follows = work.before_in_patch[task], work.before_in_batch[task]
        if any(other != NOBODY and self.end[other] is None for other in follows):
            return
        if not self.may_begin(task):
            self.blocked += (task,)
            return
        self._push_place(task, self.earliest_place(task))

    def may_begin(self, task: int) -> bool:
        """Whether the order rules let this placement be laid, and its batch be called if it is not yet."""
        work = self.work
        if work.before_in_patch[task] == NOBODY and not self._rules_hold(work.patch[task], work.batch[task]):
            return False
        batch = work.batch[task]
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
            left = self.passes_left[rule.first] if rule.finished else 0
            own = any(work.patch[share] == rule.first for share in work.places_of_batch[batch])
            if self.places_left[rule.first] + left and not own:
                return False
        return True

    def earliest_place(self, task: int) -> float:
        """Earliest start of a placement as far as what it follows, its arrival and the order rules say."""
        work = self.work
        earliest = work.now_s
        for other in (work.before_in_patch[task], work.before_in_batch[task]):
            if other != NOBODY:
                earliest = max(earliest, self.end[other] or 0.0)
        if work.before_in_patch[task] == NOBODY:
            for rule in work.rules[work.patch[task]]:
                done = self.finished_s[rule.first] if rule.finished else self.placed_s[rule.first]
                earliest = max(earliest, done + rule.lag_s)
        call = self.call[work.batch[task]]
        return earliest if call is None else max(earliest, call + work.arrive_s[task])

    def latest_place(self, task: int) -> float:
        """Latest start of a placement: its batch still workable, the batch before still able to knit, targets."""
        work = self.work
        batch = work.batch[task]
        limit = inf
        call = self.call[batch]
        if call is not None:
            limit = call + work.options[batch][self.option[batch]].working_s
        before = work.before_in_patch[task]
        if before != NOBODY:
            other = work.batch[before]
            laid = self.call[other]
            limit = min(limit, (laid or 0.0) + work.options[other][self.option[other]].joint_s)
        if work.after_in_patch[task] == NOBODY:
            limit = min(limit, work.placed_by[work.patch[task]])
        return limit - work.dur[task]

    def _push_place(self, task: int, earliest: float) -> None:
        work = self.work
        lead = work.approach[task]
        batch = work.batch[task]
        if self.call[batch] is None and not work.only_mixers:
            lead = work.ready_s[batch]  # someone here must turn away and mix it first
        stage = (earliest - lead, self.latest_place(task), task, earliest)
        heappush(self.pending[work.class_of[task]], stage)

    def open_next_pass(self, passes: list[int], index: int, earliest: float) -> None:
        for k in range(index, len(passes)):
            end = self.end[passes[k]]
            if end is not None:
                earliest = max(earliest, end)
            elif passes[k] not in self.work.given_up:
                self._push_pass(passes[k], k, earliest)
                return

    def _push_pass(self, task: int, k: int, earliest: float) -> None:
        work = self.work
        latest = inf
        for batch in work.batches_of_job[work.job[task]]:
            opens, closes = work.options[batch][self.option[batch]].passes[k]
            call = self.call[batch] or 0.0
            earliest = max(earliest, call + opens)
            latest = min(latest, call + closes)
        earliest = max(earliest, work.now_s)
        stage = (earliest - work.approach[task], latest - work.dur[task], task, earliest)
        heappush(self.pending[work.class_of[task]], stage)

    # choosing

    def next_turn(self) -> tuple[int, float]:
        """Who can next do something that is open, and from when; NOBODY at infinity when nothing is open."""
        best, best_s = NOBODY, inf
        for person in self.work.finishers:
            when = self.waits_until(person)
            if when < best_s:
                best, best_s = person, when
        return best, best_s

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
        for pending, ready in zip(self.pending, self.ready, strict=True):
            while pending and pending[0][0] <= now_s:
                _, latest, task, earliest = heappop(pending)
                heappush(ready, (latest, task, earliest))

    def urgent(self, person: int) -> tuple[Stage, int] | None:
        """The ready stage of least latest start among those the person can do, with its class."""
        best: tuple[Stage, int] | None = None
        for crew_class in self.work.classes_of[person]:
            heap = self.ready[crew_class]
            if heap and (best is None or heap[0] < best[0]):
                best = heap[0], crew_class
        return best

    # doing

    def do_urgent(self, person: int, now_s: float, crew_class: int) -> None:
        """Takes the most urgent ready stage of a class and times it."""
        latest, task, earliest = heappop(self.ready[crew_class])
        work = self.work
        if task < work.first_pass and self.call[work.batch[task]] is None:
            retry = self.bring(task, person, now_s, earliest)
            if retry is not None:
                lead = work.approach[task] if work.only_mixers else work.ready_s[work.batch[task]]
                stage = (max(retry - lead, now_s + 1.0), latest, task, earliest)
                heappush(self.pending[crew_class], stage)
            return
        self._take(task, person, max(earliest, now_s + work.approach[task]), latest)

    def _take(self, task: int, person: int, start_s: float, latest: float) -> None:
        if start_s > latest:
            self.late_s += start_s - latest
            self.first_late = self.first_late or (task, person, start_s - latest)
        end = start_s + self.work.dur[task]
        self.start[task], self.end[task], self.who[task] = start_s, end, person
        self.free[person] = self.idle[person] = end
        if task < self.work.first_pass:
            self._after_place(task, end)
        else:
            self._after_pass(task, end)

    def _after_place(self, task: int, end: float) -> None:
        work = self.work
        patch, job = work.patch[task], work.job[task]
        self.places_left[patch] -= 1
        self.placed_s[patch] = max(self.placed_s[patch], end)
        self.finished_s[patch] = max(self.finished_s[patch], end)
        for follower in (work.after_in_batch[task], work.after_in_patch[task]):
            if follower != NOBODY:
                self.open_place(follower)
        if job != NOBODY:
            places = work.places_of_job[job]
            if all(self.end[other] is not None for other in places):
                self.open_next_pass(work.passes_of_job[job], 0, self.latest_end(places))
        self._unblock(patch)

    def _after_pass(self, task: int, end: float) -> None:
        work = self.work
        patch = work.patch[task]
        self.passes_left[patch] -= 1
        self.finished_s[patch] = max(self.finished_s[patch], end)
        self.open_next_pass(work.passes_of_job[work.job[task]], work.pass_number[task] + 1, end)
        if not self.passes_left[patch]:
            self._unblock(patch)

    def _unblock(self, patch: int) -> None:
        if self.blocked and not self.places_left[patch]:
            waiting, self.blocked = self.blocked, ()
            for task in waiting:
                self.open_place(task)

    # mixing

    def bring(self, task: int, person: int, now_s: float, earliest: float) -> float | None:
        """Calls the batch of a placement for `person`, at work from `now_s`; None when done.

        Otherwise the moment its mixing could bring it, for a later try. Mixers who do nothing else, or who stand
        idle, have the call dated back so that the batch arrives in time; a person at work can only mix from now on.
        """
        work = self.work
        batch = work.batch[task]
        target = max(earliest, now_s + work.approach[task])
        soonest = inf
        for pool in (work.only_mixers, work.all_mixers):
            slot = self.slot(batch, [n for n in pool if n != person])
            if slot is not None and slot[0] + work.ready_s[batch] <= target:
                self._call_dated_back(task, slot, target)
                self._lay_first_share(task, person, target)
                return None
            if slot is not None:
                soonest = min(soonest, slot[0] + work.ready_s[batch])
        return self._mix_oneself(task, person, now_s, earliest, soonest)

    def _mix_oneself(
        self, task: int, person: int, now_s: float, earliest: float, soonest: float
    ) -> float | None:
        work = self.work
        batch = work.batch[task]
        slot = self.slot(batch, [person, *(n for n in work.all_mixers if n != person)])
        if not work.mixes[person] or slot is None or person not in slot[2]:
            return soonest
        call = max(slot[0], now_s)
        arrival = call + work.ready_s[batch]
        if arrival > soonest + work.wash_s[batch] and soonest > now_s:
            return soonest
        if arrival < earliest:
            return earliest
        self.note_call(batch, call, slot[1], slot[2])
        self.open_place(work.places_of_batch[batch][0])
        return None

    def _lay_first_share(self, task: int, person: int, target: float) -> None:
        """Lays a batch just brought; a share promised to another patch before this one goes there first."""
        if self.work.before_in_batch[task] != NOBODY:
            self.open_place(self.work.places_of_batch[self.work.batch[task]][0])
            return
        self._take(task, person, max(target, self.earliest_place(task)), self.latest_place(task))

    def take_out_bring(self, task: int) -> None:
        """Withdraws a placement that was to fetch its batch later, because the batch is called on its own."""
        heap = self.pending[self.work.class_of[task]]
        kept = [stage for stage in heap if stage[2] != task]
        if len(kept) < len(heap):
            heapify(kept)
            self.pending[self.work.class_of[task]] = kept

    def tightest_of_place(self, task: int) -> str:
        """Which limit gives a placement its latest start: "finisher" (working time), "joint" or "target"."""
        work = self.work
        latest, batch = self.latest_place(task) + work.dur[task], work.batch[task]
        if latest == work.placed_by[work.patch[task]]:
            return "target"
        call = self.call[batch]
        working = call is not None and latest == call + work.options[batch][self.option[batch]].working_s
        return "finisher" if working else "joint"

    def slot(self, batch: int, people: list[int]) -> tuple[float, int, tuple[int, ...]] | None:
        """Earliest mixing of a batch by some of `people`: when, at which station, by whom; ties to the first named."""
        work = self.work
        if work.mix_by[batch] != NOBODY:
            people = [n for n in people if n == work.mix_by[batch]]
        people = sorted(people, key=self.idle.__getitem__)
        best: tuple[float, int, tuple[int, ...]] | None = None
        for station, free in enumerate(self.vessel_free):
            hands = work.hands[station]
            if len(people) >= hands and work.mix_at[batch] in (NOBODY, station):
                when = max(free, self.idle[people[hands - 1]])
                if best is None or when < best[0]:
                    best = when, station, tuple(people[:hands])
        return best

    def _call_dated_back(self, task: int, slot: tuple[float, int, tuple[int, ...]], target: float) -> None:
        work = self.work
        batch = work.batch[task]
        spare = work.options[batch][self.option[batch]].working_s - work.ready_s[batch] - work.dur[task]
        wait = floor(self.share * max(0.0, min(spare, 1e9)))
        self.note_call(batch, max(slot[0], target - work.ready_s[batch] - wait), slot[1], slot[2])

    def note_call(self, batch: int, when: float, station: int, people: tuple[int, ...]) -> None:
        """Takes the people and the station for one mixing that starts at `when`."""
        work = self.work
        if work.alone:
            when += self._wash_now(people[0])
        self.call[batch] = self.start[batch] = when
        self.end[batch] = when + work.hold_s[batch]
        self.mixed_by[batch], self.mixed_at[batch] = people, station
        for person in people:
            self.free[person] = self.idle[person] = when + work.hold_s[batch]
        self.vessel_free[station] = when + work.hold_s[batch]
        if work.alone:
            self.unwashed = batch

    def _wash_now(self, person: int) -> float:
        """Someone alone washes out the last vessel before mixing the next batch; returns the seconds it takes."""
        if self.unwashed == NOBODY:
            return 0.0
        self.wash_start[self.unwashed] = self.free[person]
        return self.work.wash_s[self.unwashed]
