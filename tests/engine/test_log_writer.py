"""The writer's thread: order, flushes, refusals, and a killed program. Expected: what was put in, in order, each once."""

from __future__ import annotations

import os
import signal
import subprocess
import sys
from pathlib import Path
from threading import get_ident

import pytest
from bad_disks import PATIENCE_S, SlowStore, Told, put_all
from log_samples import encoded, line, lines

import engine
from engine.record.lines import Line
from engine.record.store import DiskFile, FileStore, LogContents, MemoryStore, open_for_append, read_log
from engine.record.writer import Writer


@pytest.fixture
def log(tmp_path: Path) -> Path:
    return tmp_path / "day.jsonl"


@pytest.fixture
def told() -> Told:
    return Told()


def test_lines_are_kept_in_order_and_told_from_another_thread(log: Path, told: Told) -> None:
    writer = Writer(open_for_append(log), told.on_kept, told.on_trouble)
    put_all(writer, lines(300))
    assert writer.close(PATIENCE_S) == ()
    assert list(read_log(log).lines) == lines(300)
    assert told.kept == sorted(set(told.kept))
    assert told.kept[-1] == 300
    assert get_ident() not in told.threads
    assert told.troubles == []


def test_a_log_is_gone_on_with_and_its_chain_too(log: Path, told: Told) -> None:
    for first in (1, 4, 7):
        with Writer(open_for_append(log), told.on_kept, told.on_trouble) as writer:
            put_all(writer, lines(3, first))
    assert log.read_bytes() == b"".join(encoded(lines(9)))
    assert told.kept[-1] == 9


def test_all_that_waits_goes_out_in_one_write_and_nothing_waits_for_the_disk(told: Told) -> None:
    store = SlowStore()
    writer = Writer(store, told.on_kept, told.on_trouble)
    writer.put(line(1))
    store.entered.get(timeout=PATIENCE_S)
    put_all(writer, lines(99, first=2))
    assert told.kept == []
    store.let_through.set()
    assert writer.close(PATIENCE_S) == ()
    chunks = encoded(lines(100))
    assert store.chunks == [chunks[0], b"".join(chunks[1:])]
    assert told.kept == [1, 100]


def test_nothing_is_told_as_kept_before_it_is_flushed(log: Path, told: Told) -> None:
    flushed: list[bool] = []

    class Watched(DiskFile):
        def sync(self) -> None:
            flushed.append(told.kept == [])
            super().sync()

    store = FileStore(Watched(log, os.O_CREAT), LogContents())
    with Writer(store, told.on_kept, told.on_trouble) as writer:
        writer.put(line(1))
    assert flushed == [True]
    assert told.kept == [1]


def test_a_screen_that_has_ended_does_not_stop_the_writing() -> None:
    def ended(_said: object) -> None:
        raise RuntimeError("Event loop is closed")

    store = MemoryStore()
    writer = Writer(store, ended, ended)
    writer.put(line(1))
    put_all(writer, lines(4, first=2))
    assert writer.close(PATIENCE_S) == ()
    assert store.whole() == b"".join(encoded(lines(5)))


@pytest.mark.parametrize(
    ("bad", "why"),
    [
        (line(3), "line 3 was handed over where 2 is next"),
        (line(1), "line 1 was handed over where 2 is next"),
        (line(2, data={"x": float("nan")}), "not a finite number"),
    ],
)
def test_a_line_that_cannot_stand_next_is_refused_and_the_log_goes_on(
    told: Told, bad: Line, why: str
) -> None:
    store = MemoryStore()
    with Writer(store, told.on_kept, told.on_trouble) as writer:
        writer.put(line(1))
        with pytest.raises(ValueError, match=why):
            writer.put(bad)
        writer.put(line(2))
    assert store.whole() == b"".join(encoded(lines(2)))


def test_nothing_can_be_put_into_a_closed_log(told: Told) -> None:
    writer = Writer(MemoryStore(), told.on_kept, told.on_trouble)
    assert writer.close(PATIENCE_S) == ()
    with pytest.raises(RuntimeError, match="the log is closed"):
        writer.put(line(1))


def test_the_thread_is_no_daemon_and_the_lock_is_free_after_closing(log: Path, told: Told) -> None:
    writer = Writer(open_for_append(log), told.on_kept, told.on_trouble)
    assert not writer._thread.daemon
    writer.close(PATIENCE_S)
    open_for_append(log).close()


CHILD = """
import sys
from pathlib import Path
from threading import Semaphore
from log_samples import line
from engine.record.store import open_for_append
from engine.record.writer import Writer

store = open_for_append(Path(sys.argv[1]))
room, kept = Semaphore(40), [len(store.contents.lines)]

def on_kept(seq):
    print(seq, flush=True)
    room.release(seq - kept[0])
    kept[0] = seq

writer = Writer(store, on_kept, print)
for seq in range(kept[0] + 1, kept[0] + 100_000):
    room.acquire()
    writer.put(line(seq))
"""


@pytest.mark.skipif(sys.platform == "win32", reason="kills as POSIX does")
def test_every_line_told_as_kept_by_a_killed_program_is_in_the_file(log: Path) -> None:
    paths = [str(Path(engine.__file__).parents[1]), str(Path(__file__).parent)]
    kept = 0
    for groups in (1, 7, 30):
        child = subprocess.Popen(
            [sys.executable, "-c", CHILD, str(log)],
            stdout=subprocess.PIPE,
            text=True,
            env=os.environ | {"PYTHONPATH": os.pathsep.join(paths)},
        )
        assert child.stdout is not None
        told = [child.stdout.readline() for _ in range(groups)]
        child.send_signal(signal.SIGKILL)
        told += child.stdout.readlines()
        child.stdout.close()
        assert child.wait() == -signal.SIGKILL
        kept = max(kept, *(int(seq) for seq in told if seq.endswith("\n")))
        found = list(read_log(log).lines)
        assert len(found) >= kept > 0
        assert found == lines(len(found))
