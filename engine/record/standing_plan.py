"""The plan a screen shows: made anew after every line and every few seconds, so that it does not jump with every look."""

from __future__ import annotations

from engine.pour.dayplan import DayPlan
from engine.pour.journal import Journal
from engine.pour.reckoning import Moment
from engine.pour.views import CallView
from engine.words import say

PLAN_STANDS_S = 15.0
STANDS_S_A_TASK = 0.1  # a long queue takes longer to plan and changes less
LONG = 200  # tasks of a plan that is not made between two keys


class StandingPlan:
    """The latest plan, and for which day it was made. A plan may be made on another thread than the looks."""

    def __init__(self) -> None:
        self._made: tuple[Journal, DayPlan] | None = None

    def at(self, journal: Journal, moment: Moment) -> DayPlan:
        """The plan that stands at a moment of a day."""
        made = self._made
        if made and self.stands(journal, moment.at):
            return made[1]
        from engine.pour.planning import quick_plan

        plan = quick_plan(moment)
        self._made = (journal, plan)
        return plan

    @property
    def made(self) -> DayPlan | None:
        """The latest plan."""
        return self._made[1] if self._made else None

    def for_a_key(self, journal: Journal, moment: Moment) -> DayPlan:
        """What a key may lean on: a long plan of the line before will do."""
        if self._made is not None and self.takes_long:
            return self._made[1]
        return self.at(journal, moment)

    def at_hand(self, moment: Moment) -> DayPlan:
        """The latest plan, even if it is of the line before; at first none, and the call says so."""
        if self._made is None:
            return DayPlan(moment.at, (), CallView("no answer", say("reason.reckoning")), moment.at)
        return self._made[1]

    def stands(self, journal: Journal, at: float) -> bool:
        """Whether the plan at hand is of this day, fresh, and its call not over meanwhile."""
        if self._made is None or self._made[0] is not journal:
            return False
        plan = self._made[1]
        passed = plan.call.at is not None and plan.at < plan.call.at <= at
        stands_s = max(PLAN_STANDS_S, STANDS_S_A_TASK * len(plan.tasks))
        return plan.at <= at < plan.at + stands_s and not passed

    @property
    def takes_long(self) -> bool:
        """Whether making it would be felt at a key; the first one always is taken to."""
        return self._made is None or len(self._made[1].tasks) > LONG
