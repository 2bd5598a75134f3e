"""A roster: who waits for nobody takes the next turn. It is timed by giving each turn to whoever can be there first.

Turns are tasks in the order people set out for them. A batch without a turn of its own is mixed when the turn of its
first placement comes, called back from there; a batch with one is mixed by whoever is free first.
"""

from __future__ import annotations

from bisect import insort
from dataclasses import dataclass
from math import inf

from engine.plan.crew import Crew, Row
from engine.plan.problem import Limits
from engine.plan.timed import Timed
from engine.plan.work import NOBODY

MARK_EVERY = 8  # turns
Mark = tuple[list[Row], Row, int, int, tuple[float, float, float, int, int]]
NOW, FOLLOWS, ARRIVES, OPENS, HANDS, MIXER, STATION, IN_TIME = range(8)  # what a turn waited for


@dataclass(frozen=True)
class Roster:
    """Turns in order; by batch, the seconds it is called before it must be, and its dose.

    Below 0 for a batch with a turn of its own: the seconds its mixer waits with it.

    `since` is the first turn that may differ from the roster it was made from.
    """

    turns: list[int]
    early_s: list[float]
    option: list[int]
    since: int = 0


class Timing:
    """One roster timed. `cause` and `why` tell for each task which one it waited for, and how.

    `late_s` adds the seconds past every limit, `slack_s` is the least distance to one, `lates` lists what is late: task,
    batch, seconds; `last` is the task that ends last.
    """

    __slots__ = (
        "call",
        "called",
        "cause",
        "crew",
        "early_s",
        "end",
        "end_s",
        "first",
        "last",
        "late_s",
        "lates",
        "limits",
        "marks",
        "mixed_at",
        "mixed_by",
        "option",
        "rows",
        "slack_s",
        "start",
        "stations",
        "unwashed",
        "wash_start",
        "who",
        "why",
        "work",
    )

    def __init__(self, crew: Crew, roster: Roster, before: Timing | None = None) -> None:
        """`before` is the timing of the roster this one was made from: what comes before the change is kept."""
        work = self.work = crew.work
        self.crew, self.early_s, self.option = crew, roster.early_s, roster.option
        self.limits: list[Limits] = [
            choices[n] for choices, n in zip(work.options, roster.option, strict=True)
        ]
        if before is None:
            self._begin()
        else:
            self._go_on_from(before, min(roster.since // MARK_EVERY, len(before.marks) - 1))

    def _begin(self) -> None:
        crew, work = self.crew, self.crew.work
        self.first = 0
        self.rows, self.stations = [row[:] for row in crew.rows], crew.stations[:]
        self.call, self.called = list(work.called_s), list[int]()
        self.start, self.end, self.who = crew.start[:], crew.end[:], list(work.fixed_person)
        self.cause, self.why = [NOBODY] * work.n_tasks, [NOW] * work.n_tasks
        self.mixed_by: dict[int, tuple[int, ...]] = {}
        self.mixed_at: dict[int, int] = {}
        self.wash_start: dict[int, float] = {}
        self.late_s, self.end_s, self.slack_s, self.unwashed = 0.0, work.now_s, inf, NOBODY
        self.last = NOBODY
        self.lates: list[tuple[int, int, float]] = []
        self.marks: list[Mark] = []

    def _go_on_from(self, before: Timing, number: int) -> None:
        rows, stations, called, lates, sums = before.marks[number]
        self.first = number * MARK_EVERY
        self.rows, self.stations = [row[:] for row in rows], stations[:]
        self.call, self.called = before.call[:], before.called[:called]
        for batch in before.called[called:]:
            self.call[batch] = None
        self.start, self.end, self.who = before.start[:], before.end[:], before.who[:]
        self.cause, self.why = before.cause[:], before.why[:]
        self.mixed_by, self.mixed_at = before.mixed_by.copy(), before.mixed_at.copy()
        self.wash_start = before.wash_start.copy()
        self.late_s, self.end_s, self.slack_s, self.unwashed, self.last = sums
        self.lates, self.marks = before.lates[:lates], before.marks[:number]

    def _mark(self) -> None:
        sums = self.late_s, self.end_s, self.slack_s, self.unwashed, self.last
        rows = [row[:] for row in self.rows]
        self.marks.append((rows, self.stations[:], len(self.called), len(self.lates), sums))

    def outcome(self) -> Timed:
        """What was timed, without what only a search wants to know."""
        times = self.call, self.start, self.end, self.who
        return Timed(self.work, self.option, *times, self.mixed_by, self.mixed_at, self.wash_start)

    def run(self, turns: list[int], late_cost: float, stop_cost: float) -> bool:
        """Times the turns; False once lateness and end cost more than `stop_cost`."""
        n_batches, first_pass = self.work.n_batches, self.work.first_pass
        for start in range(self.first, len(turns), MARK_EVERY):
            self._mark()
            for task in turns[start : start + MARK_EVERY]:
                if task >= first_pass:
                    self._pass(task)
                elif task >= n_batches:
                    self._place(task)
                else:
                    self._mix(task, inf)
            if self.late_s * late_cost + self.end_s > stop_cost:
                return False
        return True

    def _pass(self, task: int) -> None:
        work, crew = self.work, self.crew
        start, cause, why = work.now_s, NOBODY, NOW
        before = crew.follows[task]
        if before != NOBODY and self.end[before] > start:  # type: ignore[operator]
            start, cause, why = self.end[before], before, FOLLOWS  # type: ignore[assignment]
        k, closes = work.pass_number[task], inf
        members = work.batches_of_job[work.job[task]]
        for batch in members:
            window = self.limits[batch].passes[k]
            call: float = self.call[batch]  # type: ignore[assignment]
            if call + window[0] > start:
                start, cause, why = call + window[0], batch, OPENS
            if call + window[1] < closes:
                closes = call + window[1]
        end = self._give(task, start, cause, why)
        if len(members) == 1 or end <= closes:
            self._note_left(task, members[0], closes - end)
            return
        for batch in members:
            call = self.call[batch]  # type: ignore[assignment]
            self._note_left(task, batch, call + self.limits[batch].passes[k][1] - end)

    def _note_left(self, task: int, batch: int, left: float) -> None:
        if left < self.slack_s:
            self.slack_s = left
        if left < 0.0:
            self.late_s -= left
            self.lates.append((task, batch, -left))

    def _give(self, task: int, earliest: float, cause: int, why: int) -> float:
        """The stage goes to whoever can be there first; of several, to the one last busy. Returns its end."""
        work = self.work
        lead = work.approach[task]
        start, chosen = inf, None
        for pool in self.crew.pools_for[task]:
            row = self.rows[pool]
            there = row[0][0] + lead
            if there < earliest:
                there = earliest
            if there < start:
                start, chosen = there, row
        if chosen is None:
            chosen = self.rows[self.crew.pools_for[task][0]]
        _, last, person = _pop_free(chosen, start - lead)
        if start > earliest:
            cause, why = last, HANDS
        end = start + work.dur[task]
        insort(chosen, (end, task, person))
        self.start[task], self.end[task], self.who[task] = start, end, person
        self.cause[task], self.why[task] = cause, why
        if end > self.end_s:
            self.end_s, self.last = end, task
        return end

    def _place(self, task: int) -> None:
        work, batch = self.work, self.work.batch[task]
        start, cause, why = self._after(task)
        if self.call[batch] is None:
            self._mix(batch, self._hands_there(task, start))
            if self.why[batch] == IN_TIME:
                self.cause[batch] = task
        call: float = self.call[batch]  # type: ignore[assignment]
        if call + work.arrive_s[task] > start:
            start, cause, why = call + work.arrive_s[task], batch, ARRIVES
        end = self._give(task, start, cause, why)
        self._note_left(task, batch, call + self.limits[batch].working_s - end)
        before = work.before_in_patch[task]
        if before != NOBODY:
            other = work.batch[before]
            joint = self.call[other] + self.limits[other].joint_s  # type: ignore[operator]
            self._note_left(task, other, joint - end)
        if work.after_in_patch[task] == NOBODY and work.placed_by[work.patch[task]] < inf:
            self._note_left(task, batch, work.placed_by[work.patch[task]] - end)

    def _after(self, task: int) -> tuple[float, int, int]:
        """Earliest start of a placement by what it follows: when, which task, how."""
        start, cause, why = self.work.now_s, NOBODY, NOW
        for other, lag_s in self.crew.waits_for[task]:
            end = self.end[other]
            if end is not None and end + lag_s > start:
                start, cause, why = end + lag_s, other, FOLLOWS
        return start, cause, why

    def _hands_there(self, task: int, earliest: float) -> float:
        """When someone could lay a batch, were it there."""
        lead = self.work.approach[task]
        there = min([self.rows[pool][0][0] for pool in self.crew.pools_for[task]]) + lead
        return there if there > earliest else earliest

    def _mix(self, batch: int, wanted: float) -> None:
        """Calls a batch to be at its patch at `wanted`; as soon as can be where that is not known."""
        work = self.work
        ready = work.ready_s[batch]
        start, rows, place = self.crew.mixers(self, batch, wanted - ready if wanted < inf else -inf)
        last, busy = rows[-1][0][1], self.stations[place]
        cause, why = (busy[1], STATION) if busy[0] >= start and busy[0] > rows[-1][0][0] else (last, MIXER)
        if self.unwashed != NOBODY:
            self.wash_start[self.unwashed] = start
            start += work.wash_s[self.unwashed]
        early_s = self.early_s[batch]
        if wanted < inf:
            if early_s < 0.0:
                early_s = 0.0
            if wanted - ready - early_s > start:
                start, cause, why = wanted - ready - early_s, NOBODY, IN_TIME
        elif early_s < 0.0:
            start -= early_s
        self._take_mixers(batch, start, rows, place)
        self.cause[batch], self.why[batch] = cause, why

    def _take_mixers(
        self, batch: int, start: float, rows: list[list[tuple[float, int, int]]], place: int
    ) -> None:
        end = start + self.work.hold_s[batch]
        people = []
        for row in rows:
            person = _pop_free(row, start)[2]
            insort(row, (end, batch, person))
            people.append(person)
        self.mixed_by[batch] = tuple(people)
        station = (_pop_free(self.stations, start) if self.crew.alike else self.stations.pop(place))[2]
        insort(self.stations, (end, batch, station))
        self.mixed_at[batch] = station
        self.call[batch] = self.start[batch] = start
        self.called.append(batch)
        self.end[batch] = end
        if self.work.alone:
            self.unwashed = batch


def _pop_free(row: Row, by_s: float) -> tuple[float, int, int]:
    """Takes out of a row whoever has been busy longest of those free by then, else who is free first."""
    at = len(row) - 1
    while at and row[at][0] > by_s:
        at -= 1
    return row.pop(at)
