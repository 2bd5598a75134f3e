"""One writer a log: a lock on the log's own descriptor, which frees itself when its program ends.

POSIX: `flock`, which a second open and close of the same file does not lose. Readers are never blocked.
Network file systems may not keep it; Windows is untested.
"""

from __future__ import annotations

import errno
import os
import sys
from pathlib import Path

from engine.errors import LogHeld

PROC = Path("/proc")
_HELD = (errno.EWOULDBLOCK, errno.EAGAIN, errno.EACCES)


def hold(descriptor: int, path: Path) -> None:
    """Take the log for writing. Raises `LogHeld` naming its holder, `OSError` where there are no locks."""
    try:
        _lock(descriptor)
    except OSError as error:
        if error.errno in _HELD:
            raise LogHeld(str(path), holder_of(descriptor)) from None
        why = f"no lock can be taken here ({error.strerror}); choose another folder"
        raise OSError(error.errno, why, str(path)) from None


if sys.platform == "win32":
    import msvcrt

    _FAR = 2**31 - 2  # a byte no log reaches, since locked bytes cannot be read

    def _lock(descriptor: int) -> None:
        os.lseek(descriptor, _FAR, os.SEEK_SET)
        msvcrt.locking(descriptor, msvcrt.LK_NBLCK, 1)

else:
    import fcntl

    def _lock(descriptor: int) -> None:
        fcntl.flock(descriptor, fcntl.LOCK_EX | fcntl.LOCK_NB)


def holder_of(descriptor: int, proc: Path = PROC) -> str:
    """Who holds the lock, as far as this user can see: `process 4711 (python3)`, else `another program`."""
    for pid in _candidates(os.fstat(descriptor).st_ino, proc):
        if _has_open(pid, descriptor, proc):
            return f"process {pid} ({_name(pid, proc)})"
    return "another program"


def _candidates(inode: int, proc: Path) -> list[str]:
    """Processes with a lock on a file of this number, which need not be on the same disk."""
    try:
        rows = [row.split() for row in (proc / "locks").read_text(encoding="ascii").splitlines()]
    except OSError:
        return []
    return [row[4] for row in rows if len(row) > 5 and row[1] == "FLOCK" and row[5].endswith(f":{inode}")]


def _has_open(pid: str, descriptor: int, proc: Path) -> bool:
    log = os.fstat(descriptor)
    try:
        return any(os.path.samestat(entry.stat(), log) for entry in (proc / pid / "fd").iterdir())
    except OSError:
        return False


def _name(pid: str, proc: Path) -> str:
    try:
        return (proc / pid / "comm").read_text(encoding="utf-8", errors="replace").strip()
    except OSError:
        return "just ended"
