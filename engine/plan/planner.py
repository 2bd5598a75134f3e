"""One door to a plan: the best schedule found for a problem, and the verdict on it."""

from __future__ import annotations

from collections.abc import Callable
from math import inf
from random import Random

from engine.plan.budget import Budget
from engine.plan.climb import Climb
from engine.plan.judge import Rank, schedule_of
from engine.plan.problem import Problem, Schedule
from engine.plan.search import Search
from engine.plan.work import Work

STYLES_UNTIL, CLIMB_UNTIL = 0.2, 0.5  # shares of the budget
FEW = 12  # batches: beyond, runs of the forward planner take long and say less
SEED = 1
LOOSEN_FROM = 0.97  # then only for more slack
AGAIN_FROM, AGAIN_WARMTH = 0.7, 0.004  # the search goes back to the best found, and dares less


def plan(
    problem: Problem,
    budget_ms: float | None = None,
    budget_evaluations: int | None = None,
    clock: Callable[[], float] | None = None,
) -> Schedule:
    """The best schedule found: least lateness, then earliest end, then most slack.

    `clock` gives seconds and is needed for a budget in milliseconds; a budget of evaluations gives the same schedule
    for the same problem always. Without a budget every style of the forward planner is tried, and no search made.
    """
    if budget_ms is not None and clock is None:
        raise ValueError("a budget in milliseconds needs a clock: hand one in, or give budget_evaluations")
    work, rng = Work(problem), Random(SEED)
    unlimited = budget_ms is None and budget_evaluations is None
    budget = Budget(budget_ms, inf if budget_evaluations is None else float(budget_evaluations), clock)
    climb = Climb(work, rng)
    budget.count()
    climb.by_style(budget, inf if unlimited else STYLES_UNTIL)
    if unlimited or budget.spent() >= 1.0 or not _searchable(work):
        return schedule_of(climb.best.timed)
    climb.by_changes(budget, _climb_until(work))
    search = Search(work, rng)
    search.anneal(search.roster_of(climb.best.timed), budget, AGAIN_FROM)
    search.anneal(search.best_roster, budget, LOOSEN_FROM, AGAIN_WARMTH)
    search.loosen(budget)
    found = search.best.outcome() if search.best and search.best_rank < climb.best.rank else climb.best.timed
    return schedule_of(found)


def _climb_until(work: Work) -> float:
    return STYLES_UNTIL + (CLIMB_UNTIL - STYLES_UNTIL) * min(1.0, FEW / max(1, work.n_batches)) ** 2


def _searchable(work: Work) -> bool:
    """Whether somebody can do each thing that is to come."""
    return work.can_begin and any(finishes for _, finishes in work.can) and bool(work.station_free)


def rank(schedule: Schedule) -> Rank:
    """What a schedule is judged by: seconds late, end, slack; less is better."""
    return sum(miss.late_s for miss in schedule.misses), schedule.end_s, -schedule.slack_s


def verdict(schedule: Schedule) -> str:
    """`feasible` for a schedule that misses nothing still to come, else `infeasible`."""
    return "infeasible" if any(not miss.stamped for miss in schedule.misses) else "feasible"
