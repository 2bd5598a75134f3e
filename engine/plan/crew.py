"""The crew as a roster sees it: people of equal skill in rows by when they are free, and what each task waits for."""

from __future__ import annotations

from math import inf
from typing import TYPE_CHECKING

from engine.plan.work import NOBODY, Work

if TYPE_CHECKING:
    from engine.plan.roster import Timing

Row = list[tuple[float, int, int]]  # free from, last task, person or station


class Crew:
    """What stays the same from one roster of a pour to the next."""

    def __init__(self, work: Work) -> None:
        self.work = work
        self.alike = not work.hands_vary and all(at == NOBODY for at in work.mix_at)
        self.stations: Row = sorted((free, NOBODY, n) for n, free in enumerate(work.station_free))
        self.start: list[float | None] = [None] * work.n_tasks
        self.end: list[float | None] = [None] * work.n_tasks
        for task, fact in work.fact.items():
            self.start[task], self.end[task] = fact.start_s, fact.end_s
        self._line_up()
        self.follows = [NOBODY] * work.n_tasks
        for passes, places in zip(work.passes_of_job, work.places_of_job, strict=True):
            self._chain_passes(passes, places)
        self.waits_for = [self._waits_for(task) for task in range(work.first_pass)]

    def _line_up(self) -> None:
        """Rows of people who can do the same, those who can do least first; who is named for a task has a row alone."""
        work = self.work
        named = set(work.fixed_person) | set(work.mix_by)
        skills = [(work.mixes[n], *work.can[n]) for n in range(len(work.mixes))]
        kinds = sorted({(sum(skill), skill, n if n in named else NOBODY) for n, skill in enumerate(skills)})
        self.rows: list[Row] = []
        row_of: dict[int, int] = {}
        for number, (_, skill, only) in enumerate(kinds):
            people = [
                n for n, own in enumerate(skills) if own == skill and (n if n in named else NOBODY) == only
            ]
            row_of |= dict.fromkeys(people, number)
            self.rows.append(sorted((work.person_free[n], NOBODY, n) for n in people))
        self.pools_for: list[list[int]] = []
        for task, person in enumerate(work.fixed_person):
            wanted = 0 if task < work.n_batches else 1 if task < work.first_pass else 2
            able = [number for number, (_, skill, _) in enumerate(kinds) if skill[wanted]]
            self.pools_for.append(able if person == NOBODY else [row_of[person]])

    def _chain_passes(self, passes: list[int], places: list[int]) -> None:
        before = places[-1] if places else NOBODY
        for task in passes:
            self.follows[task] = before
            if task not in self.work.given_up:
                before = task

    def _waits_for(self, task: int) -> list[tuple[int, float]]:
        """Tasks a placement starts after, each with its lag."""
        work = self.work
        if task < work.n_batches:
            return []
        before = (work.before_in_patch[task], work.before_in_batch[task])
        found = [(other, 0.0) for other in before if other != NOBODY]
        if work.before_in_patch[task] == NOBODY:
            for rule in work.rules[work.patch[task]]:
                found += [(last, rule.lag_s) for last in self._ends_of(rule.first, rule.finished)]
        return found

    def _ends_of(self, patch: int, finished: bool) -> list[int]:
        work = self.work
        last = [work.places_of_patch[patch][-1]] if work.places_of_patch[patch] else []
        if not finished:
            return last
        jobs = [work.passes_of_job[job] for job in work.jobs_of_patch[patch]]
        ends = [[task for task in passes if task not in work.given_up][-1:] for passes in jobs]
        return last + [task for row in ends for task in row]

    def mixers(self, timing: Timing, batch: int, by: float) -> tuple[float, list[Row], int]:
        """Who mixes a batch and at which place of the stations: those who do least else, if they are free `by` then."""
        pools = self.pools_for[batch]
        if not self.alike:
            return self._mixers_by_hands(timing, batch)
        station = timing.stations[0][0]
        start, chosen = inf, timing.rows[pools[0]]
        for pool in pools:
            free = timing.rows[pool][0][0]
            if station > free:
                free = station
            if free < start:
                start, chosen = free, timing.rows[pool]
            if start <= by:
                break
        return start, [chosen], 0

    def _mixers_by_hands(self, timing: Timing, batch: int) -> tuple[float, list[Row], int]:
        """Stations that want several hands, or where the station is laid down."""
        work = self.work
        able = sorted((free, pool) for pool in self.pools_for[batch] for free, _, _ in timing.rows[pool])
        best: tuple[float, list[Row], int] = (inf, [timing.rows[self.pools_for[batch][0]]], 0)
        for place, (free, _, station) in enumerate(timing.stations):
            hands = work.hands[station]
            if len(able) >= hands and work.mix_at[batch] in (NOBODY, station):
                start = max(free, able[hands - 1][0])
                if start < best[0]:
                    best = start, [timing.rows[pool] for _, pool in able[:hands]], place
        return best
