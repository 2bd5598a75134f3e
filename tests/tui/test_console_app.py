"""The app around the painting, driven by keys. Clocks are moved by hand; nothing waits for time to pass."""

from __future__ import annotations

import threading
from collections.abc import AsyncIterator
from contextlib import asynccontextmanager
from dataclasses import dataclass

import pytest
from rich.style import Style
from textual import events
from textual.pilot import Pilot

from engine.errors import BadInput, Problem
from engine.pour import intents as i
from tests.tui.days import HOSTILE, VIEWS, WORDS, FakeSession
from tui.app import ConsoleApp
from tui.looks import LOOKS, PLAIN
from tui.paint.runs import Line, line_width, plain
from tui.painted import Painted, changed_cells


@dataclass
class Stage:
    """A console over a made-up day, and the hands on its keys."""

    app: ConsoleApp
    session: FakeSession
    pilot: Pilot[int]

    async def press(self, *keys: str) -> None:
        """Keys as the terminal delivers them, one second apart by its clock."""
        for n, key in enumerate(keys):
            event = events.Key(key, {"space": " "}.get(key, key if len(key) == 1 else None))
            event.time += n
            await self.app.on_event(event)
        await self.pilot.pause()

    @property
    def shown(self) -> str:
        return "\n".join(plain(line) for line in self.app.painted.lines)


@asynccontextmanager
async def console(
    name: str = "busy and late", size: tuple[int, int] = (80, 24), look: str = "sun"
) -> AsyncIterator[Stage]:
    session = FakeSession(VIEWS[name])
    app = ConsoleApp(lambda: session, "made-up day", WORDS, look)
    async with app.run_test(size=size) as pilot:
        await app.workers.wait_for_complete()
        await pilot.pause()
        session.clock.advance(1.0)
        yield Stage(app, session, pilot)


async def test_the_first_paint_is_the_jobs_name_and_a_job_that_cannot_be_read_ends_the_app() -> None:
    painted = threading.Event()

    def opening() -> FakeSession:
        assert painted.wait(5)
        raise BadInput([Problem("job.toml", "job", "", "a table is missing")])

    app = ConsoleApp(opening, "made-up day", WORDS)
    async with app.run_test(size=(80, 24)) as pilot:
        stage = Stage(app, FakeSession(VIEWS["mix now"]), pilot)
        assert "made-up day" in stage.shown
        painted.set()
        await app.workers.wait_for_complete()
        await pilot.pause()
    assert isinstance(app.failure, BadInput)
    assert app.return_value == 2


async def test_a_key_of_the_registry_reaches_the_session() -> None:
    async with console() as stage:
        await stage.press("space", "enter")
        assert stage.session.intents == [i.Advance("P1"), i.CallBag("P2")]
        assert "P2.1 tipped" in stage.shown


async def test_a_double_press_by_the_terminals_clock_counts_once() -> None:
    async with console() as stage:
        first, second, third = (events.Key("space", " ") for _ in range(3))
        second.time, third.time = first.time + 0.5, first.time + 1.2
        for key in (first, second, third):
            await stage.app.on_event(key)
        assert stage.session.intents == [i.Advance("P1"), i.Advance("P1")]


async def test_a_costly_key_waits_three_seconds_for_its_second() -> None:
    async with console() as stage:
        await stage.press("l")
        assert "P1 lost?" in stage.shown
        stage.session.clock.advance(3.0)
        stage.app.tick()
        assert "P1 lost?" not in stage.shown
        await stage.press("l", "1")
        assert stage.session.intents == [i.LoseBatch("P1.2", "stiff in the vessel")]


async def test_letters_are_letters_while_a_line_is_typed() -> None:
    async with console() as stage:
        await stage.press("w", *"air", "space", *"53", "q", "backspace", "enter")
        assert len(stage.session.intents) == 1
        assert isinstance(stage.session.intents[0], i.TakeReading)


async def test_an_unbound_key_says_so_in_the_corner() -> None:
    async with console() as stage:
        for key in ("escape", "ctrl+q", "ctrl+p", "f1"):
            await stage.press(key)
            assert f"{key} does nothing" in stage.shown
        assert stage.session.intents == []
        assert stage.app.is_running


async def test_keys_before_the_job_is_read_do_nothing_but_leave() -> None:
    async with console() as stage:
        stage.app.live = None
        await stage.press("space", "r")
        assert stage.app.return_value is None
        await stage.press("q")
        assert stage.app.return_value == 0
        assert stage.session.intents == []


