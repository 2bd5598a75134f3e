"""A process in a pseudo-terminal, timed from outside: what it writes, when, and what it costs."""

from __future__ import annotations

import fcntl
import os
import pty
import select
import signal
import struct
import sys
import termios
import time
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

import pyte

ROOT = Path(__file__).parents[2]
PATIENCE_S = 30.0


@dataclass
class Watched:
    """A running process and the screen it draws. `came_s`: monotonic time of the latest bytes."""

    process: int
    descriptor: int
    began_s: float
    screen: pyte.Screen
    came_s: float = 0.0
    bytes_read: int = 0

    def __post_init__(self) -> None:
        self._stream = pyte.ByteStream(self.screen)

    def read(self, until_s: float, draw: bool = True) -> bool:
        """Take what comes before a moment; whether anything came."""
        ready, _, _ = select.select([self.descriptor], [], [], max(0.0, until_s - time.monotonic()))
        if not ready:
            return False
        chunk = os.read(self.descriptor, 1 << 16)
        self.came_s = time.monotonic()
        self.bytes_read += len(chunk)
        if draw:
            self._stream.feed(chunk)
        return True

    def read_until(self, seen: Callable[[list[str]], bool]) -> float:
        """Read until the screen shows something; when the bytes that showed it came, monotonic."""
        limit = time.monotonic() + PATIENCE_S
        while not seen(self.screen.display):
            if not self.read(limit):
                raise TimeoutError("\n".join(self.screen.display))
        return self.came_s

    def send(self, keys: bytes) -> float:
        os.write(self.descriptor, keys)
        return time.monotonic()

    def cpu_s(self) -> float:
        """Processor time of all its threads so far."""
        tasks = Path(f"/proc/{self.process}/task").iterdir()
        return sum(int((task / "schedstat").read_text().split()[0]) for task in tasks) / 1e9

    def end(self) -> None:
        os.kill(self.process, signal.SIGKILL)
        os.waitpid(self.process, 0)
        os.close(self.descriptor)


def watch(arguments: list[str], width: int, height: int, **environment: str) -> Watched:
    """Start `python` with these arguments in a terminal of a size."""
    began = time.monotonic()
    process, descriptor = pty.fork()
    if process == 0:
        fcntl.ioctl(0, termios.TIOCSWINSZ, struct.pack("HHHH", height, width, 0, 0))
        colours = {"TERM": "xterm-256color", "COLORTERM": "truecolor", "COLUMNS": "", "LINES": ""}
        os.environ.update(colours | environment)
        os.environ["PYTHONPATH"] = str(ROOT)
        os.environ.pop("PYTHONDONTWRITEBYTECODE", None)
        os.execv(sys.executable, [sys.executable, *arguments])
    return Watched(process, descriptor, began, pyte.Screen(width, height))
