"""The console in a real pseudo-terminal, read back by a terminal emulator: start, key, leave, and no colour."""

from __future__ import annotations

import os
import select
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

import pyte
import pytest

pytestmark = pytest.mark.skipif(sys.platform == "win32", reason="no pseudo-terminals there")

ROOT = Path(__file__).parents[2]
COLUMNS, ROWS = 80, 24
PATIENCE_S = 20.0  # for one paint on a machine under load; nothing waits this long otherwise


class Terminal:
    """A pyte screen fed from the process's terminal."""

    def __init__(self, descriptor: int) -> None:
        self.descriptor = descriptor
        self.screen = pyte.Screen(COLUMNS, ROWS)
        self._stream = pyte.ByteStream(self.screen)

    def read_until(self, text: str) -> None:
        while not any(text in line for line in self.screen.display):
            ready, _, _ = select.select([self.descriptor], [], [], PATIENCE_S)
            assert ready, f"{text!r} never came:\n" + "\n".join(self.screen.display)
            self._stream.feed(os.read(self.descriptor, 65536))

    def read_to_the_end(self) -> None:
        try:
            while os.read(self.descriptor, 65536):
                pass
        except OSError:
            pass

    def send(self, keys: str) -> None:
        os.write(self.descriptor, keys.encode())


@contextmanager
def console(**environment: str) -> Iterator[tuple[Terminal, int]]:
    import fcntl
    import pty
    import struct
    import termios

    process, descriptor = pty.fork()
    if process == 0:
        os.chdir(ROOT)
        os.environ.update({"TERM": "xterm-256color", "COLORTERM": "truecolor"} | environment)
        os.execv(sys.executable, [sys.executable, "-m", "tests.tui.show", "run", "busy and late"])
    fcntl.ioctl(descriptor, termios.TIOCSWINSZ, struct.pack("HHHH", ROWS, COLUMNS, 0, 0))
    try:
        yield Terminal(descriptor), process
    finally:
        os.close(descriptor)


def ended(process: int) -> int:
    return os.waitstatus_to_exitcode(os.waitpid(process, 0)[1])


def test_the_console_starts_takes_a_key_asks_before_leaving_and_leaves() -> None:
    with console() as (terminal, process):
        terminal.read_until("first trowel P1")
        terminal.send("0")
        terminal.read_until("0 does nothing")
        terminal.send("q")
        terminal.read_until("A BATCH IS UNDER WAY: leave?")
        terminal.send("y")
        terminal.read_to_the_end()
        assert ended(process) == 0


def test_without_colour_every_cell_is_black_and_white_and_none_hides_its_sign() -> None:
    with console(NO_COLOR="1") as (terminal, process):
        terminal.read_until("first trowel P1")
        cells = [terminal.screen.buffer[y][x] for y in range(ROWS) for x in range(COLUMNS)]
        terminal.send("q")
        terminal.read_until("leave?")
        terminal.send("y")
        terminal.read_to_the_end()
        assert ended(process) == 0
    assert {frozenset((cell.fg, cell.bg)) for cell in cells} == {frozenset(("000000", "ffffff"))}


@pytest.mark.parametrize("name", ["SIGTERM", "SIGHUP"])
def test_an_end_from_outside_closes_the_day_cleanly(name: str) -> None:
    import signal

    with console() as (terminal, process):
        terminal.read_until("first trowel P1")
        os.kill(process, getattr(signal, name))
        terminal.read_to_the_end()
        assert ended(process) == 0
