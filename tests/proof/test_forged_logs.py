"""A log whose chain was written anew around lines that cannot be: every reader names the line, none falls over.

The cases are of our own making: tests/data/bad/logs.toml, and what the run of hostile files found.
"""

from __future__ import annotations

import contextlib
import datetime
import json
import tomllib
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from engine.console import open_following, open_replay, open_session, words
from engine.errors import BadInput, LogDamaged
from engine.pour.asked import Refused
from engine.pour.intents import WriteNote
from tests.proof.spoiling import chain
from tui.cli import main

DATA = Path(__file__).parents[1] / "data"
GOOD = DATA / "logs" / "kinds-2.jsonl"
KEPT = 6
CASES: list[dict[str, Any]] = tomllib.loads((DATA / "bad" / "logs.toml").read_text(encoding="utf-8"))["case"]
VERBS = (
    ("check",),
    ("status",),
    ("replay", "--text"),
    ("report", "-o", "r.html"),
    ("report", "-o", "r.csv"),
    ("returns",),
    ("learn", "--made-up"),
    ("compare",),
)


def records() -> list[dict[str, Any]]:
    """The first lines of the good log, without their hashes."""
    lines = [json.loads(line) for line in GOOD.read_text(encoding="utf-8").splitlines()[:KEPT]]
    return [{key: value for key, value in line.items() if key != "hash"} for line in lines]


def forged(folder: Path, lines: list[dict[str, Any]]) -> Path:
    """The good log with these lines behind it."""
    made = records()
    for line in lines:
        last = made[-1]
        boot = last["boot"] + 10.0
        wall = datetime.datetime.fromisoformat(last["wall"]) + datetime.timedelta(seconds=10)
        new = last | {
            "seq": last["seq"] + 1,
            "kind": line["kind"],
            "boot": boot,
            "wall": wall.isoformat()[:19] + "Z",
        }
        new |= {"data": line["data"]}
        if "later" in line:
            new = {**new, "at": wall.timestamp() + line["later"], "how": "shifted"}
        made.append(new)
    log = folder / "day.jsonl"
    log.write_bytes(chain(made))
    return log


def case_name(case: dict[str, Any]) -> str:
    return str(case["says"])


@pytest.mark.parametrize("case", CASES, ids=case_name)
def test_every_reader_names_the_line_that_cannot_be(
    case: dict[str, Any], tmp_path: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    log = forged(tmp_path, case["lines"])
    monkeypatch.chdir(tmp_path)
    for verb, *more in VERBS:
        names = [str(log), str(log)] if verb == "compare" else [str(log)]
        assert main([verb, *names, *more]) in (1, 2), verb
        found = "".join(capsys.readouterr())
        assert f"line {case['line']}: " in found or f"{case['line']}  " in found, (verb, found)
        assert case["says"] in found, (verb, found)
        assert found.replace("\n", "").isprintable()


def _session(log: Path) -> contextlib.closing[Any]:
    return contextlib.closing(open_session(None, words("en"), log=log))


def _replay(log: Path) -> contextlib.closing[Any]:
    return contextlib.closing(open_replay(log))


def _following(log: Path) -> contextlib.closing[Any]:
    return contextlib.closing(open_following(log, words("en")))


@pytest.mark.parametrize("door", [_session, _replay, _following])
@pytest.mark.parametrize("case", CASES[:4], ids=case_name)
def test_no_screen_opens_on_a_line_that_cannot_be(
    case: dict[str, Any], door: Callable[[Path], contextlib.closing[Any]], tmp_path: Path
) -> None:
    with pytest.raises((LogDamaged, BadInput)) as raised, door(forged(tmp_path, case["lines"])):
        pass
    assert f"line {case['line']}: " in str(raised.value)


def test_the_good_lines_alone_are_read(tmp_path: Path) -> None:
    log = forged(tmp_path, [{"kind": "note written", "data": {"text": "all well"}}])
    assert main(["status", str(log)]) == 0
    with _session(log) as session:
        assert session.view() is not None


def _no_zone(job: dict[str, Any]) -> None:
    job["zone"] = "Nowhere/Land"


def _no_date(job: dict[str, Any]) -> None:
    job["date"] = "9999-99-99"


def _no_pours(job: dict[str, Any]) -> None:
    job["pours"] = []


def _no_area(job: dict[str, Any]) -> None:
    job["pours"][0]["area_m2"] = -1.0


def _no_mix(job: dict[str, Any]) -> None:
    job["pours"][0]["mix"] = "none"


def _circle(job: dict[str, Any]) -> None:
    job["pours"][0]["after"] = [job["pours"][0]["id"]]


def _two_of_one_id(job: dict[str, Any]) -> None:
    job["pours"][1]["id"] = job["pours"][0]["id"]


def _huge(job: dict[str, Any]) -> None:
    job["start"] = 10**300


def _half_a_strength(job: dict[str, Any]) -> None:
    job["mixes"][0]["strength"]["age_s"].pop()


def _endless(job: dict[str, Any]) -> None:
    job["mixes"][0]["setting"]["working_s"] = 1e9


@pytest.mark.parametrize(
    "spoil",
    [
        _no_zone,
        _no_date,
        _no_pours,
        _no_area,
        _no_mix,
        _circle,
        _two_of_one_id,
        _huge,
        _half_a_strength,
        _endless,
    ],
)
def test_a_job_that_no_file_could_have_been_is_refused_by_its_line(
    spoil: Callable[[dict[str, Any]], None], tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    made = records()
    spoil(made[0]["data"]["job"])
    log = tmp_path / "day.jsonl"
    log.write_bytes(chain(made))
    for verb in ("status", "check", "returns"):
        assert main([verb, str(log)]) == 1
        assert "1: " in "".join(capsys.readouterr())


@pytest.mark.parametrize(
    ("count", "kind", "data"),
    [
        (1600, "note written", {"text": "again"}),
        (320, "sign seen", {"word": "still moves", "subject": "T0"}),
        (10_050, "clock jumped", {"by_s": 5.0}),
    ],
)
def test_a_log_of_more_than_a_day_holds_is_refused(
    count: int, kind: str, data: dict[str, Any], tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    trial = {"kind": "trial started", "data": {"trial": "T0", "mix": "small-stone"}}
    log = forged(tmp_path, [trial, *[{"kind": kind, "data": data}] * count])
    assert main(["status", str(log)]) == 1
    assert "more than a day holds" in capsys.readouterr().err


def test_nothing_is_written_that_no_reader_would_take(tmp_path: Path) -> None:
    """A working day stops at the same number, and its log opens again."""
    trial = {"kind": "trial started", "data": {"trial": "T0", "mix": "small-stone"}}
    note = {"kind": "note written", "data": {"text": "again"}}
    log = forged(tmp_path, [trial, *[note] * 1500])
    with _session(log) as session:
        told = [session.submit(WriteNote(f"note {number}")) for number in range(5)]
        assert [isinstance(one, Refused) for one in told] == [False, True, True, True, True]
    with _session(log) as session:
        assert isinstance(session.submit(WriteNote("one more")), Refused)
