"""Rehearses the ten pours of the scheduling study and sets the call of this program beside the study's.

    python -m tests.bench.rehearse --seeds 200

Every caller meets the same days; the shipped jobs stand in the same table. One table: share of clean days and mean
length over the closed-form floor, for calling whenever a mixer is free and for the call with margins, with and without
learning. Then, pour by pour, what the margins reach at the length of each of the study's own steered days.
"""

from __future__ import annotations

import argparse
import csv
import datetime
import json
import os
from collections.abc import Callable, Iterable, Sequence
from concurrent.futures import ProcessPoolExecutor
from dataclasses import dataclass
from functools import partial
from itertools import pairwise
from pathlib import Path

from engine.job.files import configs_folder, read_job
from engine.plan.problem import Problem
from engine.pour.journal import open_journal
from engine.pour.planning import laid_out
from engine.pour.reckoning import Moment
from engine.rehearsal.callers import Naive, Steered
from engine.rehearsal.crew import Caller
from engine.rehearsal.floor import floor_s
from engine.rehearsal.luck import draw
from engine.rehearsal.pours import rehearse
from tests.bench.cases import read_problem

FOLDER = Path(__file__).parents[1] / "data" / "rehearsal-cases"
SHIPPED = ("community-hall", "rowing-club")
A_DAY = datetime.date(2026, 7, 2)
NAMES = ("S1", "S2", "S3", "S4", "S5", "K1", "K2", "K3", "W1", "X1")
PLAIN = ((0, 0), (10, 10), (20, 20), (30, 30))  # margins on stages and on closings, per cent
LEARNING = ((0, 0), (10, 10), (15, 15), (15, 30), (20, 20), (20, 40), (25, 25), (30, 30))
EVEN = 0.005  # shares of clean days nearer than this count as the same


@dataclass(frozen=True)
class Point:
    """What a caller makes of a pour: share of clean days, mean end over the floor."""

    clean: float
    length: float


@dataclass(frozen=True)
class Policy:
    """A caller by name, and how to make one for a day."""

    name: str
    learns: bool
    make: Callable[[], Caller]


def policies() -> tuple[Policy, ...]:
    """Naive, then every pair of margins without and with learning; equal ones are named once."""
    steered = [
        Policy(_named(stages, closings), learns, partial(Steered, stages / 100.0, learns, closings / 100.0))
        for learns, pairs in ((False, PLAIN), (True, LEARNING))
        for stages, closings in pairs
    ]
    return (Policy("naive", False, Naive), *steered)


def _named(stages: int, closings: int) -> str:
    return f"{stages} %" if stages == closings else f"{stages}/{closings} %"


def pour(name: str) -> Problem:
    """One of the ten pours, or the day of a shipped job as its plan lays it out."""
    if name in SHIPPED:
        job = read_job(configs_folder() / "jobs" / f"{name}.toml", A_DAY)
        return laid_out(Moment(open_journal(job).day, job.start), rounds=2)[0]
    return read_problem(json.loads((FOLDER / f"{name}.json").read_text(encoding="utf-8")))


def measure(problem: Problem, make: Callable[[], Caller], seeds: Iterable[int]) -> Point:
    """A caller's days on a pour."""
    days = [rehearse(problem, draw(problem, seed), make()) for seed in seeds]
    mean_end_s = sum(day.end_s for day in days) / len(days)
    return Point(sum(day.clean for day in days) / len(days), mean_end_s / floor_s(problem))


def study() -> dict[str, dict[str, Point]]:
    """The study's figures by pour and column, in the order of its table."""
    lines = (FOLDER / "study.csv").read_text(encoding="utf-8").splitlines()
    found: dict[str, dict[str, Point]] = {}
    for row in csv.DictReader(line for line in lines if not line.startswith("#")):
        words = [f"{row['margin']} %" if row["margin"] else row["caller"]]
        words += ["learns"] * (row["learns"] == "yes") + ["waits"] * (row["waits"] == "yes")
        found.setdefault(row["case"], {})[" ".join(words)] = Point(float(row["clean"]), float(row["length"]))
    return found


