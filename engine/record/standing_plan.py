"""The plan a screen shows: made anew after every line and every few seconds, so that it does not jump with every look."""

from __future__ import annotations

from engine.pour.dayplan import DayPlan
from engine.pour.journal import Journal
from engine.pour.planning import quick_plan
from engine.pour.reckoning import Moment

PLAN_STANDS_S = 15.0


class StandingPlan:
    """The latest plan, and for which day it was made."""

    def __init__(self) -> None:
        self._made: tuple[Journal, DayPlan] | None = None

    def at(self, journal: Journal, moment: Moment) -> DayPlan:
        """The plan that stands at a moment of a day."""
        if self._made and self._made[0] is journal and _stands(self._made[1], moment.at):
            return self._made[1]
        plan = quick_plan(moment)
        self._made = (journal, plan)
        return plan


def _stands(plan: DayPlan, at: float) -> bool:
    """Whether it is fresh, and its call not over meanwhile."""
    passed = plan.call.at is not None and plan.at < plan.call.at <= at
    return plan.at <= at < plan.at + PLAN_STANDS_S and not passed
