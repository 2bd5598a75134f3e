"""The writer's thread on disks that fail, stall and die. Expected: what was put in, in order, each once."""

from __future__ import annotations

import errno
import os
import signal
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path
from queue import Queue
from threading import Event, get_ident

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from log_samples import encoded, line, lines

import engine
from engine.errors import LogHeld
from engine.record import writer as writer_module
from engine.record.lines import Line
from engine.record.store import DiskFile, FileStore, LogContents, MemoryStore, open_for_append, read_log
from engine.record.writer import Trouble, Writer, wait_s

PATIENCE_S = 20.0  # a bound for a broken program, never waited out


class Told:
    """What the writer said, and a way to wait for it."""

    def __init__(self) -> None:
        self.kept: list[int] = []
        self.troubles: list[Trouble] = []
        self.threads: set[int] = set()
        self._news: Queue[object] = Queue()

    def on_kept(self, seq: int) -> None:
        self.threads.add(get_ident())
        self.kept.append(seq)
        self._news.put(seq)

    def on_trouble(self, error: Trouble) -> None:
        self.troubles.append(error)
        self._news.put(error)

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


@pytest.fixture
def log(tmp_path: Path) -> Path:
    return tmp_path / "day.jsonl"


@pytest.fixture
def told() -> Told:
    return Told()


def put_all(writer: Writer, some: list[Line]) -> None:
    for one in some:
        writer.put(one)


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


FULL, BROKEN, READ_ONLY = errno.ENOSPC, errno.EIO, errno.EROFS
SCRIPTS: list[list[tuple[str, int | None]]] = [
    [("write", FULL)] * 5,
    [("write", BROKEN), ("write", READ_ONLY)],
    [("short", 17)] * 4,
    [("short", 300), ("write", FULL), ("write", FULL)],
    [("sync", BROKEN)] * 3,
    [("short", 40), ("write", None), ("sync", BROKEN), ("short", 1), ("write", FULL)],
]


@pytest.mark.parametrize("script", SCRIPTS)
def test_a_disk_that_fails_for_a_while_loses_doubles_and_halves_nothing(
    log: Path, told: Told, script: list[tuple[str, int | None]]
) -> None:
    store = FileStore(BadDisk(log, list(script)), LogContents())
    writer = Writer(store, told.on_kept, told.on_trouble, wait_s=lambda _failures: 0.0)
    put_all(writer, lines(8))
    told.until(lambda: told.kept and told.kept[-1] == 8)
    assert writer.close(PATIENCE_S) == ()
    assert log.read_bytes() == b"".join(encoded(lines(8)))
    assert [error.errno for error in told.troubles if isinstance(error, OSError)] == [
        number for call, number in script if call != "short" and number is not None
    ]


CALLS = st.one_of(
    st.tuples(st.just("short"), st.integers(1, 600)),
    st.tuples(st.sampled_from(["write", "sync"]), st.sampled_from([FULL, BROKEN, READ_ONLY, None])),
)


@settings(deadline=None, max_examples=25)
@given(script=st.lists(CALLS, max_size=10), groups=st.lists(st.integers(1, 3), min_size=1, max_size=4))
def test_whatever_a_disk_does_the_file_is_the_log_once_it_works(
    tmp_path_factory: pytest.TempPathFactory, script: list[tuple[str, int | None]], groups: list[int]
) -> None:
    log, told = tmp_path_factory.mktemp("disk") / "day.jsonl", Told()
    disk = BadDisk(log, list(script))
    writer = Writer(
        FileStore(disk, LogContents()), told.on_kept, told.on_trouble, wait_s=lambda _failures: 0.0
    )
    seq = 0
    for size in groups:
        put_all(writer, lines(size, first=seq + 1))
        seq += size
        told.until(lambda upto=seq: told.kept and told.kept[-1] == upto)
        assert list(read_log(log).lines) == lines(seq)
    assert writer.close(PATIENCE_S) == ()
    assert log.read_bytes() == b"".join(encoded(lines(seq)))


def test_lines_put_while_the_disk_is_dead_wait_and_are_kept_when_it_works_again(told: Told) -> None:
    store = DeadStore()
    writer = Writer(store, told.on_kept, told.on_trouble, wait_s=lambda _failures: PATIENCE_S)
    for number in (1, 2, 3):
        writer.put(line(number))
        told.until(lambda upto=number: len(told.troubles) >= upto)
    assert told.kept == []
    store.dead = False
    writer.put(line(4))
    told.until(lambda: told.kept == [4])
    assert writer.close(PATIENCE_S) == ()
    assert store.whole() == b"".join(encoded(lines(4)))


def test_a_failed_write_is_tried_again_without_any_new_line(told: Told) -> None:
    store = DeadStore()
    asked: list[int] = []

    def soon(failures: int) -> float:
        asked.append(failures)
        store.dead = failures < 3
        return 0.0

    writer = Writer(store, told.on_kept, told.on_trouble, wait_s=soon)
    writer.put(line(1))
    told.until(lambda: told.kept == [1])
    store.dead = True
    writer.put(line(2))
    told.until(lambda: told.kept == [1, 2])
    assert asked == [1, 2, 3, 1, 2, 3]
    assert writer.close(PATIENCE_S) == ()