def frontier(points: Iterable[Point]) -> list[Point]:
    """The points no other one beats in both, shortest first."""
    best: list[Point] = []
    for point in sorted(points, key=lambda p: (p.length, -p.clean)):
        if not best or point.clean > best[-1].clean:
            best.append(point)
    return best


def at_length(line: Sequence[Point], length: float) -> float | None:
    """Share of clean days on a frontier at a length, straight between its points; None where it is never so short."""
    if length < line[0].length:
        return None
    for one, two in pairwise(line):
        if length <= two.length:
            part = (length - one.length) / (two.length - one.length)
            return one.clean + part * (two.clean - one.clean)
    return line[-1].clean


def at_clean(line: Sequence[Point], clean: float) -> float | None:
    """The shortest length on a frontier that gives a share of clean days; None where it is never reached."""
    if clean <= line[0].clean:
        return line[0].length
    for one, two in pairwise(line):
        if clean <= two.clean:
            return one.length + (clean - one.clean) / (two.clean - one.clean) * (two.length - one.length)
    return None


def better(line: Sequence[Point], theirs: Point) -> bool:
    """Whether a frontier has more clean days at the same length, or as many sooner."""
    ours = at_length(line, theirs.length)
    if ours is None or ours < theirs.clean - EVEN:
        return False
    sooner = at_clean(line, theirs.clean - EVEN)
    return ours > theirs.clean + EVEN or (sooner is not None and sooner < theirs.length - EVEN)


def _measured(name: str, seeds: int) -> list[Point]:
    problem = pour(name)
    return [measure(problem, policy.make, range(seeds)) for policy in policies()]


def table(results: dict[str, list[Point]], figures: dict[str, dict[str, Point]]) -> Iterable[str]:
    """Ours and the study's, pour by pour."""
    names = [f"{p.name}{' learns' if p.learns else ''}" for p in policies()]
    yield "share of clean days @ mean end over the floor"
    yield "      " + "".join(f"{name:>15}" for name in names)
    for pour_name, points in results.items():
        yield f"{pour_name[:5]:<6}" + "".join(f"{_cell(point):>15}" for point in points)
        if pour_name not in figures:
            continue
        there = figures[pour_name]
        theirs = [_cell(there[name]) if name in there else "-" for name in names]
        last = there.get("20 % learns waits")
        yield (
            "study " + "".join(f"{cell:>15}" for cell in theirs) + (f"  waits {_cell(last)}" if last else "")
        )


def _cell(point: Point) -> str:
    return f"{point.clean:.2f} @{point.length:.2f}"


def verdicts(results: dict[str, list[Point]], figures: dict[str, dict[str, Point]]) -> Iterable[str]:
    """At the length of each of the study's steered days: its share of clean days and ours."""
    yield "at the study's length, clean days of the study and on our frontier (its last column decides)"
    won = 0
    held = {name: points for name, points in results.items() if name in figures}
    for name, points in held.items():
        line = frontier(points[1:])
        steered = {column: point for column, point in figures[name].items() if column != "naive"}
        decides = list(steered.values())[-1]
        won += better(line, decides)
        cells = [
            f"@{p.length:.2f} {p.clean:.2f} : {_share(at_length(line, p.length))}" for p in steered.values()
        ]
        yield f"{name:<4} {'better' if better(line, decides) else 'not better':<11} {'   '.join(cells)}"
    yield f"better than the study at equal length in {won} of {len(held)} pours"


def _share(clean: float | None) -> str:
    return "not so short" if clean is None else f"{clean:.2f}"


def main() -> None:
    """Measures and prints."""
    parser = argparse.ArgumentParser(description=(__doc__ or "").splitlines()[0])
    parser.add_argument("--seeds", type=int, default=200, help="days a caller and pour; seeds count from 0")
    every = (*NAMES, *SHIPPED)
    parser.add_argument("--pours", nargs="*", choices=every, default=every)
    parser.add_argument("--workers", type=int, default=os.cpu_count() or 1, help="processes")
    args = parser.parse_args()
    with ProcessPoolExecutor(args.workers) as pool:
        measured = pool.map(partial(_measured, seeds=args.seeds), args.pours)
        results = dict(zip(args.pours, measured, strict=True))
    figures = study()
    print("\n".join((*table(results, figures), "", *verdicts(results, figures))))


if __name__ == "__main__":
    main()
