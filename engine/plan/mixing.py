"""Who mixes a batch, where and from when: calls dated back so that a batch arrives in time, or made by who is at hand."""

from __future__ import annotations

from collections.abc import Sequence
from math import floor, inf
from typing import TYPE_CHECKING

from engine.plan.problem import Limits
from engine.plan.timed import Timed
from engine.plan.work import NOBODY, Work

if TYPE_CHECKING:
    from engine.plan.state import State

Slot = tuple[float, int, tuple[int, ...]]  # water contact, station, people


class Mixing:
    """What is timed, who is free, and the mixing stations: the part of a state that calls batches."""

    __slots__ = (
        "call",
        "called",
        "end",
        "free",
        "idle",
        "latest_s",
        "limits",
        "mixed_at",
        "mixed_by",
        "opens_s",
        "option",
        "share",
        "start",
        "unwashed",
        "vessel_free",
        "wash_start",
        "who",
        "work",
    )

    def __init__(self, work: Work, option: Sequence[int], share: float) -> None:
        self.work, self.share = work, share
        self.option = list(option)
        self.limits: list[Limits] = [choices[n] for choices, n in zip(work.options, option, strict=True)]
        self.free = list(work.person_free)
        self.idle = list(work.person_free)  # since when; waiting moves `free` on, never this
        self.vessel_free = list(work.station_free)
        self.call: list[float | None] = list(work.called_s)
        self.called: list[int] = []  # batches in the order they were called
        self.start: list[float | None] = [None] * work.n_tasks
        self.end: list[float | None] = [None] * work.n_tasks
        self.who = list(work.fixed_person)
        self.mixed_by: dict[int, tuple[int, ...]] = {}
        self.mixed_at: dict[int, int] = {}
        self.opens_s, self.latest_s = [0.0] * work.n_tasks, [inf] * work.n_tasks  # of passes, on the clock
        for batch, called in enumerate(self.call):
            if called is not None:
                self.set_windows(batch)
        self.unwashed = NOBODY
        self.wash_start: dict[int, float] = {}

    def outcome(self) -> Timed:
        """What has been timed so far, to be judged."""
        times = self.call, self.start, self.end, self.who
        return Timed(self.work, self.option, *times, self.mixed_by, self.mixed_at, self.wash_start)

    def choose(self, batch: int, dose: int) -> None:
        """Gives a batch another dose, for what is timed from now on."""
        self.option[batch] = dose
        self.limits[batch] = self.work.options[batch][dose]

    def set_windows(self, batch: int) -> None:
        """When the passes of a batch's jobs may begin, and must at the latest, by the batches called so far."""
        work, call = self.work, self.call
        for job in work.jobs_of_batch[batch]:
            if len(work.batches_of_job[job]) == 1:
                self._set_own_windows(job, batch)
                continue
            members = [n for n in work.batches_of_job[job] if call[n] is not None]
            for k, task in enumerate(work.passes_of_job[job]):
                opens, closes = work.now_s, inf
                for member in members:
                    window, called = self.limits[member].passes[k], call[member] or 0.0
                    if called + window[0] > opens:
                        opens = called + window[0]
                    if called + window[1] < closes:
                        closes = called + window[1]
                self.opens_s[task], self.latest_s[task] = opens, closes - work.dur[task]

    def slot(self, batch: int, people: Sequence[int]) -> Slot | None:
        """Earliest mixing of a batch by some of `people`: when, at which station, by whom; ties to the first named."""
        work, idle, vessels = self.work, self.idle, self.vessel_free
        if not people or not vessels:
            return None
        if not work.one_mixes_anywhere[batch]:
            return self._slot_by_hands(batch, people)
        person = min(people, key=idle.__getitem__)
        when, free = idle[person], min(vessels)
        return free if free > when else when, vessels.index(free), (person,)

    def _slot_by_hands(self, batch: int, people: Sequence[int]) -> Slot | None:
        work = self.work
        able = [n for n in people if work.mix_by[batch] in (NOBODY, n)]
        able.sort(key=self.idle.__getitem__)
        best: Slot | None = None
        for station, free in enumerate(self.vessel_free):
            hands = work.hands[station]
            if len(able) >= hands and work.mix_at[batch] in (NOBODY, station):
                when = max(free, self.idle[able[hands - 1]])
                if best is None or when < best[0]:
                    best = when, station, tuple(able[:hands])
        return best

    def note_call(self, batch: int, when: float, station: int, people: tuple[int, ...]) -> None:
        """Takes the people and the station for one mixing that starts at `when`."""
        work = self.work
        if work.alone:
            when += self._wash_now(people[0])
        self.call[batch] = self.start[batch] = when
        self.called.append(batch)
        self.set_windows(batch)
        end = self.end[batch] = self.vessel_free[station] = when + work.hold_s[batch]
        self.mixed_by[batch], self.mixed_at[batch] = people, station
        for person in people:
            self.free[person] = self.idle[person] = end
        if work.alone:
            self.unwashed = batch

    def _set_own_windows(self, job: int, batch: int) -> None:
        work, called = self.work, self.call[batch] or 0.0
        opens_s, latest_s, dur, now_s = self.opens_s, self.latest_s, work.dur, work.now_s
        for task, (opens, closes) in zip(work.passes_of_job[job], self.limits[batch].passes, strict=False):
            opens += called
            opens_s[task] = opens if opens > now_s else now_s
            latest_s[task] = called + closes - dur[task]

    def unlaid(self) -> bool:
        """Whether someone alone still has a batch in the vessel: it is laid, and the vessel washed, before the next."""
        if self.unwashed == NOBODY:
            return False
        return self.end[self.work.places_of_batch[self.unwashed][0]] is None

    def _wash_now(self, person: int) -> float:
        """Someone alone washes out the last vessel before mixing the next batch; returns the seconds it takes."""
        if self.unwashed == NOBODY:
            return 0.0
        self.wash_start[self.unwashed] = self.free[person]
        return self.work.wash_s[self.unwashed]

    def dated_back(self, task: int, slot: Slot, target: float) -> float:
        """Water contact for a batch wanted at `target`: just in time, or sooner by a share of its spare time."""
        work, batch = self.work, self.work.batch[task]
        if not self.share:
            return max(slot[0], target - work.ready_s[batch])
        spare = self.limits[batch].working_s - work.ready_s[batch] - work.dur[task]
        wait = floor(self.share * max(0.0, min(spare, 1e9)))
        return max(slot[0], target - work.ready_s[batch] - wait)


