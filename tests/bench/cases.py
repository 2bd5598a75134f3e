"""Pours as case files: read into a Problem, a Schedule written back in the same form, and a command for a folder.

    python -m tests.bench.cases FOLDER --out FOLDER2 --budget-ms 200

A case file counts everything in whole seconds. Crews are numbers of people there; here they get names by pool: M mixes
only, F finishes only, K does both.
"""

from __future__ import annotations

import argparse
import json
import time
from pathlib import Path
from typing import Any

from engine.plan.call import earliest_call
from engine.plan.planner import plan, verdict
from engine.plan.problem import (
    Batch,
    Finishing,
    Limits,
    Order,
    Patch,
    Person,
    Placement,
    Problem,
    Schedule,
    StageFact,
    Station,
)

Case = dict[str, Any]
POOLS = (("M", "mix_only"), ("F", "finish_only"), ("K", "mix_and_finish"))
STAGES = ("float", "trowel1", "trowel2")
OVERDUE_S = 5  # a stage past its planned end is expected to end this long from now


def read_problem(case: Case) -> Problem:
    """The case as a Problem; a pour under way brings its facts and who is busy until when."""
    return Problem(
        people=_people(case),
        stations=_stations(case),
        batches=_batches(case),
        patches=tuple(_patch(case, patch) for patch in case["patches"]),
        orders=tuple(
            Order(rule["first"], rule["then"], rule["after"] == "finished", rule["lag_s"])
            for rule in case["patch_order"]
        ),
        now_s=_now(case),
        place_needs="finishes",
        wash_at_once=True,
    )


def _now(case: Case) -> float:
    return case.get("progress", {}).get("now_s", 0)


def _people(case: Case) -> tuple[Person, ...]:
    names = [f"{letter}{n + 1}" for letter, key in POOLS for n in range(case["crew"][key])]
    free = dict.fromkeys(names, _now(case))
    _keep_busy(free, names, "MK", _mixing_ends(case))
    _keep_busy(free, names, "FK", [end for *_, end in _stage_ends(case) if end > _now(case)])
    return tuple(
        Person(name, name[0] in "MK", name[0] in "FK", name[0] in "FK", free[name]) for name in names
    )


def _keep_busy(free: dict[str, float], names: list[str], pools: str, ends: list[float]) -> None:
    """Gives each thing under way to somebody who can do it and is not busy yet, specialists first."""
    able = [name for pool in pools for name in names if name[0] == pool]
    idle = [name for name in able if free[name] == min(free.values())]
    for name, end in zip(idle, ends, strict=False):
        free[name] = end


def _stations(case: Case) -> tuple[Station, ...]:
    count = case["crew"]["mixing_stations"]
    free = _mixing_ends(case) + [_now(case)] * count
    return tuple(Station(f"S{n + 1}", 1, free[n]) for n in range(count))


def _begun_batches(case: Case) -> dict[str, Case]:
    return {row["batch"]: row for row in case.get("progress", {}).get("started_batches", [])}


def _mixed_end(case: Case, batch: Case, begun: Case) -> float:
    if begun["mix_actual_s"] is not None:
        return begun["mix_start_s"] + begun["mix_actual_s"]
    end = begun["mix_start_s"] + batch["mix_s"]
    return end if end > _now(case) else _now(case) + OVERDUE_S


def _mixing_ends(case: Case) -> list[float]:
    """When the people and stations now mixing, carrying or washing are free again."""
    begun, ends = _begun_batches(case), []
    carry = {p["batch"]: p["carry_s"] for patch in case["patches"] for p in patch["placements"]}
    for batch in case["batches"]:
        if batch["id"] in begun:
            end = _mixed_end(case, batch, begun[batch["id"]]) + carry[batch["id"]] + batch["wash_s"]
            ends += [end] if end > _now(case) else []
    return ends


def _stage_ends(case: Case) -> list[tuple[str, str, tuple[str, ...], float, float]]:
    """Stages begun: stage, patch, batches, start, known or expected end."""
    rows = []
    for row in case.get("progress", {}).get("started_stages", []):
        planned = _planned(case, row)
        end = row["start_s"] + (planned if row["actual_s"] is None else row["actual_s"])
        if row["actual_s"] is None and end <= _now(case):
            end = _now(case) + OVERDUE_S
        rows.append((row["stage"], row["patch"], tuple(row["batches"]), row["start_s"], end))
    return rows


def _planned(case: Case, row: Case) -> float:
    patch = next(patch for patch in case["patches"] if patch["id"] == row["patch"])
    if row["stage"] == "place":
        return next(p["place_s"] for p in patch["placements"] if p["batch"] == row["batches"][0])
    return patch[f"{row['stage']}_s"] + (patch["edge_s"] if row["stage"] == "trowel2" else 0)


def _batches(case: Case) -> tuple[Batch, ...]:
    options = tuple(_limits(option) for option in case["set_options"])
    names = [option.name for option in options]
    begun = _begun_batches(case)
    rows = []
    for batch in case["batches"]:
        started = begun.get(batch["id"])
        facts = {}
        if started is not None:
            facts = {
                "started_s": started["mix_start_s"],
                "mixed_s": _mixed_end(case, batch, started),
                "option": names.index(started["set_option"]),
            }
        rows.append(Batch(batch["id"], batch["mix_s"], batch["wash_s"], options, **facts))
    return tuple(rows)


