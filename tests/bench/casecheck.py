"""Checks a schedule in the form of the case files against the rules of the case files, and nothing else.

Written from the rules alone and sharing no code with the scheduler: `broken_rules` finds what no schedule may do,
`lateness_s` adds the seconds past every closing time.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

Case = dict[str, Any]
STAGES = ("float", "trowel1", "trowel2")
OVERDUE_S = 5


class Reading:
    """A case and one schedule for it, looked up by name, with real times where a stage has begun."""

    def __init__(self, case: Case, schedule: Case) -> None:
        self.case, self.schedule = case, schedule
        self.now = case.get("progress", {}).get("now_s", 0)
        self.batch = {row["id"]: row for row in case["batches"]}
        self.option = {row["name"]: row for row in case["set_options"]}
        self.patch = {row["id"]: row for row in case["patches"]}
        progress = case.get("progress", {})
        self.begun = {row["batch"]: row for row in progress.get("started_batches", [])}
        self.stage = {
            (r["stage"], r["patch"], tuple(r["batches"])): r for r in progress.get("started_stages", [])
        }
        self.mix = {row["batch"]: row for row in schedule["batches"]}
        self.carry = {p["batch"]: p["carry_s"] for patch in case["patches"] for p in patch["placements"]}

    def real_end(self, start: float, planned: float, fact: Case | None, key: str) -> float:
        if fact is None:
            return start + planned
        if fact[key] is not None:
            return fact["mix_start_s" if key == "mix_actual_s" else "start_s"] + fact[key]
        return start + planned if start + planned > self.now else self.now + OVERDUE_S

    def mixed(self, batch: str) -> float:
        start = self.mix[batch]["mix_start_s"]
        return self.real_end(start, self.batch[batch]["mix_s"], self.begun.get(batch), "mix_actual_s")

    def age_limit(self, batch: str, key: str) -> float:
        return self.mix[batch]["mix_start_s"] + self.option[self.mix[batch]["set_option"]][key]

    def places(self) -> Iterator[tuple[Case, Case, float, float, bool]]:
        """Patch, placement, start, end, begun; in the order of the file."""
        start = {(row["patch"], row["batch"]): row for row in self.schedule["places"]}
        for patch in self.case["patches"]:
            for laid in patch["placements"]:
                row = start[patch["id"], laid["batch"]]
                fact = self.stage.get(("place", patch["id"], (laid["batch"],)))
                end = self.real_end(row["place_start_s"], laid["place_s"], fact, "actual_s")
                yield patch, laid, row["place_start_s"], end, fact is not None

    def passes(self) -> Iterator[tuple[Case, Case, int, float, float, bool]]:
        """Patch, job row, pass number, start, end, begun."""
        for row in self.schedule["finishing"]:
            patch = self.patch[row["patch"]]
            for k, stage in enumerate(STAGES):
                planned = patch[f"{stage}_s"] + (patch["edge_s"] if k == 2 else 0)
                fact = self.stage.get((stage, row["patch"], tuple(row["batches"])))
                start = row[f"{stage}_start_s"]
                yield patch, row, k, start, self.real_end(start, planned, fact, "actual_s"), fact is not None


def broken_rules(case: Case, schedule: Case) -> list[str]:
    """Everything the schedule does that cannot be done, in words; empty when it can be carried out."""
    reading = Reading(case, schedule)
    found = [*_whole_seconds(schedule), *_jobs_asked_for(reading), *_facts_kept(reading), *_sequence(reading)]
    return [*found, *_openings(reading), *_orders(reading), *_crew(reading)]


def _whole_seconds(schedule: Case) -> Iterator[str]:
    for part in ("batches", "places", "finishing"):
        for row in schedule[part]:
            for key, value in row.items():
                if key.endswith("_s") and not isinstance(value, int):
                    yield f"{part}: {key} {value!r} is not a whole second"


def _jobs_asked_for(reading: Reading) -> Iterator[str]:
    wanted = []
    for patch in reading.case["patches"]:
        names = [laid["batch"] for laid in patch["placements"]]
        groups = [names] if patch["finish_mode"] == "whole_patch" else [[name] for name in names]
        wanted += [(patch["id"], group) for group in groups]
    given = [(row["patch"], row["batches"]) for row in reading.schedule["finishing"]]
    if sorted(wanted) != sorted(given):
        yield "finishing jobs differ from those of the case"
    if sorted(reading.mix) != sorted(reading.batch):
        yield "batches differ from those of the case"


def _facts_kept(reading: Reading) -> Iterator[str]:
    for batch, fact in reading.begun.items():
        row = reading.mix[batch]
        if (row["mix_start_s"], row["set_option"]) != (fact["mix_start_s"], fact["set_option"]):
            yield f"{batch} was begun otherwise"
    for batch, row in reading.mix.items():
        if batch not in reading.begun and row["mix_start_s"] < reading.now:
            yield f"{batch} is called before now"
    for patch, laid, start, _, begun in reading.places():
        yield from _fact(reading, "place", patch["id"], (laid["batch"],), start, begun, patch["approach_s"])
    for patch, row, k, start, _, begun in reading.passes():
        lead = patch["approach_s"] if k else 0
        yield from _fact(reading, STAGES[k], patch["id"], tuple(row["batches"]), start, begun, lead)


def _fact(
    reading: Reading, stage: str, patch: str, batches: tuple[str, ...], start: float, begun: bool, lead: float
) -> Iterator[str]:
    if begun and reading.stage[stage, patch, batches]["start_s"] != start:
        yield f"{stage} of {patch} {batches} was begun at another time"
    if not begun and start - lead < reading.now:
        yield f"{stage} of {patch} {batches} begins before now"


def _sequence(reading: Reading) -> Iterator[str]:
    last_in_patch: dict[str, float] = {}
    last_of_batch: dict[str, float] = {}
    placed: dict[tuple[str, str], float] = {}
    for patch, laid, start, end, begun in reading.places():
        batch = laid["batch"]
        arrival = reading.mixed(batch) + laid["carry_s"]
        if start < arrival and not begun:
            yield f"{batch} is placed in {patch['id']} before it arrives"
        if start < max(last_in_patch.get(patch["id"], 0), last_of_batch.get(batch, 0)) and not begun:
            yield f"{batch} is placed in {patch['id']} before the one before it is down"
        last_in_patch[patch["id"]] = last_of_batch[batch] = end
        placed[patch["id"], batch] = end
    before: dict[tuple[str, tuple[str, ...]], float] = {}
    for patch, row, k, start, end, begun in reading.passes():
        key = (patch["id"], tuple(row["batches"]))
        earliest = before.get(key, max(placed[patch["id"], batch] for batch in row["batches"]))
        if start < earliest and not begun:
            yield f"{STAGES[k]} of {key} begins before the stage before it has ended"
        before[key] = end


def _openings(reading: Reading) -> Iterator[str]:
    for patch, row, k, start, _, begun in reading.passes():
        opens = [reading.age_limit(b, f"{STAGES[k]}_open_s") for b in row["batches"]] if k else [0]
        if start < max(opens) and not begun:
            yield f"{STAGES[k]} of {patch['id']} {row['batches']} begins before it opens"


def _orders(reading: Reading) -> Iterator[str]:
    first_start: dict[str, float] = {}
    placed: dict[str, float] = {}
    for patch, _, start, end, _ in reading.places():
        first_start[patch["id"]] = min(start, first_start.get(patch["id"], start))
        placed[patch["id"]] = end
    finished = dict(placed)
    for patch, _, _, _, end, _ in reading.passes():
        finished[patch["id"]] = max(finished[patch["id"]], end)
    for rule in reading.case["patch_order"]:
        done = (finished if rule["after"] == "finished" else placed)[rule["first"]]
        if first_start[rule["then"]] < done + rule["lag_s"]:
            yield f"{rule['then']} begins before {rule['first']} is {rule['after']}"


def _crew(reading: Reading) -> Iterator[str]:
    """People of each pool and stations, counted as the stages overlap."""
    crew = reading.case["crew"]
    taken: dict[str, list[tuple[float, float]]] = {}
    for batch, row in reading.mix.items():
        end = reading.mixed(batch) + reading.carry[batch] + reading.batch[batch]["wash_s"]
        span = (row["mix_start_s"], end)
        taken.setdefault(row.get("mix_by", "mix_only"), []).append(span)
        taken.setdefault("mixing_stations", []).append(span)
    by_place = {
        (r["patch"], r["batch"]): r.get("place_by", "finish_only") for r in reading.schedule["places"]
    }
    for patch, laid, start, end, begun in reading.places():
        lead = 0 if begun else patch["approach_s"]
        taken.setdefault(by_place[patch["id"], laid["batch"]], []).append((start - lead, end))
    for patch, row, k, start, end, begun in reading.passes():
        lead = patch["approach_s"] if k and not begun else 0
        taken.setdefault(row.get(f"{STAGES[k]}_by", "finish_only"), []).append((start - lead, end))
    for pool, spans in taken.items():
        if _most_at_once(spans) > crew.get(pool, 0):
            yield f"more than {crew.get(pool, 0)} of {pool} are needed at once"
    yield from _skills(reading)


def _skills(reading: Reading) -> Iterator[str]:
    for batch, row in reading.mix.items():
        if row.get("mix_by", "mix_only") not in ("mix_only", "mix_and_finish"):
            yield f"{batch} is mixed by people who do not mix"
    for row in (*reading.schedule["places"], *reading.schedule["finishing"]):
        hands = {value for key, value in row.items() if key.endswith("_by")}
        if not hands <= {"finish_only", "mix_and_finish"}:
            yield f"{row['patch']} is laid or finished by people who do not finish"


def _most_at_once(spans: list[tuple[float, float]]) -> int:
    edges = sorted([(end, -1) for _, end in spans] + [(start, 1) for start, _ in spans])
    count = most = 0
    for _, step in edges:
        count += step
        most = max(most, count)
    return most


def lateness_s(case: Case, schedule: Case) -> float:
    """Seconds past closing times over every placement, joint, and batch of every pass."""
    reading = Reading(case, schedule)
    late, before = 0.0, {}
    for patch, laid, _, end, _ in reading.places():
        late += max(0.0, end - reading.age_limit(laid["batch"], "working_time_s"))
        if patch["id"] in before:
            late += max(0.0, end - reading.age_limit(before[patch["id"]], "joint_limit_s"))
        before[patch["id"]] = laid["batch"]
    for _, row, k, _, end, _ in reading.passes():
        for batch in row["batches"]:
            late += max(0.0, end - reading.age_limit(batch, f"{STAGES[k]}_close_s"))
    return late


def makespan_s(case: Case, schedule: Case) -> float:
    """End of the last second trowel."""
    return max(end for _, _, _, _, end, _ in Reading(case, schedule).passes())
