"""Where a log's bytes are kept: a file, or memory for rehearsals and tests.

Whole lines with a good chain count. A bad last line is a torn tail: reported to readers, set aside before the
first append. A bad line with more behind it is damage and is refused, naming the line.
"""

from __future__ import annotations

import contextlib
import errno
import io
import os
import sys
from dataclasses import dataclass, field
from pathlib import Path
from typing import BinaryIO, Protocol

from engine.errors import BadInput, LogDamaged, Problem
from engine.record.hold import hold
from engine.record.lines import FIRST_HASH, LONGEST_LINE, OPENING, Line, decode, looks_sealed

FILLING = b"\0\r\n"  # what a power cut may leave where data was meant to be


@dataclass(frozen=True)
class LogContents:
    """What a log holds: good lines, the torn bytes after them, the last hash, the good lines' own bytes."""

    lines: tuple[Line, ...] = ()
    tail: bytes = b""
    hash: str = FIRST_HASH
    whole: bytes = field(default=b"", repr=False)


class Store(Protocol):
    """A log held for writing. `set_aside` says where a torn tail went, empty where there was none."""

    name: str
    contents: LogContents  # as found on opening, without the tail
    set_aside: str

    def append(self, chunk: bytes) -> None:
        """Keep whole lines after those kept; flushed on return. After an `OSError` nothing of them counts."""
        ...

    def close(self) -> None:
        """Let go of the log; what was not kept is not left behind."""
        ...


def read_log(path: Path) -> LogContents:
    """The log as a reader sees it, written to or not; `tail` holds the bytes of an unfinished last line.

    Raises `BadInput` for what is missing, empty or no log, `LogDamaged` naming the first bad line inside.
    """
    try:
        with path.open("rb") as stream:
            contents = scan(stream, str(path))
    except OSError as error:
        raise unusable(path, f"a log was expected, but it cannot be read: {error.strerror}") from None
    if not contents.lines:
        raise unusable(path, "a log was expected, but it holds no whole line yet")
    return contents


def scan(stream: BinaryIO, name: str, lines_before: int = 0, previous_hash: str = FIRST_HASH) -> LogContents:
    """The lines from where the stream stands, following on from so many lines and their last hash.

    Raises `LogDamaged` for a bad line with more behind it, `BadInput` where no log begins.
    """
    lines: list[Line] = []
    whole, last = bytearray(), previous_hash
    while raw := stream.readline(LONGEST_LINE + 1):
        number = lines_before + len(lines) + 1
        try:
            line, last = decode(raw, last, number)
        except ValueError as why:
            tail = _tail(raw, stream, name, number, str(why))
            return LogContents(tuple(lines), tail, last, bytes(whole))
        lines.append(line)
        whole += raw
    return LogContents(tuple(lines), b"", last, bytes(whole))


def _tail(raw: bytes, stream: BinaryIO, name: str, number: int, why: str) -> bytes:
    """The torn tail that a bad line is, unless it is damage or no log at all."""
    if number == 1 and not could_begin_a_log(raw):
        raise unusable(Path(name), "a log was expected, but it does not begin as one")
    if len(raw) > LONGEST_LINE:
        raise LogDamaged(name, number, f"longer than {LONGEST_LINE} bytes, so no line of a log")
    rest = stream.read()
    if rest.strip(FILLING):
        raise LogDamaged(name, number, why)
    return raw + rest


def could_begin_a_log(raw: bytes) -> bool:
    """Whole, torn, damaged or never filled: the first line of a log and not of somebody's other file."""
    opening = raw.rstrip(b"\n")[: len(OPENING)]
    return OPENING.startswith(opening) or not raw.strip(FILLING) or looks_sealed(raw)


def unusable(path: Path, accepted: str) -> BadInput:
    """The refusal of a file that cannot be read as a log."""
    return BadInput([Problem(file=str(path), where="whole file", given="", accepted=accepted)])


class DiskFile:
    """A file's descriptor: write at a place, flush to the disk, cut."""

    def __init__(self, path: Path, flags: int) -> None:
        self.path = path
        self._descriptor = os.open(path, flags | os.O_RDWR | getattr(os, "O_BINARY", 0), 0o644)
        try:
            hold(self._descriptor, path)
        except BaseException:
            self.close()
            raise

    def scan(self) -> LogContents:
        """The log in it."""
        with open(self._descriptor, "rb", closefd=False) as stream:
            stream.seek(0)
            return scan(stream, str(self.path))

    def write_at(self, offset: int, data: bytes) -> int:
        """Write some of the data at a place; the number of bytes written."""
        os.lseek(self._descriptor, offset, os.SEEK_SET)
        return os.write(self._descriptor, data)

    def sync(self) -> None:
        """Flush to the disk itself. Raises `OSError` where the path no longer leads to this file."""
        _flush(self._descriptor)
        if not os.path.samestat(os.stat(self.path), os.fstat(self._descriptor)):
            raise OSError(errno.ENOENT, "another file has taken the log's place", str(self.path))

    def cut(self, size: int) -> None:
        """Leave only the first bytes."""
        os.ftruncate(self._descriptor, size)

    def close(self) -> None:
        """Let go of it, and with it of the lock."""
        os.close(self._descriptor)


