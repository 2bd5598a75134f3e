"""Logs joined as files: what opens the new one, what is refused. Expected: the files stay as they were."""

from __future__ import annotations

import dataclasses
import json
from pathlib import Path

import pytest

from engine import console
from engine.errors import BadInput
from engine.pour import intents as i
from engine.record.joined import joined
from engine.record.same_day import Part
from tests.record.machines import (
    JOB,
    JOB_FILE,
    START,
    WORDS,
    Machine,
    first_machine,
    saved,
    second_machine,
)
from tui.cli import main


@pytest.fixture
def first() -> Machine:
    return first_machine()


@pytest.fixture
def second() -> Machine:
    return second_machine()


def test_another_job_is_refused_with_the_keys_that_differ(first: Machine) -> None:
    chipped = dataclasses.replace(JOB.pours[2], edges="chipped")
    other = dataclasses.replace(
        JOB,
        currency="EUR",
        pours=(*JOB.pours[:2], chipped, *JOB.pours[3:]),
    )
    with pytest.raises(BadInput) as caught:
        joined([first.part, Machine("other.jsonl", START + 900.0, other).part])
    assert [problem.where for problem in caught.value.problems] == ["job.currency", "job.pours[2].edges"]


def test_a_rehearsal_and_a_working_day_are_not_joined(first: Machine) -> None:
    with pytest.raises(BadInput, match="is a rehearsal"):
        joined([first.part, Machine("made-up.jsonl", START + 900.0, made_up=True).part])


def test_a_copy_and_a_copy_gone_on_with_are_refused(first: Machine) -> None:
    half = Part("half.jsonl", tuple(first.lines[:3]))
    with pytest.raises(BadInput, match=r"holds every line of half.jsonl already"):
        joined([first.part, half])
    before = len(first.lines)
    first.do(i.Undo())
    gone_on = first.part
    first.lines[before:] = []
    first.do(i.SeeReady("P2"), after_s=99)
    with pytest.raises(BadInput, match="one log was copied and both were gone on with"):
        joined([gone_on, first.part])


@pytest.fixture
def files(tmp_path: Path, first: Machine, second: Machine) -> list[str]:
    return [str(saved(tmp_path, machine)) for machine in (first, second)]


def test_the_joined_log_opens_in_status_replay_and_run(
    tmp_path: Path, files: list[str], second: Machine, capsys: pytest.CaptureFixture[str]
) -> None:
    out = tmp_path / "day.jsonl"
    with Path(files[0]).open("ab") as torn:
        torn.write(b'{"seq":8,"ki')
    assert main(["join", *files, "-o", str(out), "--json"]) == 0
    told = json.loads(capsys.readouterr().out)
    assert (told["logs"][0]["torn_bytes"], told["gaps"][0]["gap_s"]) == (12, pytest.approx(770.0))
    assert main(["status", str(out), "--json"]) == 0
    assert len(json.loads(capsys.readouterr().out)["batches"]) == 3
    assert main(["replay", str(out), "--text"]) == 0
    assert "here second.jsonl goes on; nothing was written for 12:50" in capsys.readouterr().out
    replay = console.open_replay(out, second.clock)
    assert replay.past.lines == told["lines"]
    second.clock.advance(60.0)
    session = console.open_session(JOB_FILE, WORDS, log=out, clock=second.clock)
    session.submit(i.AddWater("P2", "MA"))
    batch = session.journal.day.batches[-1]
    session.close()
    assert batch.id == "P2.4"
    assert batch.water_at == second.clock.stamp().wall
    assert main(["check", str(out)]) == 0


def test_joining_touches_no_log_and_writes_over_nothing(
    tmp_path: Path, files: list[str], capsys: pytest.CaptureFixture[str]
) -> None:
    before = [Path(name).read_bytes() for name in files]
    assert main(["join", *files, "-o", files[0]]) == 2
    assert main(["join", files[0], "-o", str(tmp_path / "x.jsonl")]) == 2
    assert main(["join", files[0], files[0], "-o", str(tmp_path / "x.jsonl")]) == 2
    assert "named twice" in capsys.readouterr().err
    assert [Path(name).read_bytes() for name in files] == before
    assert not (tmp_path / "x.jsonl").exists()


def test_a_damaged_log_is_not_joined(tmp_path: Path, files: list[str]) -> None:
    spoilt = Path(files[1]).read_bytes().replace(b'"MA"', b'"MB"', 1)
    Path(files[1]).write_bytes(spoilt)
    assert main(["join", *files, "-o", str(tmp_path / "x.jsonl")]) == 1
    assert not (tmp_path / "x.jsonl").exists()
