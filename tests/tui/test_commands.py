"""The commands around a pour, run as a user runs them: what `check`, `enter`, `status` and `returns` print and write."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest

from tests.scenarios.expected import DATA
from tui.cli import main

JOB = DATA / "library" / "job.toml"
NOTES = """time,what,which,who,value
08:30:00,reading,,,station=6 mph
08:31:00,tick,P1,,sound square clean deep joint
08:32:00,lot,,,A1
08:50:00,soaked,P1,,
09:00:00,water,P1,MA,
09:02:00,mixed,P1.1,,
09:02:30,tipped,P1.1,,
09:04:00,floated,P1,F,
09:06:00,water used,P1.1,,5 qt
09:12:00,first trowel,P1,F,
09:20:00,second trowel,P1,F,
09:22:00,edged,P1,F,
09:25:00,depths,P2,,3.5 3.5
09:26:00,change,P2,,depths 3.75 price 40 by KL because the drain side was rotten
12:00:00,slope,P1,,after run 5.4 cross 1.0 at door
12:01:00,sound,P1,,clear
12:02:00,weighed,,,48.0 lb
"""


@pytest.fixture
def log(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> Path:
    """The log of a morning kept by hand."""
    notes, out = tmp_path / "notes.csv", tmp_path / "day.jsonl"
    notes.write_text(NOTES, encoding="utf-8")
    assert main(["enter", str(JOB), str(notes), "-o", str(out)]) == 0
    capsys.readouterr()
    return out


def asked(capsys: pytest.CaptureFixture[str], *arguments: str) -> Any:
    """What a command prints as JSON."""
    assert main([*arguments, "--json"]) in (0, 1)
    return json.loads(capsys.readouterr().out)


def test_notes_of_every_new_word_are_written_and_told(log: Path, capsys: pytest.CaptureFixture[str]) -> None:
    status = asked(capsys, "status", str(log), "--at", "12:05")
    first = next(pour for pour in status["pours"] if pour["id"] == "P1")
    batch = status["batches"][0]
    assert (batch["lot"], batch["water_used"]) == ("A1", "over the label")
    assert first["ready"]["complete"]
    assert {reading["check"] for reading in first["checks"]["readings"]} == {
        "running slope",
        "cross slope",
        "sounding",
    }
    assert first["after"]["cure"]["next_at"]
    assert [change["agreed_by"] for change in status["changes"]] == ["KL"]
    early = asked(capsys, "status", str(log), "--at", "08:40")
    assert early["conditions"]["wind_m_s"] == pytest.approx(6 * 0.44704 * 0.657, rel=2e-3)


def test_the_status_reads_as_text(log: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["status", str(log), "--at", "12:05"]) == 0
    told = capsys.readouterr().out
    for part in (
        "lot A1",
        "over the label",
        "running slope door: 5.4 % (1:18.5)",
        "wet cure",
        "agreed by KL",
        "not checked yet",
    ):
        assert part in told


def test_a_plan_shows_the_day_by_the_hour_what_to_load_and_the_water_for_a_mix(
    capsys: pytest.CaptureFixture[str],
) -> None:
    assert main(["check", str(JOB), "--hours", "--load", "--mix-temperature", "60 degF"]) in (0, 1)
    told = capsys.readouterr().out
    for part in ("hour by hour", "load-out", "brings the mix to 60 °F", "stiff", "dew point"):
        assert part in told


def test_hours_of_a_plan_hold_every_pour_and_dose(capsys: pytest.CaptureFixture[str]) -> None:
    plan = asked(capsys, "check", str(JOB), "--hours")
    visit = [pour["id"] for pour in plan["pours"]]
    assert list(dict.fromkeys(hour["pour"] for hour in plan["hours"])) == visit
    for hour in plan["hours"]:
        times = [dose["working_time_s"] for dose in hour["doses"]]
        assert times == sorted(times)


def test_water_too_hot_is_refused_with_the_cap(capsys: pytest.CaptureFixture[str]) -> None:
    """Dry bags take no water over 100 °F (TM 5-852-4, read): the plan says so instead of naming more."""
    rows = asked(capsys, "check", str(JOB), "--mix-temperature", "85 degF")["water_for_mix"]
    assert rows[0]["word"] == "too hot"
    assert rows[0]["water_c"] == pytest.approx((100 - 32) / 1.8)


def test_a_mix_temperature_without_a_unit_is_refused(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["check", str(JOB), "--mix-temperature", "60"]) == 2
    assert "--mix-temperature" in capsys.readouterr().err


def test_returns_are_listed_and_written_as_a_calendar(
    log: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    out = tmp_path / "returns.ics"
    due = asked(capsys, "returns", str(log), "-o", str(out))
    dated = [visit for visit in due if visit["day"]]
    text = out.read_bytes().decode("utf-8")
    assert text.count("BEGIN:VEVENT") == len(dated) > 0
    assert main(["returns", str(log), "-o", str(out)]) == 2
    assert "something here already" in capsys.readouterr().err


def test_what_cells_and_what_the_day_refuse_is_told_in_one_run(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    notes = tmp_path / "notes.csv"
    rows = ("09:00:00,tipped,P1.1,,", "09:01:00,mixxed,P1.1,,", "09:02:00,tipped,P9.1,,")
    notes.write_text("time,what,which,who,value\n" + "\n".join(rows) + "\n", encoding="utf-8")
    assert main(["enter", str(JOB), str(notes), "-o", str(tmp_path / "x.jsonl")]) == 2
    told = capsys.readouterr().err
    assert all(f"line {n}" in told for n in (2, 3, 4))