def _flush(descriptor: int) -> None:
    if sys.platform == "darwin":
        import fcntl

        fcntl.fcntl(descriptor, fcntl.F_FULLFSYNC)  # fsync there stops at the drive's own cache
    else:
        os.fsync(descriptor)


def _flush_folder(folder: Path) -> None:
    """A new file is only kept once its folder is; Windows has no such call."""
    if sys.platform != "win32":
        descriptor = os.open(folder, os.O_RDONLY)
        try:
            os.fsync(descriptor)
        finally:
            os.close(descriptor)


class FileStore:
    """A log in a file, held for writing."""

    def __init__(self, disk: DiskFile, contents: LogContents, set_aside: str = "") -> None:
        self.name, self.contents, self.set_aside = str(disk.path), contents, set_aside
        self._disk = disk
        self._size = len(contents.whole)
        self._half_done = False

    def append(self, chunk: bytes) -> None:
        """Write and flush. A second try overwrites what the first left, so no byte can come twice."""
        self._half_done = True
        written = 0
        while written < len(chunk):
            written += self._disk.write_at(self._size + written, chunk[written:])
        self._disk.sync()
        self._size += len(chunk)
        self._half_done = False

    def close(self) -> None:
        """Let go of the log and its lock; cuts off what a failed append left, as far as the disk lets it."""
        if self._half_done:
            with contextlib.suppress(OSError):
                self._disk.cut(self._size)
        self._disk.close()


def open_for_append(path: Path) -> FileStore:
    """The log of this path held for writing, begun where there was none, its torn tail set aside beside it.

    Raises `LogHeld`, `LogDamaged`, `BadInput` for a file that is no log, `OSError`.
    """
    if not path.exists():
        with contextlib.suppress(FileExistsError):
            return create_log(path)
    disk = DiskFile(path, 0)
    try:
        contents = disk.scan()
        aside = _set_aside(disk, contents) if contents.tail else ""
        return FileStore(disk, _without_tail(contents), aside)
    except BaseException:
        disk.close()
        raise


def create_log(path: Path, whole: bytes = b"") -> FileStore:
    """A new log, held for writing, beginning with these whole lines; all of it or no file at all.

    Raises `FileExistsError`, `LogHeld`, `OSError`.
    """
    path.parent.mkdir(parents=True, exist_ok=True)
    disk = DiskFile(path, os.O_CREAT | os.O_EXCL)
    store = FileStore(disk, LogContents())
    try:
        store.append(whole)
        _flush_folder(path.parent)
        store.contents = disk.scan()
    except BaseException:
        store.close()
        path.unlink(missing_ok=True)
        raise
    return store


def _set_aside(disk: DiskFile, contents: LogContents) -> str:
    """Keep the tail in a file of its own before it is cut off; the new file's path."""
    aside = _keep_beside(disk.path, contents.tail)
    disk.cut(len(contents.whole))
    disk.sync()
    return str(aside)


def _keep_beside(path: Path, tail: bytes) -> Path:
    number = 1
    while (aside := path.with_name(f"{path.name}.torn-{number}")).exists():
        number += 1
    with aside.open("xb") as stream:
        stream.write(tail)
        stream.flush()
        _flush(stream.fileno())
    _flush_folder(path.parent)
    return aside


def _without_tail(contents: LogContents) -> LogContents:
    return LogContents(contents.lines, b"", contents.hash, contents.whole)


class MemoryStore:
    """A log in memory; it is gone with the program. `torn` holds a tail that was set aside."""

    name = "memory"

    def __init__(self, whole: bytes = b"") -> None:
        found = scan(io.BytesIO(whole), self.name)
        self.contents = _without_tail(found)
        self.torn = found.tail
        self.set_aside = "memory" if found.tail else ""
        self._bytes = bytearray(found.whole)

    def append(self, chunk: bytes) -> None:
        """Keep whole lines after those kept."""
        self._bytes += chunk

    def whole(self) -> bytes:
        """Everything kept."""
        return bytes(self._bytes)

    def close(self) -> None:
        """Nothing to let go of."""
