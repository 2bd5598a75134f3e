"""A simulated crew works a pour: finishers take what closes first, surfaces open when they really do, a caller calls bags.

Nobody knows a duration before it has passed. Who mixes carries and washes out without a break.
"""

from __future__ import annotations

from collections.abc import Iterator
from heapq import heappop, heappush
from math import inf
from typing import Protocol

from engine.rehearsal.layout import Layout, Mix, Stage

ASK_AGAIN_S = 15.0  # a caller that said "not yet" is asked again after this long at the latest
LONGEST_WAIT_S = 6 * 3600.0  # without a call a rehearsal that has stood still so long is given up


class Caller(Protocol):
    """Who decides when the next bag is mixed; asked whenever a mixer and a station stand free."""

    def next(self, crew: Crew) -> Mix | float:
        """The batch to mix now, or the moment to ask again."""
        ...


class Crew:
    """Everybody and everything on the site at `now_s`. Callers read it; only the crew itself changes it."""

    def __init__(self, layout: Layout) -> None:
        problem = layout.problem
        self.layout = layout
        self.now_s = self.last_call_s = problem.now_s
        self.asked = 0
        self.taught_s = inf  # when the first trowel's first surface was really ready
        self.free_s = [person.free_s for person in problem.people]
        self.station_s = [station.free_s for station in problem.stations]
        self.doing: list[Stage | Mix | None] = [None] * len(problem.people)
        lays = [p.finishes if problem.place_needs == "finishes" else p.places for p in problem.people]
        self._can = [(lay, p.finishes) for lay, p in zip(lays, problem.people, strict=True)]
        self._hands_on = [n for n, can in enumerate(self._can) if any(can)]
        mixers = [n for n, person in enumerate(problem.people) if person.mixes]
        self._mixers = sorted(mixers, key=lambda n: any(self._can[n]))  # those who only mix first
        self._coming: list[tuple[float, int, Stage]] = []  # by when somebody may set out for it
        self._ready: tuple[list[tuple[float, int, Stage]], ...] = (
            [],
            [],
        )  # placements, passes; by latest start
        self._events: list[tuple[float, int, Stage | Mix | None]] = []
        self._count = 0

    def work(self, caller: Caller) -> None:
        """Runs until the last stroke is done. Raises `RuntimeError` where the caller never calls again."""
        self._at(self.now_s, None)
        while self._events:
            self.now_s = self._events[0][0]
            while self._events and self._events[0][0] <= self.now_s:
                what = heappop(self._events)[2]
                if isinstance(what, Stage):
                    self._ended(what)
                elif what is not None:
                    self._open_place(what.places[0])
            self._set_out()
            self._ask(caller)

    def _at(self, when_s: float, what: Stage | Mix | None) -> None:
        self._count += 1
        heappush(self._events, (when_s, self._count, what))

    # stages open

    def _ended(self, stage: Stage) -> None:
        patch = stage.patch
        if stage.index >= 0:
            if stage.after is not None:
                self._open(stage.after, stage.after.really_opens_s())
        else:
            self._open_followers(stage)
        for follower in self.layout.waiting_for[patch]:
            self._open_place(self.layout.places[follower][0])

    def _open_followers(self, place: Stage) -> None:
        """The next share of the batch, the next batch of the patch, and the float once all its batches are laid."""
        shares = place.mixes[0].places
        for stage in (*shares[shares.index(place) + 1 :][:1], place.after):
            if stage is not None:
                self._open_place(stage)
        job = self.layout.job_of[place.patch, place.mixes[0].number]
        if job and all(other.end_s <= self.now_s for other in job[0].follows):
            self._open(job[0], self.now_s)

    def _open_place(self, place: Stage) -> None:
        """Opens a placement once its batch is mixed and all it follows has ended."""
        mix = place.mixes[0]
        earliest = self.may_be_laid_s(place)
        if place.opened or mix.mixed_s > self.now_s or earliest == inf:
            return
        shares = mix.places
        before = shares.index(place)
        if before and shares[before - 1].end_s > self.now_s:
            return
        self._open(place, max(earliest, place.really_opens_s()))

    def may_be_laid_s(self, place: Stage) -> float:
        """From when what comes before it lets it be laid; infinite while that has not ended."""
        if place.before is not None:
            return place.before.end_s if place.before.end_s <= self.now_s else inf
        return max(
            (self._done_s(first, finished) + lag for first, finished, lag in self._rules(place)), default=0.0
        )

    def _rules(self, place: Stage) -> list[tuple[int, bool, float]]:
        """The order rules of a patch; one that waits for a patch its own batch lies in too says nothing."""
        own = {share.patch for share in place.mixes[0].places}
        return [rule for rule in self.layout.rules[place.patch] if rule[0] not in own]

    def _done_s(self, patch: int, finished: bool) -> float:
        """When a patch was placed or finished; infinite while it is not."""
        end = max(stage.end_s for stage in self.layout.must_end(patch, finished))
        return end if end <= self.now_s else inf

    def _open(self, stage: Stage, touch_s: float) -> None:
        if stage.opened:
            return
        stage.opened = True
        touch_s = max(touch_s, self.now_s)
        if stage.index == 1:
            self.taught_s = min(self.taught_s, touch_s)
            self._at(touch_s, None)
        set_out_s = touch_s - stage.approach_s
        heappush(self._coming, (set_out_s, self._count, stage))
        self._at(max(set_out_s, self.now_s), None)

    # people

    def _set_out(self) -> None:
        """Everybody free takes what closes first by the plan of what they can do."""
        while self._coming and self._coming[0][0] <= self.now_s:
            _, count, stage = heappop(self._coming)
            latest_s = stage.closes_s(planned=True) - stage.planned_s
            heappush(self._ready[stage.index >= 0], (latest_s, count, stage))
        for person in self._hands_on:
            if not any(self._ready):
                return
            if self.free_s[person] <= self.now_s:
                self._take(person)

    def _take(self, person: int) -> None:
        rows = [row for row, can in zip(self._ready, self._can[person], strict=True) if can and row]
        if not rows:
            return
        stage = heappop(min(rows))[2]
        stage.start_s = self.now_s + stage.approach_s
        stage.end_s = stage.start_s + stage.real_s
        self.free_s[person], self.doing[person] = stage.end_s, stage
        self._at(stage.end_s, stage)

    def _ask(self, caller: Caller) -> None:
        """Asks for calls as long as a mixer and a station stand free."""
        while any(mix.called_s == inf for mix in self.layout.mixes):
            station = self._station()
            if station is None:
                return
            self.asked += 1
            answer = caller.next(self)
            if not isinstance(answer, Mix):
                self._wait(answer)
                return
            self._mix(answer, *station)

    def _station(self) -> tuple[int, list[int]] | None:
        """A free station and the free people to mix at it."""
        idle = [n for n in self._mixers if self.free_s[n] <= self.now_s]
        for number, station in enumerate(self.layout.problem.stations):
            if self.station_s[number] <= self.now_s and len(idle) >= station.hands:
                return number, idle[: station.hands]
        return None

    def _wait(self, until_s: float) -> None:
        if self.now_s - self.last_call_s > LONGEST_WAIT_S:
            raise RuntimeError(f"no bag was called for {LONGEST_WAIT_S:.0f} s though a mixer stands free")
        next_s = self._events[0][0] if self._events else inf
        again_s = min(max(until_s, self.now_s + 1.0), self.now_s + ASK_AGAIN_S)
        if again_s < next_s:
            self._at(again_s, None)

    def _mix(self, mix: Mix, station: int, people: list[int]) -> None:
        mix.called_s = self.last_call_s = self.now_s
        end_s = mix.mixed_s + mix.carry_s + mix.wash_s
        for person in people:
            self.free_s[person], self.doing[person] = end_s, mix
        self.station_s[station], mix.station = end_s, station
        self._at(mix.mixed_s, mix)
        self._at(end_s, None)

    # what a caller may ask

    def candidates(self) -> Iterator[Stage]:
        """Placements whose batch the rules let anybody call now: next of a begun patch, first of a coming one."""
        for row in self.layout.places:
            place = next((stage for stage in row if stage.mixes[0].called_s == inf), None)
            if place is None or place.mixes[0].places[0] is not place:
                continue
            if place.before is not None or self.may_be_laid_s(place) < inf:
                yield place

    def is_idle(self) -> bool:
        """Whether nothing that was begun asks for a hand any more."""
        return all(
            stage.end_s <= self.now_s
            for number, row in enumerate(self.layout.places)
            if any(place.mixes[0].called_s < inf for place in row)
            for stage in self.layout.must_end(number, finished=True)
        )
