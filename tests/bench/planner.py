"""How good and how quick the scheduler is, in one table.

    python -m tests.bench.planner [FOLDER] --budget-ms 200 --solver-s 10

Case by case: the end over the reference, what is late, and an exact solver (OR-Tools CP-SAT) on the same case; then the
median, mean and worst; then the time of one plan and of a call, beside the time of a fixed loop on the same machine.
"""

from __future__ import annotations

import argparse
import json
import time
from pathlib import Path
from statistics import mean, median
from typing import Any

from engine.plan.call import earliest_call
from engine.plan.margins import Margins
from engine.plan.planner import plan
from tests.bench.busy_pours import SIZES, busy_pour, part_way
from tests.bench.casecheck import broken_rules, lateness_s, makespan_s
from tests.bench.cases import answer
from tests.bench.solver import solve

Case = dict[str, Any]
FOLDER = Path(__file__).parents[1] / "data" / "schedule-cases"
TURNS = 2_000_000  # of the calibration loop
CALLS, EVERY_S = 200, 7.0
STEERING = (Margins(), Margins(0.2, 0.2, 20.0))


def main() -> None:
    """Prints the table."""
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("folder", type=Path, nargs="?", default=FOLDER)
    parser.add_argument("--budget-ms", type=float, default=200.0)
    parser.add_argument(
        "--solver-s", type=float, default=10.0, help="seconds a case for CP-SAT; 0 leaves it out"
    )
    args = parser.parse_args()
    print(f"calibration: {TURNS} turns of an empty sum in {calibration_ms():.0f} ms")
    ratios = [_quality(path, args.budget_ms, args.solver_s) for path in sorted(args.folder.glob("*.json"))]
    clean = [ratio for ratio in ratios if ratio is not None]
    if clean:
        print(f"end over reference: median {_percent(median(clean))}, mean {_percent(mean(clean))}, ", end="")
        print(f"worst {_percent(max(clean))} in {len(clean)} cases")
    _speed()


def calibration_ms() -> float:
    began, total = time.perf_counter(), 0
    for n in range(TURNS):
        total += n
    return (time.perf_counter() - began) * 1000.0


def _percent(ratio: float) -> str:
    return f"{(ratio - 1.0) * 100.0:+.2f} %"


def _quality(path: Path, budget_ms: float, solver_s: float) -> float | None:
    """One line; the ratio where the case can be done and the schedule is clean."""
    case: Case = json.loads(path.read_text())
    row, reference = answer(case, budget_ms), case["reference"]
    late_s, end_s = lateness_s(case, row["schedule"]), makespan_s(case, row["schedule"])
    broken = broken_rules(case, row["schedule"])
    print(f"{path.stem:16} {row['verdict']:10} {row['plan_ms']:6.0f} ms  end {end_s:6.0f}", end="")
    ratio = None
    if "makespan_s" in reference:
        ratio = end_s / reference["makespan_s"]
        print(f"  reference {reference['makespan_s']:6}  {_percent(ratio):>9}", end="")
    if late_s:
        print(f"  late {late_s:.0f} s (least known {reference.get('least_total_lateness_s', 0)})", end="")
    if "next_call_s" in row:
        print(f"  call {row['next_call_s']} (proven {reference['earliest_safe_next_call_s']})", end="")
    if solver_s and "progress" not in case:
        print(f"  CP-SAT {_solved(case, solver_s)}", end="")
    print(f"  BROKEN {broken[0]}" if broken else "")
    return None if late_s or broken else ratio


def _solved(case: Case, solver_s: float) -> str:
    found = solve(case, solver_s, workers=2)
    if found.end_s is None:
        return "proves it impossible" if found.proven else "finds nothing"
    return f"{found.end_s}{' proven' if found.proven else ''}"


def _speed() -> None:
    for batches in (200, 1000):
        for kind in SIZES:
            times = [_plan_ms(batches, kind, seed) for seed in range(3)]
            print(f"one plan of {batches:4} batches, {kind:8}: {min(times):.0f} to {max(times):.0f} ms")
    for kind in SIZES:
        for margins in STEERING:
            times = sorted(_calls_ms(kind, margins))
            p50, p99 = times[len(times) // 2], times[len(times) * 99 // 100]
            print(
                f"call, 200 batches left, {kind:8}, margin {margins.stages:.0%}: p50 {p50:.2f} ms, p99 {p99:.2f} ms"
            )


def _plan_ms(batches: int, kind: str, seed: int) -> float:
    """Without search: the quickest of three."""
    problem, times = busy_pour(batches, kind, seed), []
    for _ in range(3):
        began = time.perf_counter()
        plan(problem, budget_evaluations=1)
        times.append((time.perf_counter() - began) * 1000.0)
    return min(times)


def _calls_ms(kind: str, margins: Margins) -> list[float]:
    problem = busy_pour(220, kind)
    schedule, times = plan(problem, budget_evaluations=1), []
    for n in range(CALLS):
        standing = part_way(problem, schedule, 1500.0 + EVERY_S * n)
        began = time.perf_counter()
        earliest_call(standing, margins)
        times.append((time.perf_counter() - began) * 1000.0)
    return times


if __name__ == "__main__":
    main()
