"""A pour of the case files as a constraint model for OR-Tools CP-SAT: hard windows, the earliest end.

Written from the rules of the case files alone; it shares no code with the scheduler. Whole pours from time 0 only.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from ortools.sat.python import cp_model

Case = dict[str, Any]
SKILLS = {"mix": ("mix_only", "mix_and_finish"), "finish": ("finish_only", "mix_and_finish")}


@dataclass(frozen=True)
class Solved:
    """`proven`: the end is the earliest there is, or, without an end, there is no clean schedule."""

    end_s: int | None
    proven: bool


class _Model:
    def __init__(self, case: Case) -> None:
        self.case, self.model = case, cp_model.CpModel()
        self.horizon = _horizon(case)
        self.taken: dict[str, list[Any]] = {pool: [] for pool in case["crew"]}
        self.start: dict[str, Any] = {}
        self.age: dict[str, dict[str, Any]] = {}
        self.placed: dict[str, list[Any]] = {}
        self.finished: dict[str, list[Any]] = {}
        self.first: dict[str, Any] = {}
        carry = {laid["batch"]: laid["carry_s"] for p in case["patches"] for laid in p["placements"]}
        for batch in case["batches"]:
            self._batch(batch, carry[batch["id"]])
        self.last_share: dict[str, Any] = {}
        for patch in case["patches"]:
            self._patch(patch)
        for rule in case["patch_order"]:
            done = (self.finished if rule["after"] == "finished" else self.placed)[rule["first"]]
            for end in done:
                self.model.add(self.first[rule["then"]] >= end + rule["lag_s"])
        for pool, rows in self.taken.items():
            self.model.add_cumulative(rows, [1] * len(rows), case["crew"][pool])
        self.end = self.model.new_int_var(0, self.horizon, "end")
        for ends in self.finished.values():
            for end in ends:
                self.model.add(self.end >= end)
        self.model.minimize(self.end)

    def _moment(self, name: str) -> Any:
        return self.model.new_int_var(0, self.horizon, name)

    def _take(self, skill: str, start: Any, size: int, name: str) -> None:
        """The task holds one person of a pool that can do it."""
        pools = [pool for pool in SKILLS[skill] if self.case["crew"][pool]]
        chosen = [self.model.new_bool_var(f"{name} {pool}") for pool in pools]
        self.model.add_exactly_one(chosen)
        for pool, by in zip(pools, chosen, strict=True):
            self.taken[pool].append(
                self.model.new_optional_interval_var(start, size, start + size, by, f"{name} by {pool}")
            )

    def _batch(self, batch: Case, carry_s: int) -> None:
        name, options = batch["id"], self.case["set_options"]
        start = self.start[name] = self._moment(name)
        doses = [self.model.new_bool_var(f"{name} {option['name']}") for option in options]
        self.model.add_exactly_one(doses)
        self.age[name] = {
            key: sum(dose * option[key] for dose, option in zip(doses, options, strict=True))
            for key in options[0]
            if key.endswith("_s")
        }
        size = batch["mix_s"] + carry_s + batch["wash_s"]
        self._take("mix", start, size, f"mix {name}")
        self.taken["mixing_stations"].append(
            self.model.new_interval_var(start, size, start + size, f"station {name}")
        )

    def _patch(self, patch: Case) -> None:
        mix_s = {batch["id"]: batch["mix_s"] for batch in self.case["batches"]}
        before, ends = None, {}
        for laid in patch["placements"]:
            name = laid["batch"]
            start = self._moment(f"{patch['id']} {name}")
            end = ends[name] = start + laid["place_s"]
            self._take(
                "finish", start - patch["approach_s"], laid["place_s"] + patch["approach_s"], f"lay {name}"
            )
            self.model.add(start >= self.start[name] + mix_s[name] + laid["carry_s"])
            self.model.add(end <= self.start[name] + self.age[name]["working_time_s"])
            if name in self.last_share:
                self.model.add(start >= self.last_share[name])
            if before is not None:
                self.model.add(start >= ends[before])
                self.model.add(end <= self.start[before] + self.age[before]["joint_limit_s"])
            self.first.setdefault(patch["id"], start)
            self.last_share[name], before = end, name
        self.placed[patch["id"]] = list(ends.values())
        self.finished[patch["id"]] = []
        groups = [list(ends)] if patch["finish_mode"] == "whole_patch" else [[name] for name in ends]
        for group in groups:
            self._finish(patch, group, [ends[name] for name in group])

    def _finish(self, patch: Case, group: list[str], after: list[Any]) -> None:
        for stage in ("float", "trowel1", "trowel2"):
            walk = 0 if stage == "float" else patch["approach_s"]
            size = patch[f"{stage}_s"] + (patch["edge_s"] if stage == "trowel2" else 0)
            start = self._moment(f"{stage} {group}")
            self._take("finish", start - walk, size + walk, f"{stage} {group}")
            for end in after:
                self.model.add(start >= end)
            for name in group:
                if stage != "float":
                    self.model.add(start >= self.start[name] + self.age[name][f"{stage}_open_s"])
                self.model.add(start + size <= self.start[name] + self.age[name][f"{stage}_close_s"])
            after = [start + size]
        self.finished[patch["id"]] += after


def _horizon(case: Case) -> int:
    """Everything one after the other, each with its longest window."""
    work = sum(batch["mix_s"] + batch["wash_s"] + 400 for batch in case["batches"])
    return work + sum(
        max(option["trowel2_close_s"] for option in case["set_options"]) for _ in case["batches"]
    )


def solve(case: Case, limit_s: float, workers: int = 1) -> Solved:
    """The earliest end with every window held, as far as a time limit allows."""
    solver = cp_model.CpSolver()
    solver.parameters.max_time_in_seconds = limit_s
    solver.parameters.num_workers = workers
    solver.parameters.random_seed = 1
    status = solver.solve(_Model(case).model)
    if status in (cp_model.OPTIMAL, cp_model.FEASIBLE):
        return Solved(round(solver.objective_value), status == cp_model.OPTIMAL)
    return Solved(None, status == cp_model.INFEASIBLE)
