"""Days at one temperature, where the clock has a closed form: water contact + a · R / γ.

γ is the ASTM C1074 Arrhenius form with E = 40 000 J/mol and R = 8.314 J/(mol K), worked out by hand.
"""

from __future__ import annotations

from functools import cache
from pathlib import Path
from typing import Any

import pytest

from engine import console
from tests.scenarios.expected import DATA, Row, found, holds, rows_of

FOLDERS = ("40F", "55F", "70F", "90F")
CASES = [
    (folder, row) for folder in FOLDERS for row in rows_of(DATA / "isothermal" / folder / "expected.csv")
]
DATE, ZONE = "2026-05-12", "America/Chicago"


@pytest.fixture(scope="session")
def logs(tmp_path_factory: pytest.TempPathFactory) -> dict[str, Path]:
    out = tmp_path_factory.mktemp("isothermal")
    for folder in FOLDERS:
        case = DATA / "isothermal" / folder
        console.enter(case / "job.toml", case / "notes.csv", out / folder, console.words())
    return {folder: out / folder for folder in FOLDERS}


@cache
def _status(log: Path, at: str) -> dict[str, Any]:
    return console.status(log, at, console.words())


@pytest.mark.parametrize(("folder", "row"), CASES, ids=lambda value: str(value))
def test_every_limit_stands_where_the_closed_form_puts_it(
    logs: dict[str, Path], folder: str, row: Row
) -> None:
    value = found(_status(logs[folder], row.at), row)
    assert holds(value, row, DATE, ZONE), (value, row)
