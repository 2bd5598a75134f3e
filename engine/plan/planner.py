"""One door to a plan: the best schedule found for a problem, and the verdict on it."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from math import inf

from engine.plan.budget import Budget
from engine.plan.forward import Style, first_options, run_forward
from engine.plan.judge import Rank, rank_of, schedule_of
from engine.plan.problem import Problem, Schedule
from engine.plan.search import Search
from engine.plan.timed import Timed
from engine.plan.work import Work

STYLES = tuple(Style(share, keep_s) for share in (0.0, 1.0, 0.5) for keep_s in (0.0, 60.0, 1e9))
STYLES_SHARE = 0.25  # of the budget


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
    work = Work(problem)
    unlimited = budget_ms is None and budget_evaluations is None
    budget = Budget(budget_ms, inf if budget_evaluations is None else float(budget_evaluations), clock)
    ranked = _by_style(work, budget, 2.0 if unlimited else STYLES_SHARE)
    best_rank, best = ranked[0]
    if unlimited or budget.spent() >= 1.0 or not _searchable(work):
        return schedule_of(best)
    search = Search(work)
    search.anneal(search.roster_of(best), budget, 1.0)
    return schedule_of(search.best.outcome() if search.best and search.best_rank < best_rank else best)


def _searchable(work: Work) -> bool:
    """Whether somebody can do each thing that is to come."""
    return work.can_begin and any(finishes for _, finishes in work.can) and bool(work.station_free)


def _by_style(work: Work, budget: Budget, until: float) -> list[tuple[Rank, Timed]]:
    """Plans of the forward planner, best first: one at least, the others while `until` of the budget is not spent."""
    found: list[tuple[Rank, Timed]] = []
    for style, options in _tries(work):
        if found and budget.spent() >= until:
            break
        budget.count()
        timed = run_forward(work, style, options).outcome()
        found.append((rank_of(timed), timed))
    return sorted(found, key=lambda row: row[0])


def _tries(work: Work) -> Iterator[tuple[Style, list[int]]]:
    for style in STYLES:
        for wanted in range(max((len(choices) for choices in work.options), default=1)):
            yield style, first_options(work, wanted)


def rank(schedule: Schedule) -> Rank:
    """What a schedule is judged by: seconds late, end, slack; less is better."""
    return sum(miss.late_s for miss in schedule.misses), schedule.end_s, -schedule.slack_s


def verdict(schedule: Schedule) -> str:
    """`feasible` for a schedule that misses nothing still to come, else `infeasible`."""
    return "infeasible" if any(not miss.stamped for miss in schedule.misses) else "feasible"
