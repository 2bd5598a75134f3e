"""Disks that fail, stall and die, and what the writer said of them."""

from __future__ import annotations

import errno
import os
from collections.abc import Callable
from pathlib import Path
from queue import Queue
from threading import Event, get_ident

from engine.record.lines import Line
from engine.record.store import DiskFile, MemoryStore
from engine.record.writer import Trouble, Writer

PATIENCE_S = 20.0  # a bound for a broken program, never waited out


class Told:
    """What the writer said, and a way to wait for it."""

    def __init__(self) -> None:
        self.kept: list[int] = []
        self.troubles: list[Trouble] = []
        self.moves: list[tuple[Path, Trouble | None]] = []
        self.threads: set[int] = set()
        self._news: Queue[object] = Queue()

    def on_kept(self, seq: int) -> None:
        self.threads.add(get_ident())
        self.kept.append(seq)
        self._news.put(seq)

    def on_trouble(self, error: Trouble) -> None:
        self.troubles.append(error)
        self._news.put(error)

    def on_moved(self, path: Path, error: Trouble | None) -> None:
        self.moves.append((path, error))
        self._news.put(path)

    def until(self, enough: Callable[[], object]) -> None:
        while not enough():
            self._news.get(timeout=PATIENCE_S)


class BadDisk(DiskFile):
    """A file whose disk does what `script` says, call after call; then it is good.

    `("short", 17)`: only 17 bytes are written. `("write", ENOSPC)`: the write fails; with None it works.
    """

    def __init__(self, path: Path, script: list[tuple[str, int | None]]) -> None:
        super().__init__(path, os.O_CREAT)
        self.script = script

    def write_at(self, offset: int, data: bytes) -> int:
        if self.script and self.script[0][0] == "short":
            _, size = self.script.pop(0)
            return super().write_at(offset, data[:size])
        self._maybe_fail("write")
        return super().write_at(offset, data)

    def sync(self) -> None:
        self._maybe_fail("sync")
        super().sync()

    def cut(self, size: int) -> None:
        self._maybe_fail("cut")
        super().cut(size)

    def _maybe_fail(self, call: str) -> None:
        if self.script and self.script[0][0] == call:
            _, number = self.script.pop(0)
            if number is not None:
                raise OSError(number, os.strerror(number))


class SlowStore(MemoryStore):
    """Memory whose every append waits to be let through."""

    def __init__(self) -> None:
        super().__init__()
        self.entered, self.let_through, self.chunks = Queue[int](), Event(), list[bytes]()

    def append(self, chunk: bytes) -> None:
        self.entered.put(1)
        assert self.let_through.wait(PATIENCE_S)
        self.chunks.append(chunk)
        super().append(chunk)


class DeadStore(MemoryStore):
    """Memory that takes nothing until `dead` is cleared."""

    dead = True

    def append(self, chunk: bytes) -> None:
        if self.dead:
            raise OSError(errno.EIO, "Input/output error")
        super().append(chunk)


def put_all(writer: Writer, some: list[Line]) -> None:
    for one in some:
        writer.put(one)
