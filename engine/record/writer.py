"""Keeps lines in order and never makes the screen wait: one queue, one thread, one flush for what waits."""

from __future__ import annotations

import contextlib
from collections.abc import Callable
from pathlib import Path
from queue import Empty, SimpleQueue
from threading import Thread

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


class _Stop:
    """Last thing in the queue; a second one means that patience is over."""


_Item = tuple[Line, bytes] | Path | _Stop


class Writer:
    """The one writer of a log held open. Close it, or use it as a context: its thread is not a daemon.

    `on_kept(seq)` is called from that thread when everything up to a line has been flushed to the disk;
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
        self._store, self._create, self._wait_s = store, create, wait_s
        self._on_kept, self._on_trouble, self._on_moved = on_kept, on_trouble, on_moved
        self._put_seq = self._kept_seq = len(store.contents.lines)
        self._hash, self._whole = store.contents.hash, bytearray(store.contents.whole)
        self._queue: SimpleQueue[_Item] = SimpleQueue()
        self._pending: list[tuple[Line, bytes]] = []
        self._failures = 0
        self._closed = self._stopping = self._gave_up = False
        self._thread = Thread(target=self._run, name="log writer", daemon=False)
        self._thread.start()

    @property
    def name(self) -> str:
        """Where the log is now."""
        return self._store.name

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
        self._queue.put((line, chunk))

    def move_to(self, path: Path) -> None:
        """Go on in a new log at this path, which gets every line kept and every line waiting.

        Returns at once. `on_moved` tells when it is done; where it cannot be, it tells why and the old place
        stays.
        """
        self._queue.put(path)

    def close(self, patience_s: float = 5.0) -> tuple[Line, ...]:
        """Write what waits and let go of the log; the lines that could not be kept within so many seconds.

        A disk that never answers keeps the thread, and with it the program; its lines may still arrive.
        """
        self._closed = True
        self._queue.put(_Stop())
        self._thread.join(patience_s)
        self._gave_up = True
        self._queue.put(_Stop())
        self._thread.join(LAST_TRY_S)
        return tuple(line for line, _ in [*self._pending, *self._never_taken()])

    def __enter__(self) -> Writer:
        return self

    def __exit__(self, kind: object, error: BaseException | None, trace: object) -> None:
        if not (left := self.close()):
            return
        why = f"{len(left)} lines of {self.name} could not be written, the first of them line {left[0].seq}"
        if error is None:
            raise OSError(why)
        error.add_note(why)

    def _never_taken(self) -> list[tuple[Line, bytes]]:
        """Lines still in the queue of a thread that hangs or has died."""
        found = []
        with contextlib.suppress(Empty):
            while True:
                item = self._queue.get_nowait()
                if isinstance(item, tuple):
                    found.append(item)
        return found

    def _run(self) -> None:
        try:
            while not (self._gave_up or (self._stopping and not self._pending)):
                self._gather()
                self._keep()
        finally:
            with contextlib.suppress(OSError):
                self._store.close()

    def _gather(self) -> None:
        """Take all that waits; after a failed try wait for more no longer than until the next one."""
        timeout_s = self._wait_s(self._failures) if self._pending else None
        with contextlib.suppress(Empty):
            self._take(self._queue.get(timeout=timeout_s))
            while True:
                self._take(self._queue.get_nowait())

    def _take(self, item: _Item) -> None:
        if isinstance(item, tuple):
            self._pending.append(item)
        elif isinstance(item, Path):
            self._move(item)
        else:
            self._stopping = True

    def _keep(self) -> None:
        if self._pending:
            chunk = self._pending_bytes()
            try:
                self._store.append(chunk)
            except OSError as error:
                self._failed(error)
            else:
                self._kept(chunk)

    def _move(self, path: Path) -> None:
        chunk = self._pending_bytes()
        try:
            found = self._create(path, bytes(self._whole) + chunk)
        except (OSError, LogHeld) as error:
            self._moved(path, error)
            return
        left, self._store = self._store, found
        with contextlib.suppress(OSError):
            left.close()
        self._moved(path, None)
        self._kept(chunk)

    def _moved(self, path: Path, error: Trouble | None) -> None:
        with contextlib.suppress(RuntimeError):
            self._on_moved(path, error)

    def _pending_bytes(self) -> bytes:
        return b"".join(chunk for _, chunk in self._pending)

    def _kept(self, chunk: bytes) -> None:
        self._whole += chunk
        self._kept_seq += len(self._pending)
        self._pending.clear()
        self._failures = 0
        with contextlib.suppress(RuntimeError):  # a screen that has ended meanwhile must not stop the writing
            self._on_kept(self._kept_seq)

    def _failed(self, error: Trouble) -> None:
        self._failures += 1
        with contextlib.suppress(RuntimeError):
            self._on_trouble(error)
