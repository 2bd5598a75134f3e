"""The bell in a real pseudo-terminal: alarms of a day opened late ring it once, and muted not at all."""

from __future__ import annotations

import os
import select
import sys

import pyte
import pytest

from tests.tui.test_terminal import PATIENCE_S, Terminal, console, ended

pytestmark = pytest.mark.skipif(sys.platform == "win32", reason="no pseudo-terminals there")


@pytest.fixture
def rings(monkeypatch: pytest.MonkeyPatch) -> list[str]:
    """The last line of the screen at each BEL that was no part of another sequence, as the emulator reads them."""
    heard: list[str] = []
    monkeypatch.setattr(pyte.Screen, "bell", lambda screen, *_: heard.append(screen.display[-1]))
    return heard


def read_until_a_ring(terminal: Terminal, rings: list[str]) -> None:
    while not rings:
        ready, _, _ = select.select([terminal.descriptor], [], [], PATIENCE_S)
        assert ready, "no bell ever came"
        terminal._stream.feed(os.read(terminal.descriptor, 65536))


def leave(terminal: Terminal) -> None:
    terminal.send("q")
    terminal.read_until("leave?")
    terminal.send("y")
    terminal.read_to_the_end()


def test_a_day_opened_late_rings_the_bell_and_shows_why(rings: list[str]) -> None:
    with console() as (terminal, process):
        terminal.read_until("first trowel P1")
        read_until_a_ring(terminal, rings)
        terminal.read_until("!! LATE first trowel P1")
        terminal.send("z")
        terminal.read_until("air 43")
        leave(terminal)
        assert ended(process) == 0
    assert len(rings) == 1


def test_muted_at_once_no_bell_rings(rings: list[str]) -> None:
    with console() as (terminal, process):
        terminal.read_until("first trowel P1")
        terminal.send("-")
        terminal.read_until("1 mute 60 s")
        terminal.send("1")
        terminal.read_until("MUTED 0:57")
        leave(terminal)
        assert ended(process) == 0
    assert rings == []
