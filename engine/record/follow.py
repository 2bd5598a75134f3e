"""Reading a log as it grows, without ever touching or blocking it."""

from __future__ import annotations

import os
from pathlib import Path
from typing import BinaryIO

from engine.errors import BadInput, LogDamaged
from engine.record.lines import FIRST_HASH, Line
from engine.record.store import scan, unusable


class Follower:
    """A reader that stays behind the last whole line it has given out. Holds nothing open between polls."""

    def __init__(self, path: Path) -> None:
        self._path = path
        self._file: os.stat_result | None = None
        self._offset, self._count, self._hash = 0, 0, FIRST_HASH

    def poll(self) -> tuple[Line, ...]:
        """The whole lines that came since the last poll; a line still being written waits for the next.

        Raises `LogDamaged` where a line is bad with more behind it, or where the file was cut back, replaced
        or removed since; `BadInput` where there was no log from the start.
        """
        try:
            with self._path.open("rb") as stream:
                return self._read_on(stream)
        except OSError as error:
            raise self._gone(error) from None

    def _read_on(self, stream: BinaryIO) -> tuple[Line, ...]:
        self._check_same(os.fstat(stream.fileno()))
        stream.seek(self._offset)
        found = scan(stream, str(self._path), self._count, self._hash)
        self._offset += len(found.whole)
        self._count += len(found.lines)
        self._hash = found.hash
        return found.lines

    def _check_same(self, now: os.stat_result) -> None:
        if self._file is not None and not os.path.samestat(now, self._file):
            raise self._changed("another file has taken its place")
        if now.st_size < self._offset:
            raise self._changed("the file was cut back behind a line already read")
        self._file = now

    def _gone(self, error: OSError) -> BadInput | LogDamaged:
        if self._file is not None:
            return self._changed(f"the file can no longer be read ({error.strerror})")
        return unusable(self._path, f"a log was expected, but it cannot be read: {error.strerror}")

    def _changed(self, why: str) -> LogDamaged:
        return LogDamaged(str(self._path), self._count, f"{why} while it was followed; open it again")
