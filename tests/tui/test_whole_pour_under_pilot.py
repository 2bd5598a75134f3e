"""The real app over the real engine and a real log, under Pilot, its clock moved by hand."""

from __future__ import annotations

import datetime
from collections.abc import AsyncIterator
from contextlib import asynccontextmanager
from pathlib import Path
from zoneinfo import ZoneInfo

from textual import events
from textual.pilot import Pilot

from engine import console
from engine.clock import HandClock
from engine.pour.views import LiveView
from tests.scenarios.expected import DATA
from tests.tui.days import WORDS
from tui.app import ConsoleApp
from tui.paint.runs import line_width, plain

JOB = DATA / "library" / "job.toml"
START = datetime.datetime(2026, 11, 5, 10, 32, tzinfo=ZoneInfo("America/Chicago")).timestamp()


class Tailgate:
    """The app, its clock, and the hands on its keys."""

    def __init__(self, app: ConsoleApp, clock: HandClock, pilot: Pilot[int]) -> None:
        self.app, self.clock, self.pilot = app, clock, pilot
        self.delivered = 0.0

    async def press(self, *keys: str) -> None:
        """Keys a second apart, each painted before the next."""
        for key in keys:
            await self.wait(1.0)
            event = events.Key(key, {"space": " "}.get(key, key if len(key) == 1 else None))
            self.delivered += 1.0
            event.time += self.delivered
            await self.app.on_event(event)
            await self.pilot.pause()

    async def wait(self, seconds: float) -> None:
        self.clock.advance(seconds)
        self.delivered += seconds
        self.app.look_again()
        await self.pilot.pause()

    @property
    def view(self) -> LiveView:
        assert self.app.live is not None
        assert self.app.live.view is not None
        return self.app.live.view

    @property
    def shown(self) -> str:
        return "\n".join(plain(line) for line in self.app.painted.lines)


@asynccontextmanager
async def tailgate(log: Path, clock: HandClock, size: tuple[int, int] = (80, 24)) -> AsyncIterator[Tailgate]:
    app = ConsoleApp(lambda: console.open_session(JOB, WORDS, log=log, clock=clock), "library", WORDS)
    async with app.run_test(size=size) as pilot:
        while app.live is None:
            await pilot.pause()
            await app.workers.wait_for_complete()
        await pilot.pause()
        yield Tailgate(app, clock, pilot)
        app.close_session()


def due(view: LiveView) -> float:
    window = view.rows[0].window
    assert window is not None
    return window.due


async def begin(gate: Tailgate) -> None:
    """Call, water, mixed, tipped."""
    await gate.press("enter", "enter")
    await gate.wait(90.0)
    await gate.press("space")
    await gate.wait(30.0)
    await gate.press("space")


async def test_start_advance_and_undo_after_forty_seconds_leave_due_times_identical(tmp_path: Path) -> None:
    async with tailgate(tmp_path / "day.jsonl", HandClock(START)) as gate:
        await begin(gate)
        before = due(gate.view)
        await gate.press("space")
        await gate.wait(40.0)
        await gate.press("backspace")
        assert due(gate.view) == before
        assert "taken back" in gate.shown


async def test_a_late_stamp_moves_every_window_that_hangs_on_it(tmp_path: Path) -> None:
    async with tailgate(tmp_path / "day.jsonl", HandClock(START)) as gate:
        await gate.press("enter", "enter")
        water = gate.view.rows[0].workable_until
        await gate.press("left", "left")
        assert water is not None
        assert gate.view.rows[0].workable_until is not None
        assert abs(gate.view.rows[0].workable_until - (water - 10.0)) < 0.5


async def test_a_finisher_away_hands_over_at_once_and_comes_back(tmp_path: Path) -> None:
    async with tailgate(tmp_path / "day.jsonl", HandClock(START)) as gate:
        await begin(gate)
        first = gate.view.rows[0].step.who
        digit = str([row.id for row in gate.view.crew].index(first) + 1)
        await gate.press("a", digit)
        assert gate.view.rows[0].step.who not in ("", first)
        await gate.press("a", digit)
        assert not any(row.away for row in gate.view.crew)


async def test_a_lost_batch_asks_in_its_row_keeps_clocks_running_and_is_counted(tmp_path: Path) -> None:
    async with tailgate(tmp_path / "day.jsonl", HandClock(START)) as gate:
        await gate.press("enter", "enter")
        bags = gate.view.stock.bags
        await gate.press("l", "1")
        assert gate.view.rows == ()
        assert gate.view.stock.bags == bags
        assert gate.view.call.batch == "P1.2"


async def test_a_cut_log_is_opened_again_and_the_day_goes_on(tmp_path: Path) -> None:
    log, clock = tmp_path / "day.jsonl", HandClock(START)
    async with tailgate(log, clock) as gate:
        await begin(gate)
        running = gate.view.rows[0]
    log.write_bytes(log.read_bytes()[:-30])
    clock.advance(20.0)
    async with tailgate(log, clock) as gate:
        assert gate.view.rows[0].stage == "mixed"
        assert "half a line" in gate.shown
        await gate.press("z", "space")
        assert gate.view.rows[0].batches == running.batches
        assert gate.view.rows[0].stage == "tipped"


async def test_the_screen_follows_the_terminal_from_80x24_to_200x60(tmp_path: Path) -> None:
    async with tailgate(tmp_path / "day.jsonl", HandClock(START)) as gate:
        await begin(gate)
        for size in ((80, 24), (120, 36), (200, 60), (60, 20)):
            await gate.pilot.resize_terminal(*size)
            await gate.pilot.pause()
            assert len(gate.app.painted.lines) == size[1]
            assert {line_width(line) for line in gate.app.painted.lines} == {size[0]}
            assert "P1.1" in gate.shown
