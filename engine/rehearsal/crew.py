"""A simulated crew works a pour: finishers take what closes first, surfaces open when they really do, a caller calls bags.

Nobody knows a duration before it has passed. Who mixes carries and washes out without a break.
"""

from __future__ import annotations

from dataclasses import dataclass
from heapq import heappop, heappush
from typing import Protocol

from engine.plan.problem import Miss, Problem
from engine.rehearsal.layout import Layout, Mix, Stage
from engine.rehearsal.luck import Luck

ASK_AGAIN_S = 15.0  # a caller that said "not yet" is asked again after this long at the latest


class Caller(Protocol):
    """Who decides when the next bag is mixed; asked whenever a mixer and a station stand free."""

    def next(self, crew: Crew) -> Mix | None:
        """The batch to mix now, or None for not yet."""
        ...


@dataclass(frozen=True)
class PourDay:
    """What came of a pour. `calls` are the water contacts in order of the batches; `asked` counts the questions."""

    misses: tuple[Miss, ...]
    end_s: float
    calls: tuple[float, ...]
    asked: int

    @property
    def clean(self) -> bool:
        return not self.misses


def rehearse(problem: Problem, luck: Luck, caller: Caller) -> PourDay:
    """Works a whole pour through one day's draws."""
    crew = Crew(Layout(problem, luck))
    crew.work(caller)
    return PourDay(
        tuple(misses(crew.layout)), crew.end_s(), tuple(m.called_s for m in crew.layout.mixes), crew.asked
    )


class Crew:
    """Everybody and everything on the site at `now_s`. Callers read it; only the crew itself changes it."""

    def __init__(self, layout: Layout) -> None:
        self.layout = layout
        problem = layout.problem
        self.now_s = problem.now_s
        self.free_s = [person.free_s for person in problem.people]
        self.station_s = [station.free_s for station in problem.stations]
        lays = problem.place_needs == "finishes"
        self.can = [(p.finishes if lays else p.places, p.finishes) for p in problem.people]
        self.hands_on = [n for n, can in enumerate(self.can) if any(can)]
        only = [n for n, p in enumerate(problem.people) if p.mixes and not any(self.can[n])]
        self.mixers = only + [n for n, p in enumerate(problem.people) if p.mixes and n not in only]
        self.coming: list[tuple[float, int, Stage]] = []  # by when somebody may set out for it
        self.ready: list[tuple[float, int, Stage]] = []  # by the latest start the plan allows
        self.events: list[float] = []
        self.asked = self._count = 0

    def end_s(self) -> float:
        return max(stage.end_s for row in self.layout.jobs for job in row for stage in job)

    def stages_begun(self) -> bool:
        """Whether anything that was begun still asks for a hand."""

    def work(self, caller: Caller) -> None:
        """Runs until the last stroke is done. Raises `RuntimeError` where the caller never calls again."""
        heappush(self.events, self.now_s)
        while self.events:
            self.now_s = heappop(self.events)
            self._end_stages()
            self._set_out()
            self._call(caller)