async def test_leaving_closes_the_log_once() -> None:
    async with console() as stage:
        await stage.press("q", "y")
        assert stage.session.closed == 1
        stage.app.close_session()
        assert stage.session.closed == 1
        assert stage.app.return_value == 0


async def test_lines_that_could_not_be_kept_are_known_after_the_end() -> None:
    async with console() as stage:
        stage.session.unkept = (15, 16)
        stage.app.leave()
        assert stage.app.unkept == (15, 16)
        assert stage.app.log_path == "day.jsonl"


async def test_a_kept_line_repaints_its_mark() -> None:
    async with console() as stage:
        assert "0:40 ○" in stage.shown
        stage.session.keep(15)
        await stage.pilot.pause()
        assert "0:39 ●" in stage.shown


@pytest.mark.parametrize("size", [(200, 60), (120, 36), (60, 20), (20, 5)], ids=str)
async def test_the_painting_follows_the_size_of_the_terminal(size: tuple[int, int]) -> None:
    async with console() as stage:
        await stage.pilot.resize_terminal(*size)
        await stage.pilot.pause()
        lines = stage.app.painted.lines
        assert len(lines) == size[1]
        assert {line_width(line) for line in lines} == {size[0]}
        assert [pane.render_line(0).cell_length for pane in stage.app.painted.panes] == [size[0] // 4] * 4


async def test_a_hostile_job_file_is_painted_like_any_other() -> None:
    async with console("hostile") as stage:
        await stage.press("d", "question_mark", "l")
        assert "[/]" in stage.shown
        assert not any(ord(sign) < 32 for line in stage.app.painted.lines for sign in plain(line))
        assert "\u202e" in HOSTILE
        assert "\u202e" not in stage.shown


async def test_a_fault_while_painting_is_told_and_the_app_goes_on() -> None:
    async with console() as stage:
        stage.session.broken = RuntimeError("lost its plan")
        stage.app.tick()
        assert "lost its plan" in stage.shown
        assert stage.app.is_running


def styles(app: ConsoleApp) -> list[Style]:
    """The style of every piece on the screen."""
    panes = app.painted.panes
    pieces = [piece for y in range(app.size.height) for pane in panes for piece in pane.render_line(y)]
    return [piece.style for piece in pieces if piece.style is not None]


async def test_without_colour_no_look_brings_any(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("NO_COLOR", "1")
    async with console() as stage:
        for _ in LOOKS:
            await stage.press("i")
            assert {(style.color, style.bgcolor) for style in styles(stage.app)} == {(None, None)}


async def test_the_plain_look_by_key_is_the_one_without_colour() -> None:
    async with console() as stage:
        await stage.press("i", "i", "i")
        assert {(style.color, style.bgcolor) for style in styles(stage.app)} == {(None, None)}
        await stage.press("i")
        assert (None, None) not in {(style.color, style.bgcolor) for style in styles(stage.app)}


@pytest.mark.parametrize("look", LOOKS)
async def test_every_cell_has_ink_that_differs_from_its_paper(look: str) -> None:
    async with console(look=look) as stage:
        for style in styles(stage.app):
            assert style.color != style.bgcolor or look == PLAIN


async def test_only_the_cells_that_changed_are_drawn_again(monkeypatch: pytest.MonkeyPatch) -> None:
    async with console() as stage:
        stage.app.tick()
        redrawn: list[tuple[int, int, int]] = []
        monkeypatch.setattr(
            Painted, "_redraw", lambda _self, y, first, last: redrawn.append((y, first, last))
        )
        stage.app.tick()
        assert redrawn == []
        stage.session.clock.advance(1.0)
        stage.app.tick()
        assert {y for y, _, _ in redrawn} >= {11, 12, 13, 14}
        assert all(last - first <= 40 for y, first, last in redrawn if y >= 11)
        rows = {y: (first, last) for y, first, last in redrawn}
        assert rows[11] == (9, 10)


# old row, new row, and the cells from the first to the last that differ
CHANGES: list[tuple[Line, Line, tuple[int, int]]] = [
    ((("0:40 due", "text"),), (("0:39 due", "text"),), (2, 4)),
    ((("0:40 due", "text"),), (("0:41 due", "text"),), (3, 4)),
    ((("due", "due"), ("  P1", "text")), (("due", "late"), ("  P1", "text")), (0, 3)),
    ((("混 a", "text"),), (("混 b", "text"),), (3, 4)),
    ((("混混", "text"),), (("混ab", "text"),), (2, 4)),
]


@pytest.mark.parametrize(("old", "new", "cells"), CHANGES)
def test_changed_cells_are_found_to_the_cell(old: Line, new: Line, cells: tuple[int, int]) -> None:
    assert changed_cells(old, new) == cells
