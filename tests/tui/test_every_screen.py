"""Every screen at every size, through the real app over a real log under Pilot, its clock moved by hand."""

from __future__ import annotations

from pathlib import Path

import pytest

from engine import console
from engine.clock import HandClock
from tests.tui.days import TEXTS, WORDS
from tests.tui.test_console_app import console as made_up
from tests.tui.test_replay import written
from tests.tui.test_whole_pour_under_pilot import START, Tailgate, begin, tailgate
from tui.app import ConsoleApp
from tui.looks import LOOK_ORDER
from tui.paint.runs import line_width
from tui.replay.app import ReplayApp

SIZES = [(60, 20), (80, 24), (120, 36), (200, 60)]


def fills(app: ConsoleApp, size: tuple[int, int]) -> None:
    width, height = size
    assert len(app.painted.lines) == height
    assert {line_width(line) for line in app.painted.lines} == {width}


async def look(gate: Tailgate, size: tuple[int, int], *keys: str) -> str:
    """What stands after some keys, on a screen that is filled to its edges."""
    await gate.press(*keys)
    fills(gate.app, size)
    assert "could not be drawn" not in gate.shown
    return gate.shown


@pytest.mark.parametrize("size", SIZES, ids=str)
async def test_the_live_screen_and_all_its_pages(tmp_path: Path, size: tuple[int, int]) -> None:
    async with tailgate(tmp_path / "day.jsonl", HandClock(START), size) as gate:
        assert TEXTS["help.title.start"] in await look(gate, size)
        await begin(gate)
        shown = await look(gate, size)
        row = gate.view.rows[0]
        assert WORDS(f"step.{row.step.kind}") in shown
        assert row.key in shown
        for number in range(1, 30):
            shown = await look(gate, size, "question_mark")
            if TEXTS["help.title.here"] not in shown and number == 1:
                raise AssertionError(shown)
            if gate.app.live is not None and not gate.app.live.desk.page:
                break
        assert number > 2
        assert "P1" in await look(gate, size, "y")
        assert TEXTS["help.title.find"] in await look(gate, size, "slash", "t", "r")
        await gate.press("backspace", "backspace", "backspace")
        for _ in LOOK_ORDER:
            await look(gate, size, "i")


@pytest.mark.parametrize("size", SIZES, ids=str)
async def test_the_board_and_one_persons_row(tmp_path: Path, size: tuple[int, int]) -> None:
    async with tailgate(tmp_path / "day.jsonl", HandClock(START), size) as gate:
        await begin(gate)
        shown = await look(gate, size, "tab")
        call = gate.view.call
        assert call.pour in shown
        for digit, person in enumerate(gate.view.crew[:2], 1):
            assert person.id in await look(gate, size, str(digit))
        await look(gate, size, "space")
        assert gate.view.rows[0].stage == "floated"
        assert gate.app.live is not None
        assert gate.app.live.desk.board
        await look(gate, size, "tab")
        assert not gate.app.live.desk.board


@pytest.mark.parametrize("size", SIZES, ids=str)
async def test_every_page_of_the_plan(tmp_path: Path, size: tuple[int, int]) -> None:
    async with tailgate(tmp_path / "day.jsonl", HandClock(START), size) as gate:
        await begin(gate)
        pages = {await look(gate, size, "comma")}
        for _ in range(3):
            shown = await look(gate, size, "tab")
            assert gate.view.call.pour in shown
            pages.add(shown)
        assert len(pages) == 4


@pytest.mark.parametrize("size", SIZES, ids=str)
async def test_a_question_a_refusal_and_a_typed_line(tmp_path: Path, size: tuple[int, int]) -> None:
    async with tailgate(tmp_path / "day.jsonl", HandClock(START), size) as gate:
        await begin(gate)
        assert "lost?" in await look(gate, size, "l")
        assert TEXTS["screen.never_mind"] in await look(gate, size, "e")
        assert "cannot be" in await look(gate, size, "w", *"air", "space", *"999", "enter")
        assert "air 53" in await look(gate, size, "w", *"air", "space", *"53")


@pytest.mark.parametrize("size", SIZES, ids=str)
async def test_a_replay_and_its_pages(tmp_path: Path, size: tuple[int, int]) -> None:
    log, clock = written(tmp_path / "day.jsonl"), HandClock(0.0)
    app = ReplayApp(lambda: console.open_replay(log, clock), "day", WORDS)
    async with app.run_test(size=size) as pilot:
        for _ in range(50):
            await pilot.pause()
            if app.live is not None:
                break
        for key in ("n", "w", "w", "w", "y", "question_mark", "e"):
            await pilot.press(key)
            fills(app, size)
        await pilot.press("q")


@pytest.mark.parametrize("name", ["hostile", "warned", "done day", "joint"])
@pytest.mark.parametrize("size", SIZES, ids=str)
async def test_days_that_strain_the_screen(name: str, size: tuple[int, int]) -> None:
    async with made_up(name, size) as stage:
        for key in ("tab", "tab", "question_mark", "d", "y"):
            await stage.press(key)
            fills(stage.app, size)