@pytest.mark.parametrize(
    ("failures", "seconds"), [(1, 0.25), (2, 0.5), (3, 1.0), (5, 4.0), (6, 5.0), (5000, 5.0)]
)
def test_tries_come_ever_more_slowly_up_to_five_seconds(failures: int, seconds: float) -> None:
    assert wait_s(failures) == seconds


def test_closing_on_a_dead_disk_says_which_lines_were_not_written(log: Path, told: Told) -> None:
    disk = BadDisk(log, [])
    writer = Writer(FileStore(disk, LogContents()), told.on_kept, told.on_trouble)
    put_all(writer, lines(2))
    told.until(lambda: told.kept and told.kept[-1] == 2)
    disk.script += [("short", 30)] + [("write", FULL), ("short", 30)] * 50
    put_all(writer, lines(3, first=3))
    told.until(lambda: told.troubles)
    disk.script[:] = [("write", FULL)] * 50
    assert list(writer.close(patience_s=0.0)) == lines(3, first=3)
    assert log.read_bytes() == b"".join(encoded(lines(2)))


def test_closing_does_not_wait_for_ever_on_a_disk_that_never_answers(
    told: Told, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(writer_module, "LAST_TRY_S", 0.0)
    store = SlowStore()
    writer = Writer(store, told.on_kept, told.on_trouble)
    writer.put(line(1))
    store.entered.get(timeout=PATIENCE_S)
    put_all(writer, lines(2, first=2))
    assert list(writer.close(patience_s=0.0)) == lines(3)
    store.let_through.set()
    writer._thread.join(PATIENCE_S)
    assert not writer._thread.is_alive()


def test_leaving_the_context_with_lines_unwritten_is_an_error_that_counts_them(told: Told) -> None:
    def leave(failing: bool) -> None:
        with Writer(DeadStore(), told.on_kept, told.on_trouble) as writer:
            put_all(writer, lines(2))
            writer.close(patience_s=0.0)
            if failing:
                raise KeyError("first")

    with pytest.raises(OSError, match="2 lines of memory could not be written, the first of them line 1"):
        leave(failing=False)
    with pytest.raises(KeyError) as caught:
        leave(failing=True)
    assert "2 lines of memory" in caught.value.__notes__[0]


def test_the_log_moves_to_another_folder_with_all_it_kept_and_all_that_waits(
    log: Path, tmp_path: Path, told: Told
) -> None:
    disk = BadDisk(log, [])
    writer = Writer(FileStore(disk, LogContents()), told.on_kept, told.on_trouble)
    put_all(writer, lines(3))
    told.until(lambda: told.kept and told.kept[-1] == 3)
    disk.script[:] = [("short", 50), ("write", BROKEN)] * 99
    put_all(writer, lines(2, first=4))
    told.until(lambda: told.troubles)
    disk.script[:] = [("write", BROKEN)] * 99
    there = tmp_path / "elsewhere" / "day.jsonl"
    writer.move_to(there)
    told.until(lambda: told.kept[-1] == 5)
    assert writer.name == str(there)
    writer.put(line(6))
    assert writer.close(PATIENCE_S) == ()
    assert there.read_bytes() == b"".join(encoded(lines(6)))
    assert log.read_bytes() == b"".join(encoded(lines(3)))
    open_for_append(log).close()


def test_a_removed_folder_is_trouble_until_the_log_has_moved(log: Path, tmp_path: Path, told: Told) -> None:
    folder = tmp_path / "stick"
    writer = Writer(open_for_append(folder / "day.jsonl"), told.on_kept, told.on_trouble)
    writer.put(line(1))
    told.until(lambda: told.kept == [1])
    (folder / "day.jsonl").unlink()
    folder.rmdir()
    writer.put(line(2))
    told.until(lambda: told.troubles)
    assert isinstance(told.troubles[0], FileNotFoundError)
    writer.move_to(log)
    told.until(lambda: told.kept[-1] == 2)
    assert writer.close(PATIENCE_S) == ()
    assert list(read_log(log).lines) == lines(2)


def test_a_place_that_cannot_be_moved_to_is_trouble_and_the_old_place_stays(
    log: Path, tmp_path: Path, told: Told
) -> None:
    taken = tmp_path / "taken.jsonl"
    taken.write_bytes(b"another day")
    writer = Writer(open_for_append(log), told.on_kept, told.on_trouble)
    put_all(writer, lines(2))
    writer.move_to(taken)
    told.until(lambda: told.troubles)
    writer.put(line(3))
    assert writer.close(PATIENCE_S) == ()
    assert isinstance(told.troubles[0], FileExistsError)
    assert taken.read_bytes() == b"another day"
    assert list(read_log(log).lines) == lines(3)


def test_a_new_place_that_fails_while_it_is_filled_is_trouble_too(told: Told, tmp_path: Path) -> None:
    def held(path: Path, _whole: bytes) -> MemoryStore:
        raise LogHeld(str(path), "another program")

    store = MemoryStore()
    writer = Writer(store, told.on_kept, told.on_trouble, create=held)
    writer.put(line(1))
    writer.move_to(tmp_path / "x.jsonl")
    assert writer.close(PATIENCE_S) == ()
    assert isinstance(told.troubles[0], LogHeld)
    assert store.whole() == b"".join(encoded(lines(1)))


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
