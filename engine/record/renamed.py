"""What a line of one log is called in a joined one: batches, trials and rests that clash get the next free name.

Line numbers in a line's payload become those of the joined log.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Any

from engine.pour.state import Day

NAMES = frozenset(  # keys of payloads whose values name a pour, batch or trial
    {"pour", "rest", "before", "batch", "batches", "source", "subject", "trial", "where", "parts"}
)
NUMBERS = frozenset({"seq"})  # keys whose values are line numbers
Names = dict[str, str]


def renumbered(data: Mapping[str, Any], number: Callable[[int], int]) -> dict[str, Any]:
    """A payload that speaks of other lines, by their numbers in the joined log; `number` gives the new one."""
    found = {key: number(value) if key in NUMBERS else value for key, value in data.items()}
    if runs := data.get("runs"):
        pairs = [(number(here + n), there + n) for here, there, count in runs for n in range(count)]
        found["runs"] = [list(run) for run in runs_of(pairs)]
    return found


def runs_of(pairs: list[tuple[int, int]]) -> tuple[tuple[int, int, int], ...]:
    """Pairs of numbers that go up together as runs: first, first, how many."""
    runs: list[tuple[int, int, int]] = []
    for here, there in pairs:
        if runs and (here, there) == (runs[-1][0] + runs[-1][2], runs[-1][1] + runs[-1][2]):
            runs[-1] = (*runs[-1][:2], runs[-1][2] + 1)
        else:
            runs.append((here, there, 1))
    return tuple(runs)


def named(data: Mapping[str, Any], names: Names) -> dict[str, Any]:
    """A payload with the names of the joined log."""
    return {key: _renamed(value, names) if key in NAMES else value for key, value in data.items()}


def _renamed(value: Any, names: Names) -> Any:
    if isinstance(value, list):
        return [_renamed(one, names) for one in value]
    return names.get(value, value) if isinstance(value, str) else value


def given_names(kind: str, data: Mapping[str, Any], day: Day, names: Names) -> Names:
    """The names a log goes on with at a line that begins a batch, trial, pour or rest, on the joined day before that line."""
    if kind == "water added":
        return names | {data["batch"]: _batch(data["batch"], data["pour"], names, day)}
    if kind == "part tipped":
        pour = names.get(data["pour"], data["pour"])
        return names | {data["batch"]: f"{names.get(data['source'], data['source'])}/{pour}"}
    if kind == "trial started":
        taken = {trial.id for trial in day.trials}
        return names | {data["trial"]: _free(data["trial"], taken, "T{}", len(taken) + 1)}
    if kind == "pour added":
        taken = {pour.id for pour in day.pours}
        return names | {data["pour"]: _free(data["pour"], taken, "A{}", 1)}
    if kind in ("pour split", "pour divided"):
        taken = {pour.id for pour in day.pours}
        return names | {data["rest"]: _free_rest(data["rest"], taken)}
    return names


def _batch(batch: str, pour: str, names: Names, day: Day) -> str:
    """The name itself where it is free and its pour keeps its own, else the next number in the pour."""
    now = names.get(pour, pour)
    taken = {one.id for one in day.batches}
    if now == pour and batch not in taken:
        return batch
    mixed = sum(1 for one in day.batches if one.pour == now and not one.source)
    return _free("", {"", *taken}, f"{now}.{{}}", mixed + 1)


def _free(name: str, taken: set[str], pattern: str, number: int) -> str:
    while name in taken:
        name, number = pattern.format(number), number + 1
    return name


def _free_rest(rest: str, taken: set[str]) -> str:
    """The next letter that is free."""
    while rest in taken:
        rest = rest[:-1] + chr(ord(rest[-1]) + 1)
    return rest
