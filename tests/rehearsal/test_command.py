"""`bagcall rehearse`: a log of its own beside the working days', a clock of its own, days without a screen."""

from __future__ import annotations

import datetime
import json
from pathlib import Path

import pytest

from engine import console
from engine.clock import HandClock
from engine.console.session import REHEARSALS
from engine.errors import BadInput
from engine.job.files import configs_folder
from engine.record.folder import latest
from tui.cli import main

JOB = configs_folder() / "jobs" / "rowing-club.toml"
NOW = datetime.datetime(2026, 7, 2, 5, 0, tzinfo=datetime.UTC).timestamp()


@pytest.fixture
def logs(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """An empty folder for logs."""
    monkeypatch.setenv("BAGCALL_LOGS", str(tmp_path))
    return tmp_path


def test_a_rehearsal_never_goes_into_nor_comes_back_as_the_log_of_a_working_day(logs: Path) -> None:
    clock = HandClock(NOW)
    rehearsal = console.open_rehearsal(JOB, console.words(), speed=10.0, seed=1, clock=clock)
    view = rehearsal.view()
    assert view.mark is not None
    assert Path(rehearsal.log_path).parent == logs / REHEARSALS
    rehearsal.close()
    today = datetime.date.fromtimestamp(NOW).isoformat()
    assert latest(logs, JOB, today) is None
    again = console.open_rehearsal(JOB, console.words(), speed=10.0, seed=1, clock=clock)
    assert again.log_path != rehearsal.log_path
    again.close()


def test_nobody_goes_on_with_the_log_of_a_rehearsal_as_with_a_working_day(logs: Path) -> None:
    log = logs / "made-up.jsonl"
    clock = HandClock(NOW)
    console.open_rehearsal(JOB, console.words(), speed=10.0, seed=1, log=log, clock=clock).close()
    with pytest.raises(BadInput, match="log of a rehearsal"):
        console.open_session(JOB, console.words(), log=log, clock=clock)
    fresh = console.open_session(JOB, console.words(), log=log, fresh=True, clock=clock)
    assert fresh.log_path != str(log)
    fresh.close()


def test_a_rehearsal_named_the_log_of_a_working_day_leaves_it_alone(logs: Path) -> None:
    log, clock = logs / "day.jsonl", HandClock(NOW)
    console.open_session(JOB, console.words(), log=log, clock=clock).close()
    before = log.read_bytes()
    rehearsal = console.open_rehearsal(JOB, console.words(), speed=10.0, seed=1, log=log, clock=clock)
    clock.advance(5.0)
    rehearsal.view()
    rehearsal.close()
    assert log.read_bytes() == before
    assert rehearsal.log_path != str(log)


def test_its_log_replays_and_says_that_the_day_is_made_up(
    logs: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    log, clock = logs / "made-up.jsonl", HandClock(NOW)
    rehearsal = console.open_rehearsal(JOB, console.words(), speed=60.0, seed=1, log=log, clock=clock)
    clock.advance(10.0)
    rehearsal.view()
    assert rehearsal.close() == ()
    assert main(["replay", str(log), "--text"]) == 0
    assert "REHEARSAL" in capsys.readouterr().out.splitlines()[0]
    assert main(["status", str(log)]) == 0
    assert "REHEARSAL" in capsys.readouterr().out
    found = console.status(log, None, console.words(), clock)
    assert found["rehearsal"] is True


def test_a_rehearsal_begins_at_the_job_s_start_and_runs_at_its_pace(logs: Path) -> None:
    del logs
    clock = HandClock(NOW)
    rehearsal = console.open_rehearsal(JOB, console.words(), speed=60.0, seed=1, clock=clock)
    assert rehearsal.view().at == pytest.approx(rehearsal.job.start)
    clock.advance(10.0)
    view = rehearsal.view()
    assert view.at == pytest.approx(rehearsal.job.start + 600.0)
    assert view.rows
    rehearsal.close()


def test_with_own_keys_nobody_else_presses_any(logs: Path) -> None:
    del logs
    clock = HandClock(NOW)
    rehearsal = console.open_rehearsal(JOB, console.words(), speed=60.0, seed=1, crewed=False, clock=clock)
    clock.advance(10.0)
    assert rehearsal.view().rows == ()
    rehearsal.close()


def test_days_without_a_screen_are_counted(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["rehearse", str(JOB), "--days", "1", "--seed", "3", "--json"]) == 0
    found = json.loads(capsys.readouterr().out)
    assert found["days"] == 1
    assert found["clean_share"] in (0.0, 1.0)
    assert found["mean_length_s"] > 600.0


def test_values_without_days_to_print_are_refused(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["rehearse", str(JOB), "--json"]) == 2
    assert "--days N" in capsys.readouterr().err


@pytest.mark.parametrize(
    "wrong", [["--speed", "0"], ["--speed", "fast"], ["--days", "0"], ["--days", "x"], ["--seed", "x"]]
)
def test_what_cannot_be_rehearsed_is_refused(wrong: list[str], capsys: pytest.CaptureFixture[str]) -> None:
    with pytest.raises(SystemExit) as refused:
        main(["rehearse", *wrong])
    assert refused.value.code == 2
    assert wrong[1] in capsys.readouterr().err
