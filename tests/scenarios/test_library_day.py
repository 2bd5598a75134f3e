"""A whole cool day through `enter`, `status` and `check`.

Expected: an independent one-dimensional model with 0.5 mm cells of the published clock (ASTM C1074 form, ACI 305R
fresh temperature, Menzel evaporation), by the state of the day's notes at each moment.
"""

from __future__ import annotations

from functools import cache
from pathlib import Path
from typing import Any

import pytest

from engine import console
from tests.scenarios.expected import DATA, Row, found, holds, rows_of

LIBRARY = DATA / "library"
DATE, ZONE = "2026-11-05", "America/Chicago"


@pytest.fixture(scope="session")
def log(tmp_path_factory: pytest.TempPathFactory) -> Path:
    out = tmp_path_factory.mktemp("library") / "day.jsonl"
    console.enter(LIBRARY / "job.toml", LIBRARY / "notes.csv", out, console.words())
    return out


@cache
def _status(log: Path, at: str) -> dict[str, Any]:
    return console.status(log, at, console.words())


@cache
def _plan() -> dict[str, Any]:
    return console.check(LIBRARY / "job.toml", console.words())


@pytest.mark.parametrize("row", rows_of(LIBRARY / "expected.csv"), ids=str)
def test_the_status_says_what_the_day_was(log: Path, row: Row) -> None:
    value = found(_status(log, row.at), row)
    assert holds(value, row, DATE, ZONE), (value, row)


@pytest.mark.parametrize("row", rows_of(LIBRARY / "expected_plan.csv"), ids=str)
def test_the_plan_measures_up_by_hand(row: Row) -> None:
    pour = next(pour for pour in _plan()["pours"] if pour["id"] == row.which)
    assert holds(pour[row.quantity], row, DATE, ZONE), (pour[row.quantity], row)


def test_the_ramp_is_planned_open_in_time_without_packets() -> None:
    plan = _plan()
    assert plan["feasible"]
    assert [target["met"] for target in plan["targets"]] == [True]
