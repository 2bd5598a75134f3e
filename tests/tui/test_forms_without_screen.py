"""A form filled in from a text file of answers."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from engine.console import answers_from
from engine.errors import BadInput
from engine.job.writing.questions import JOB_PAGES
from tui.cli import main

ANSWERS = """# told on the phone
name: School
time_zone: America/Chicago
weather: 08:00 air 54
patches: 24x18 2 2
patches: 30x18 2 2 1/4
"""


def test_answers_in_a_file_write_the_job_and_tell_what_was_assumed(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    told, path = tmp_path / "told.txt", tmp_path / "job.toml"
    told.write_text(ANSWERS, encoding="utf-8")
    assert main(["new", str(path), "--from", str(told), "--json", "--language", "en"]) == 0
    found = json.loads(capsys.readouterr().out)
    assert found["good"]
    assert found["written"][0] == str(path)
    assert "people" in {one["where"] for one in found["assumed"]}
    assert main(["new", str(path), "--from", str(told)]) == 2
    assert "not written over unasked" in capsys.readouterr().err
    assert main(["check", str(path)]) == 0


def test_every_line_that_is_no_answer_is_named(tmp_path: Path) -> None:
    told = tmp_path / "told.txt"
    told.write_text("name: A\nnme: B\nname: C\nweather 08:00 air 54\n", encoding="utf-8")
    with pytest.raises(BadInput) as raised:
        answers_from(told, JOB_PAGES)
    assert [(p.where, p.nearest) for p in raised.value.problems] == [
        ("line 2", "name"),
        ("line 3", ""),
        ("line 4", "weather"),
    ]


def test_answers_that_cannot_be_used_write_nothing(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    told, path = tmp_path / "told.txt", tmp_path / "own.toml"
    told.write_text("name: Own\nkind: gravel\n", encoding="utf-8")
    assert main(["card", str(path), "--from", str(told)]) == 2
    assert "kind, line 1" in capsys.readouterr().err
    assert not path.exists()


def test_json_goes_with_answers_from_a_file(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["new", str(tmp_path / "job.toml"), "--json"]) == 2
    assert "--from" in capsys.readouterr().err
