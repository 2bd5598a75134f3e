"""The call board on a second terminal, driven by keys over a log that is written beside it. Clocks are moved by hand."""

from __future__ import annotations

from collections.abc import AsyncIterator
from contextlib import asynccontextmanager
from dataclasses import dataclass
from datetime import UTC, datetime
from pathlib import Path

import pytest
from textual import events
from textual.pilot import Pilot

from engine import console
from engine.clock import HandClock
from engine.errors import BadInput
from engine.pour import intents as i
from tests.tui.days import WORDS
from tui.cli import main
from tui.following import BoardApp
from tui.paint.runs import line_width, plain

JOB = Path(__file__).parents[1] / "data" / "scenarios" / "library" / "job.toml"
MORNING = datetime(2026, 11, 5, 16, 10, tzinfo=UTC).timestamp()  # 10:10 on site


@dataclass
class Stage:
    """A board over a log, the clock of the day, and the hands on the board's keys."""

    app: BoardApp
    log: Path
    clock: HandClock
    pilot: Pilot[int]

    def write(self, *steps: i.Intent) -> None:
        """What the other program writes, two seconds apart."""
        session = console.open_session(JOB, WORDS, log=self.log, clock=self.clock)
        for step in steps:
            self.clock.advance(2.0)
            session.submit(step)
        assert session.close() == ()

    async def come(self) -> str:
        """What stands on the screen once the board has looked at the log."""
        self.app.poll()
        await self.pilot.pause()
        return self.shown

    async def press(self, *keys: str) -> str:
        for n, key in enumerate(keys):
            event = events.Key(key, {"space": " "}.get(key, key if len(key) == 1 else None))
            event.time += n
            await self.app.on_event(event)
        await self.pilot.pause()
        return self.shown

    @property
    def shown(self) -> str:
        return "\n".join(plain(line) for line in self.app.painted.lines)


@asynccontextmanager
async def board(log: Path, size: tuple[int, int] = (80, 24)) -> AsyncIterator[Stage]:
    clock = HandClock(MORNING)
    app = BoardApp(lambda: console.open_following(log, WORDS, clock), log.stem, WORDS)
    async with app.run_test(size=size) as pilot:
        await app.workers.wait_for_complete()
        await pilot.pause()
        yield Stage(app, log, clock, pilot)


@pytest.fixture
def log(tmp_path: Path) -> Path:
    return tmp_path / "day.jsonl"


async def test_it_waits_for_the_first_line_then_shows_the_board_and_follows(log: Path) -> None:
    log.touch()
    async with board(log) as stage:
        assert "waiting for the first line" in stage.shown
        whole = log_of(log.with_name("other.jsonl")).read_bytes()
        log.write_bytes(whole[:-9])
        assert "waiting for the first line" in await stage.come()
        log.write_bytes(whole)
        assert "1 bag" in await stage.come()
        stage.write(i.CallBag("P1"), i.AddWater("P1", "MA"))
        shown = await stage.come()
        assert "P1.1" in shown
        assert "reading along" in shown
        assert {line_width(line) for line in stage.app.painted.lines} == {80}


async def test_it_begins_on_the_board_and_one_key_shows_the_panels(log: Path) -> None:
    async with board(log_of(log)) as stage:
        assert "1-9 one person" in stage.shown
        assert "bags left:" not in stage.shown
        assert "bags left:" in await stage.press("tab")
        assert "bags left:" not in await stage.press("tab")


async def test_keys_that_write_are_refused_with_a_sentence_and_the_log_stays(log: Path) -> None:
    async with board(log_of(log)) as stage:
        before = log.read_bytes()
        assert "this screen only reads along" in await stage.press("enter")
        await stage.press("space", "w", "x", "backspace", "u")
        assert log.read_bytes() == before


async def test_a_digit_shows_one_person_and_q_leaves_at_once(log: Path) -> None:
    async with board(log_of(log)) as stage:
        assert ">1 Lead" in await stage.press("1")
        assert ">1 Lead" not in await stage.press("1")
        await stage.press("q")
        assert stage.app.return_value == 0


async def test_a_log_removed_is_said_and_the_day_stays_in_sight(log: Path) -> None:
    async with board(log_of(log)) as stage:
        log.unlink()
        shown = await stage.come()
        assert "FOLLOWED NO MORE" in shown
        assert "4.25 qt" in shown
        await stage.press("z")
        assert "FOLLOWED NO MORE" in stage.shown


async def test_a_log_that_is_not_there_ends_the_app_with_its_sentence(log: Path) -> None:
    async with board(log) as stage:
        assert stage.app.return_value == 2
    assert isinstance(stage.app.failure, BadInput)


def log_of(log: Path) -> Path:
    """A log that holds its job and nothing else."""
    console.open_session(JOB, WORDS, log=log, clock=HandClock(MORNING)).close()
    return log


def test_without_a_terminal_the_verb_says_what_to_use_instead(
    log: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(["board", str(log_of(log))]) == 2
    assert "a full screen needs a terminal" in capsys.readouterr().err