def _limits(option: Case) -> Limits:
    trowels = ((option[f"{stage}_open_s"], option[f"{stage}_close_s"]) for stage in STAGES[1:])
    passes = ((0, option["float_close_s"]), *trowels)
    doses = option["retarder_doses_per_bag"]
    return Limits(option["name"], doses, option["working_time_s"], option["joint_limit_s"], passes)


def _patch(case: Case, patch: Case) -> Patch:
    facts = {(stage, name, batches): (start, end) for stage, name, batches, start, end in _stage_ends(case)}
    placements = []
    for laid in patch["placements"]:
        start, end = facts.get(("place", patch["id"], (laid["batch"],)), (None, None))
        placements.append(Placement(laid["batch"], laid["carry_s"], laid["place_s"], start, end))
    names = tuple(laid["batch"] for laid in patch["placements"])
    groups = [names] if patch["finish_mode"] == "whole_patch" else [(name,) for name in names]
    seconds = (patch["float_s"], patch["trowel1_s"], patch["trowel2_s"] + patch["edge_s"])
    jobs = tuple(Finishing(group, seconds, _done(facts, patch["id"], group)) for group in groups)
    return Patch(patch["id"], patch["approach_s"], tuple(placements), jobs)


def _done(facts: Case, patch: str, group: tuple[str, ...]) -> tuple[StageFact, ...]:
    return tuple(StageFact(*facts[stage, patch, group]) for stage in STAGES if (stage, patch, group) in facts)


def write_schedule(case: Case, schedule: Schedule) -> Case:
    """The schedule in the form of the case files, whole seconds, stages already begun as given."""
    both = case["crew"]["mix_and_finish"] > 0
    mixes = {mix.batch: mix for mix in schedule.mixes}
    places = {(place.patch, place.batch): place for place in schedule.places}
    return {
        "batches": [_batch_row(case, mixes[batch["id"]], both) for batch in case["batches"]],
        "places": [
            _place_row(places[patch["id"], laid["batch"]], both)
            for patch in case["patches"]
            for laid in patch["placements"]
        ],
        "finishing": _finishing_rows(case, schedule, both),
    }


def _batch_row(case: Case, mix: Any, both: bool) -> Case:
    option = case["set_options"][mix.option]["name"]
    row = {"batch": mix.batch, "mix_start_s": round(mix.start_s), "set_option": option}
    return row | ({"mix_by": _pool(mix.person, "mix_only")} if both else {})


def _place_row(place: Any, both: bool) -> Case:
    row = {"patch": place.patch, "batch": place.batch, "place_start_s": round(place.start_s)}
    return row | ({"place_by": _pool(place.person, "finish_only")} if both else {})


def _finishing_rows(case: Case, schedule: Schedule, both: bool) -> list[Case]:
    passes = {(stroke.patch, stroke.batches, stroke.index): stroke for stroke in schedule.passes}
    rows = []
    for patch in case["patches"]:
        names = tuple(laid["batch"] for laid in patch["placements"])
        for group in [names] if patch["finish_mode"] == "whole_patch" else [(name,) for name in names]:
            strokes = [passes[patch["id"], group, k] for k in range(len(STAGES))]
            row: Case = {"patch": patch["id"], "batches": list(group)}
            starts = zip(STAGES, strokes, strict=True)
            row |= {f"{stage}_start_s": round(stroke.start_s) for stage, stroke in starts}
            if both:
                hands = zip(STAGES, strokes, strict=True)
                row |= {f"{stage}_by": _pool(stroke.person, "finish_only") for stage, stroke in hands}
            rows.append(row)
    return rows


def _pool(name: str, otherwise: str) -> str:
    return dict(POOLS).get(name[:1], otherwise)


def answer(case: Case, budget_ms: float) -> Case:
    """What the planner says to one case: verdict, schedule, how long it took, and the next call of a pour under way."""
    problem = read_problem(case)
    began = time.perf_counter()
    schedule = plan(problem, budget_ms=budget_ms, clock=time.perf_counter)
    plan_ms = (time.perf_counter() - began) * 1000.0
    row: Case = {"verdict": verdict(schedule), "plan_ms": round(plan_ms, 3)}
    if "progress" in case:
        call = earliest_call(problem)
        row["next_call_s"] = None if call.at_s is None else round(call.at_s)
    return row | {"schedule": write_schedule(case, schedule)}


def main() -> None:
    """Reads every case file of a folder and writes one answer a case."""
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("folder", type=Path)
    parser.add_argument("--out", type=Path, required=True)
    parser.add_argument("--budget-ms", type=float, default=200.0)
    args = parser.parse_args()
    args.out.mkdir(parents=True, exist_ok=True)
    for path in sorted(args.folder.glob("*.json")):
        case = json.loads(path.read_text())
        row = answer(case, args.budget_ms)
        name = case.get("case_id", path.stem)
        (args.out / f"{name}.json").write_text(json.dumps(row, indent=1) + "\n")
        print(name, row["verdict"], f"{row['plan_ms']:.0f} ms")


if __name__ == "__main__":
    main()
