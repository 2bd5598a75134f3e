"""Keeps lines in order and never makes the screen wait: one thread, one flush for what waits.

A move to another place has a thread of its own, so that a disk that never answers cannot hold it up.
"""

from __future__ import annotations

import contextlib
from collections import deque
from collections.abc import Callable
from pathlib import Path
from threading import Condition, Thread

from engine.errors import LogHeld
from engine.record.lines import Line, encode
from engine.record.store import Store, create_log

Trouble = OSError | LogHeld
LONGEST_WAIT_S = 5.0
LAST_TRY_S = 0.5  # for the thread to notice that patience is over


def wait_s(failures: int) -> float:
    """Seconds until the next try after so many failed ones in a row: a quarter, doubling up to five."""
    return min(LONGEST_WAIT_S, 0.25 * 2.0 ** (min(failures, 9) - 1))


def _unheard(_path: Path, _error: Trouble | None) -> None:
    """Where nobody waits to hear of a move."""


class _Lane:
    """One place the log is written to, and how many bytes of it are there."""

    def __init__(self, store: Store, written: int) -> None:
        self.store, self.written = store, written
        self.failures = 0
        self.seen = 0  # what had been new up to the latest try


class Writer:
    """The one writer of a log held open. Close it, or use it as a context: its threads are no daemons.

    `on_kept(seq)` is called from its thread when everything up to a line has been flushed to the disk;
    `on_trouble(error)` after each failed try; `on_moved(path, error)` once a move is done, or with why it cannot
    be. Lines that cannot be kept wait in memory, in order, and go out when the disk works again or `move_to` has
    found another. `put`, `move_to` and `close` belong to one thread.
    """

    def __init__(
        self,
        store: Store,
        on_kept: Callable[[int], object],
        on_trouble: Callable[[Trouble], object],
        *,
        on_moved: Callable[[Path, Trouble | None], object] = _unheard,
        create: Callable[[Path, bytes], Store] = create_log,
        wait_s: Callable[[int], float] = wait_s,
    ) -> None:
        self._create, self._wait_s = create, wait_s
        self._on_kept, self._on_trouble, self._on_moved = on_kept, on_trouble, on_moved
        self._put_seq = self._kept_seq = len(store.contents.lines)
        self._hash, self._whole = store.contents.hash, bytearray(store.contents.whole)
        self._unkept: deque[tuple[Line, int]] = deque()  # each with where it ends
        self._changed = Condition()  # held for all below, never while a disk is asked
        self._closed = self._gave_up = False
        self._news = 0  # counts lines, moves and ends: each asks for a try at once
        self._lane = _Lane(store, len(self._whole))
        self._thread = self._started("log writer", self._run, self._lane)
        self._movers: list[Thread] = []
        self._retired: list[Thread] = []

    @property
    def name(self) -> str:
        """Where the log is now."""
        return self._lane.store.name

    def put(self, line: Line) -> None:
        """Hand over the next line; returns at once.

        Raises `ValueError` for a line that is not the next or cannot be written, `RuntimeError` once closed.
        """
        if self._closed or not self._thread.is_alive():
            raise RuntimeError("the log is closed; no more lines can be kept")
        if line.seq != self._put_seq + 1:
            raise ValueError(f"line {line.seq} was handed over where {self._put_seq + 1} is next")
        chunk, self._hash = encode(line, self._hash)
        self._put_seq = line.seq
        with self._changed:
            self._whole += chunk
            self._unkept.append((line, len(self._whole)))
            self._tell_all()

    def move_to(self, path: Path) -> None:
        """Go on in a new log at this path, which gets every line kept and every line waiting.

        Returns at once. `on_moved` tells when it is done; where it cannot be, it tells why and the old place
        stays.
        """
        self._movers.append(self._started("log mover", self._move, path))

    def close(self, patience_s: float = 5.0) -> tuple[Line, ...]:
        """Write what waits and let go of the log; the lines that could not be kept within so many seconds.

        A disk that never answers keeps its thread, and with it the program; its lines may still arrive.
        """
        for mover in self._movers:
            mover.join(patience_s)
        with self._changed:
            self._closed = True
            self._tell_all()
        self._thread.join(patience_s)
        with self._changed:
            self._gave_up = True
            self._tell_all()
        for thread in (self._thread, *self._retired):
            thread.join(LAST_TRY_S)
        with self._changed:
            return tuple(line for line, _ in self._unkept)

    def __enter__(self) -> Writer:
        return self

    def __exit__(self, kind: object, error: BaseException | None, trace: object) -> None:
        if not (left := self.close()):
            return
        why = f"{len(left)} lines of {self.name} could not be written, the first of them line {left[0].seq}"
        if error is None:
            raise OSError(why)
        error.add_note(why)

    def _started(self, name: str, work: Callable[..., None], given: object) -> Thread:
        thread = Thread(target=work, args=(given,), name=name, daemon=False)
        thread.start()
        return thread

    def _tell_all(self) -> None:
        self._news += 1
        self._changed.notify_all()

    def _run(self, lane: _Lane) -> None:
        """Write to one place until the log is closed or goes on elsewhere."""
        try:
            while chunk := self._next(lane):
                self._keep(lane, chunk)
        finally:
            with contextlib.suppress(OSError):
                lane.store.close()

    def _next(self, lane: _Lane) -> bytes:
        """All that waits, once there is any; empty where there is nothing more to do. What is new is tried at once."""
        with self._changed:
            if lane.failures:
                self._changed.wait_for(lambda: self._news != lane.seen, self._wait_s(lane.failures))
            self._changed.wait_for(
                lambda: self._closed or self._over(lane) or len(self._whole) > lane.written
            )
            lane.seen = self._news
            return b"" if self._over(lane) else bytes(self._whole[lane.written :])

    def _over(self, lane: _Lane) -> bool:
        return self._gave_up or lane is not self._lane

    def _keep(self, lane: _Lane, chunk: bytes) -> None:
        try:
            lane.store.append(chunk)
        except OSError as error:
            lane.failures += 1
            if lane is self._lane:
                with contextlib.suppress(
                    RuntimeError
                ):  # a screen that has ended meanwhile must not stop the writing
                    self._on_trouble(error)
        else:
            lane.failures = 0
            lane.written += len(chunk)
            self._kept(lane)

    def _move(self, path: Path) -> None:
        """On a thread of its own, which goes on as the writer's where the new place takes all there is."""
        with self._changed:
            whole = bytes(self._whole)
        try:
            lane = _Lane(self._create(path, whole), len(whole))
        except (OSError, LogHeld) as error:
            self._moved(path, error)
            return
        self._change_to(lane)
        self._moved(path, None)
        self._kept(lane)

    def _change_to(self, lane: _Lane) -> None:
        with self._changed:
            self._lane = lane
            self._retired.append(self._thread)
            self._thread = self._started("log writer", self._run, lane)
            self._tell_all()

    def _moved(self, path: Path, error: Trouble | None) -> None:
        with contextlib.suppress(RuntimeError):
            self._on_moved(path, error)

    def _kept(self, lane: _Lane) -> None:
        """Everything up to where the current place is written."""
        with self._changed:
            if lane is not self._lane:
                return
            while self._unkept and self._unkept[0][1] <= lane.written:
                self._kept_seq = self._unkept.popleft()[0].seq
            seq = self._kept_seq
        with contextlib.suppress(RuntimeError):
            self._on_kept(seq)
