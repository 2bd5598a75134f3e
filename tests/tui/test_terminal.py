"""The console in a real pseudo-terminal, read back by a terminal emulator: start, key, leave, and no colour."""

from __future__ import annotations

import os
import re
import select
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from time import monotonic

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
        self.sent = b""
        self.screen = pyte.Screen(COLUMNS, ROWS)
        self._stream = pyte.ByteStream(self.screen)

    def read_until(self, text: str) -> None:
        end = monotonic() + PATIENCE_S
        while not any(text in line for line in self.screen.display):
            ready, _, _ = select.select([self.descriptor], [], [], max(0.0, end - monotonic()))
            assert ready, f"{text!r} never came:\n" + "\n".join(self.screen.display)
            self._take()

    def _take(self) -> int:
        came = os.read(self.descriptor, 65536)
        self.sent += came
        self._stream.feed(came)
        return len(came)

    def read_to_the_end(self) -> None:
        try:
            while self._take():
                pass
        except OSError:
            pass

    def send(self, keys: str) -> None:
        os.write(self.descriptor, keys.encode())


@contextmanager
def console(*look: str, **environment: str) -> Iterator[tuple[Terminal, int]]:
    import fcntl
    import pty
    import struct
    import termios

    process, descriptor = pty.fork()
    if process == 0:
        os.chdir(ROOT)
        os.environ.update({"TERM": "xterm-256color", "COLORTERM": "truecolor"} | environment)
        os.execv(sys.executable, [sys.executable, "-m", "tests.tui.show", "run", "busy and late", *look])
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
        terminal.send("%")
        terminal.read_until("does nothing")
        terminal.send("q")
        terminal.read_until("A BATCH IS UNDER WAY: leave?")
        terminal.send("y")
        terminal.read_to_the_end()
        assert ended(process) == 0


def colour_codes(sent: bytes) -> set[int]:
    """Those of the display attributes sent (ECMA-48 SGR) that name an ink or a paper, the terminal's own included."""
    numbers = [
        int(number or 0)
        for codes in re.findall(rb"\x1b\[([0-9;:]*)m", sent)
        for number in re.split(rb"[;:]", codes)
    ]
    return {number for number in numbers if 30 <= number <= 49 or 90 <= number <= 107}


@pytest.mark.parametrize(
    ("look", "environment"),
    [((), {"NO_COLOR": "1"}), ((), {"NO_COLOR": "1", "TERM": "vt220", "COLORTERM": ""}), (("plain",), {})],
)
def test_without_colour_no_code_of_a_colour_goes_out(
    look: tuple[str, ...], environment: dict[str, str]
) -> None:
    with console(*look, **environment) as (terminal, process):
        terminal.read_until("first trowel P1")
        cells = [terminal.screen.buffer[y][x] for y in range(ROWS) for x in range(COLUMNS)]
        terminal.send("?")
        terminal.read_until("something now")
        terminal.send("q")
        terminal.read_until("leave?")
        terminal.send("y")
        terminal.read_to_the_end()
        assert ended(process) == 0
    assert {(cell.fg, cell.bg) for cell in cells} == {("default", "default")}
    assert {cell.reverse for cell in cells} == {cell.bold for cell in cells} == {True, False}
    assert colour_codes(terminal.sent) == set()


def test_the_count_of_colour_codes_sees_them_where_they_are() -> None:
    assert colour_codes(b"\x1b[1;38;2;0;0;0;48;5;7mx\x1b[0;7m\x1b[39m\x1b[97my\x1b[m") >= {38, 48, 39, 97}
    with console() as (terminal, process):
        terminal.read_until("first trowel P1")
        terminal.send("q")
        terminal.read_until("leave?")
        terminal.send("y")
        terminal.read_to_the_end()
        assert ended(process) == 0
    assert colour_codes(terminal.sent) >= {38, 48}


@pytest.mark.parametrize("name", ["SIGTERM", "SIGHUP"])
def test_an_end_from_outside_closes_the_day_cleanly(name: str) -> None:
    import signal

    with console() as (terminal, process):
        terminal.read_until("first trowel P1")
        os.kill(process, getattr(signal, name))
        terminal.read_to_the_end()
        assert ended(process) == 0
