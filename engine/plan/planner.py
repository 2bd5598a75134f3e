"""One door to a plan: the best schedule found for a problem, and the verdict on it."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from math import inf

from engine.plan.forward import Style, first_options, run_forward
from engine.plan.judge import schedule_of
from engine.plan.problem import Problem, Schedule
from engine.plan.work import Work

STYLES = tuple(Style(share, keep_s) for share in (0.0, 0.5, 1.0) for keep_s in (0.0, 60.0, 1e9))


def plan(
    problem: Problem,
    budget_ms: float | None = None,
    budget_evaluations: int | None = None,
    clock: Callable[[], float] | None = None,
) -> Schedule:
    """The best schedule found: least lateness, then earliest end, then most slack.

    `clock` gives seconds and is needed for a budget in milliseconds; a budget of evaluations gives the same schedule
    for the same problem always.
    """
    work = Work(problem)
    best: Schedule | None = None
    spent = _Budget(budget_ms, budget_evaluations, clock)
    for options in _option_vectors(work):
        for style in STYLES:
            if best is not None and spent.is_over():
                return best
            found = schedule_of(run_forward(work, style, options))
            if best is None or rank(found) < rank(best):
                best = found
    assert best is not None
    return best


class _Budget:
    """How much may still be tried; without any limit, everything is."""

    def __init__(
        self, budget_ms: float | None, evaluations: int | None, clock: Callable[[], float] | None
    ) -> None:
        self.left = inf if evaluations is None else float(evaluations)
        self.clock = clock
        self.end_s = inf if budget_ms is None or clock is None else clock() + budget_ms / 1000.0

    def is_over(self) -> bool:
        """Counts one evaluation."""
        self.left -= 1.0
        return self.left <= 0.0 or (self.clock is not None and self.clock() >= self.end_s)


def rank(schedule: Schedule) -> tuple[float, float, float]:
    """What a schedule is judged by: seconds late, end, slack; less is better."""
    return sum(miss.late_s for miss in schedule.misses), schedule.end_s, -schedule.slack_s


def _option_vectors(work: Work) -> Iterator[list[int]]:
    for wanted in range(max((len(choices) for choices in work.options), default=1)):
        yield first_options(work, wanted)


def verdict(schedule: Schedule) -> str:
    """`feasible` for a schedule that misses nothing still to come, else `infeasible`."""
    return "infeasible" if any(not miss.stamped for miss in schedule.misses) else "feasible"
