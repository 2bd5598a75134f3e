"""The lock of the log. Expected: what another process, started here, can and cannot do to the same file."""

from __future__ import annotations

import errno
import os
import subprocess
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

import pytest
from log_samples import encoded, lines

import engine
from engine.errors import LogHeld
from engine.record import hold as hold_module
from engine.record.hold import holder_of
from engine.record.store import open_for_append, read_log

pytestmark = pytest.mark.skipif(sys.platform != "linux", reason="the holder's name comes from /proc")

HOLDER = """
import sys
from pathlib import Path
from engine.record.store import open_for_append
store = open_for_append(Path(sys.argv[1]))
print("held", flush=True)
sys.stdin.read()
"""


@contextmanager
def another_program(log: Path) -> Iterator[subprocess.Popen[str]]:
    """A process that holds the log until its input ends."""
    root = str(Path(engine.__file__).parents[1])
    child = subprocess.Popen(
        [sys.executable, "-c", HOLDER, str(log)],
        stdin=subprocess.PIPE,
        stdout=subprocess.PIPE,
        text=True,
        env=os.environ | {"PYTHONPATH": root},
    )
    try:
        assert child.stdout is not None
        assert child.stdout.readline() == "held\n"
        yield child
    finally:
        child.kill()
        child.communicate()


@pytest.fixture
def log(tmp_path: Path) -> Path:
    path = tmp_path / "day.jsonl"
    path.write_bytes(b"".join(encoded(lines(2))))
    return path


def test_a_second_writer_is_refused_and_told_which_process_holds_the_log(log: Path) -> None:
    with another_program(log) as child:
        with pytest.raises(LogHeld, match=rf"written by process {child.pid} \(.+\); look at it") as caught:
            open_for_append(log)
        assert caught.value.path == str(log)
        assert len(read_log(log).lines) == 2


def test_the_lock_is_gone_with_its_process_however_that_ended(log: Path) -> None:
    with another_program(log) as child:
        child.kill()
        child.wait()
        open_for_append(log).close()


def test_a_second_writer_in_the_same_program_is_refused_too(log: Path) -> None:
    first = open_for_append(log)
    with pytest.raises(LogHeld, match=f"process {os.getpid()} "):
        open_for_append(log)
    first.close()
    open_for_append(log).close()


def test_reading_beside_the_writer_does_not_lose_its_lock(log: Path) -> None:
    first = open_for_append(log)
    read_log(log)
    with pytest.raises(LogHeld):
        open_for_append(log)
    first.close()


def test_a_refused_writer_changes_nothing(log: Path) -> None:
    first = open_for_append(log)
    with log.open("ab") as torn:
        torn.write(b"half a li")
    before = log.read_bytes()
    with pytest.raises(LogHeld):
        open_for_append(log)
    assert log.read_bytes() == before
    first.close()


def test_a_holder_that_cannot_be_seen_is_another_program(log: Path, tmp_path: Path) -> None:
    with log.open("rb") as stream:
        inode = os.fstat(stream.fileno()).st_ino
        assert holder_of(stream.fileno(), tmp_path) == "another program"
        (tmp_path / "locks").write_text(
            f"1: FLOCK  ADVISORY  WRITE 999 08:01:{inode} 0 EOF\n", encoding="ascii"
        )
        assert holder_of(stream.fileno(), tmp_path) == "another program"


def test_a_lock_on_another_file_of_the_same_number_is_not_the_holder(log: Path, tmp_path: Path) -> None:
    """Numbers repeat from disk to disk: process 42 holds one elsewhere, process 43 the log."""
    rows = []
    for pid, held in (("42", tmp_path), ("43", log)):
        (tmp_path / pid / "fd").mkdir(parents=True)
        (tmp_path / pid / "fd" / "3").symlink_to(held)
        (tmp_path / pid / "comm").write_text(f"name{pid}\n", encoding="ascii")
        rows.append(f"1: FLOCK  ADVISORY  WRITE {pid} 08:01:{log.stat().st_ino} 0 EOF\n")
    (tmp_path / "locks").write_text("".join(rows), encoding="ascii")
    with log.open("rb") as stream:
        assert holder_of(stream.fileno(), tmp_path) == "process 43 (name43)"


def test_a_place_without_locks_says_so(log: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def no_locks(_descriptor: int) -> None:
        raise OSError(errno.ENOLCK, "No locks available")

    monkeypatch.setattr(hold_module, "_lock", no_locks)
    with pytest.raises(
        OSError, match=r"no lock can be taken here .No locks available.; choose another folder"
    ):
        open_for_append(log)
