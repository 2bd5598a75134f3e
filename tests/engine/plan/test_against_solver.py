"""Small pours beside an exact solver (OR-Tools CP-SAT): never better than a proven best, at most 6 % worse.

Source: the solver's own model of the case files' rules, in tests/bench/solver.py.
"""

from __future__ import annotations

from hypothesis import Phase, given, settings
from plan_cases import Case, pours

from engine.plan.planner import plan, rank
from tests.bench.cases import read_problem
from tests.bench.solver import solve

WORSE = 1.06
SOLVER_S = 3.0


@given(pours(most=5))
@settings(max_examples=25, deadline=None, derandomize=True, phases=[Phase.generate])
def test_plans_are_never_better_than_a_proven_best_and_little_worse(case: Case) -> None:
    solved = solve(case, SOLVER_S)
    if not solved.proven:
        return
    late_s, end_s, _ = rank(plan(read_problem(case), budget_evaluations=1500))
    if solved.end_s is None:
        assert late_s > 0.0
    else:
        assert late_s == 0.0
        assert solved.end_s <= end_s <= WORSE * solved.end_s
