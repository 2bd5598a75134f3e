"""The plan of a moment, made only if somebody asks: most stamps name who did the work."""

from __future__ import annotations

from collections.abc import Callable
from functools import cached_property

from engine.pour.dayplan import DayPlan
from engine.pour.planning import quick_plan
from engine.pour.reckoning import Moment


class LazyPlan:
    """Answers as a `DayPlan` does."""

    def __init__(self, moment: Moment, make: Callable[[Moment], DayPlan] = quick_plan) -> None:
        self._moment, self._make = moment, make

    @cached_property
    def plan(self) -> DayPlan:
        return self._make(self._moment)

    def who(self, kind: str, pour: str, batch: str = "") -> str:
        return self.plan.who(kind, pour, batch)

    def station(self, pour: str, mixer: str) -> str:
        return self.plan.station(pour, mixer)

    def packets(self, pour: str) -> float:
        stated = self._moment.day.pour(pour).packets
        return self.plan.packets(pour) if stated is None else stated

    def called_pour(self) -> str:
        return self.plan.called_pour()
