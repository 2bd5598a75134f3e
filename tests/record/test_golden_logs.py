"""Logs of the past still open and say what they said. Expected: the statuses stored beside them when they were written."""

from __future__ import annotations

import datetime
import json
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

from engine import console
from tests.data_tools.golden import logs, missing, status_file, statuses

WITHIN = 0.02  # of a number; clocks may be reckoned a little finer one day
LEAST = 0.02
WITHIN_S = 60.0  # of a time that is foretold
STAMPED = ("water_contact", "mixed", "tipped")  # times that never move
ADD = "run `python -m tests.data_tools.golden` (a new kind first gets a row in tests/data_tools/golden_day.py) and commit its files"


def _apart(held: Any, found: Any, where: str) -> Iterator[str]:
    """Where a status says something else than it did; what it says beside may grow."""
    if isinstance(held, dict):
        for key, value in held.items():
            if not isinstance(found, dict) or key not in found:
                yield f"{where}.{key}: gone"
            else:
                yield from _apart(value, found[key], f"{where}.{key}")
    elif isinstance(held, list):
        if not isinstance(found, list) or len(held) != len(found):
            yield f"{where}: {held} was, {found} is"
            return
        for place, (one, other) in enumerate(zip(held, found, strict=True)):
            yield from _apart(one, other, f"{where}[{place}]")
    elif not _like(held, found, where):
        yield f"{where}: {held} was, {found} is"


def _like(held: Any, found: Any, where: str) -> bool:
    if isinstance(held, float) and isinstance(found, float | int):
        return found == pytest.approx(held, rel=WITHIN, abs=LEAST)
    if (
        isinstance(held, str)
        and isinstance(found, str)
        and held.endswith("Z")
        and not where.endswith(STAMPED)
    ):
        return abs(_moment(held) - _moment(found)) <= WITHIN_S
    return bool(held == found)


def _moment(text: str) -> float:
    return datetime.datetime.fromisoformat(text).timestamp()


@pytest.mark.parametrize("log", logs(), ids=lambda log: log.stem)
def test_a_log_of_the_past_says_what_it_said(log: Path) -> None:
    held = json.loads(status_file(log).read_text(encoding="utf-8"))
    assert not list(_apart(held, statuses(log), ""))


@pytest.mark.parametrize("log", logs(), ids=lambda log: log.stem)
def test_a_log_of_the_past_is_whole_and_every_line_of_it_has_its_sentence(log: Path) -> None:
    said = console.words()
    found = console.verify(log, said)
    assert (found["whole"], found["remarks"]) == (True, [])
    assert len(console.replay_list(log, said)) == found["lines"]


def test_every_kind_and_version_of_event_is_in_a_log_of_the_past() -> None:
    assert not missing(), f"no golden log holds {missing()}: {ADD}"


def test_a_status_that_says_something_else_is_noticed() -> None:
    held = json.loads(status_file(logs()[0]).read_text(encoding="utf-8"))
    changed = json.loads(json.dumps(held))
    at = list(held)[1]
    changed[at]["batches"][0]["water_contact"] = "2026-05-04T14:20:46Z"
    changed[at]["stock"]["bags"] += 0.5
    changed[at]["pours"][0]["state"] = "open"
    assert len(list(_apart(held, changed, ""))) == 3


def test_a_golden_log_once_kept_is_never_written_anew() -> None:
    ends = {log.stem: console.verify(log, console.words())["hash"] for log in logs()}
    assert ends["kinds-1"] == "0d5e9ad12090502b27710ac06d71e82f"