def bring(state: State, task: int, person: int, now_s: float, earliest: float) -> float | None:
    """Calls the batch of a placement for `person`, at work from `now_s`; None when done.

    Otherwise the moment its mixing could bring it, for a later try. Mixers who do nothing else, or who stand
    idle, have the call dated back so that the batch arrives in time; a person at work can only mix from now on.
    """
    work = state.work
    if state.unlaid():
        return now_s + 1.0
    batch = work.batch[task]
    target, ready_s = now_s + work.approach[task], work.ready_s[batch]
    if target < earliest:
        target = earliest
    soonest = inf
    for pool in work.pools_but[person]:
        slot = state.slot(batch, pool)
        if slot is None:
            continue
        when = slot[0] + ready_s
        if when <= target:
            state.note_call(batch, state.dated_back(task, slot, target), slot[1], slot[2])
            _lay_first_share(state, task, person, target)
            return None
        if when < soonest:
            soonest = when
    if not work.mixes[person]:
        return soonest
    return _mix_oneself(state, task, person, now_s, earliest, soonest)


def _mix_oneself(
    state: State, task: int, person: int, now_s: float, earliest: float, soonest: float
) -> float | None:
    work = state.work
    batch = work.batch[task]
    slot = state.slot(batch, [person, *work.mixers_but[person]])
    if slot is None or person not in slot[2]:
        return soonest
    call = max(slot[0], now_s)
    arrival = call + work.ready_s[batch]
    if arrival > soonest + work.wash_s[batch] and soonest > now_s:
        return soonest
    if arrival < earliest:
        return earliest
    state.note_call(batch, call, slot[1], slot[2])
    state.open_place(work.places_of_batch[batch][0])
    return None


def _lay_first_share(state: State, task: int, person: int, target: float) -> None:
    """Lays a batch just brought; a share promised to another patch before this one goes there first."""
    work = state.work
    if work.before_in_batch[task] != NOBODY:
        state.open_place(work.places_of_batch[work.batch[task]][0])
        return
    start = state.earliest_place(task)
    if target > start:
        start = target
    state.take(task, person, start, state.latest_place(task))
