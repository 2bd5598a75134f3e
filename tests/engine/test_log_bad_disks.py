"""The writer on disks that fail, stall and die. Expected: what was put in, in order, each once."""

from __future__ import annotations

import errno
from pathlib import Path
from queue import Queue
from threading import Event

import pytest
from bad_disks import PATIENCE_S, BadDisk, DeadStore, SlowStore, Told, put_all
from hypothesis import given, settings
from hypothesis import strategies as st
from log_samples import encoded, line, lines

from engine.errors import LogHeld
from engine.record import writer as writer_module
from engine.record.store import FileStore, LogContents, MemoryStore, create_log, open_for_append, read_log
from engine.record.writer import Writer, wait_s


@pytest.fixture
def log(tmp_path: Path) -> Path:
    return tmp_path / "day.jsonl"


@pytest.fixture
def told() -> Told:
    return Told()


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
    writer = Writer(FileStore(disk, LogContents()), told.on_kept, told.on_trouble, on_moved=told.on_moved)
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
    assert told.moves == [(there, None)]
    writer.put(line(6))
    assert writer.close(PATIENCE_S) == ()
    assert there.read_bytes() == b"".join(encoded(lines(6)))
    assert log.read_bytes() == b"".join(encoded(lines(3)))
    open_for_append(log).close()


def test_a_disk_that_never_answers_does_not_hold_up_the_move_to_another(log: Path, told: Told) -> None:
    store = SlowStore()
    writer = Writer(store, told.on_kept, told.on_trouble, on_moved=told.on_moved)
    old_thread = writer._thread
    writer.put(line(1))
    store.entered.get(timeout=PATIENCE_S)
    writer.put(line(2))
    writer.move_to(log)
    told.until(lambda: told.kept == [2])
    writer.put(line(3))
    told.until(lambda: told.kept == [2, 3])
    store.let_through.set()
    old_thread.join(PATIENCE_S)
    assert not old_thread.is_alive()
    assert writer.close(PATIENCE_S) == ()
    assert (told.kept, told.moves, told.troubles) == ([2, 3], [(log, None)], [])
    assert store.chunks == encoded(lines(1))
    assert log.read_bytes() == b"".join(encoded(lines(3)))


def test_a_new_place_that_is_slow_does_not_hold_up_the_old_and_gets_what_came_meanwhile(
    log: Path, tmp_path: Path, told: Told
) -> None:
    there, asked, let_through = tmp_path / "there.jsonl", Queue[Path](), Event()

    def slowly(path: Path, whole: bytes) -> FileStore:
        asked.put(path)
        assert let_through.wait(PATIENCE_S)
        return create_log(path, whole)

    writer = Writer(
        open_for_append(log), told.on_kept, told.on_trouble, on_moved=told.on_moved, create=slowly
    )
    writer.put(line(1))
    writer.move_to(there)
    asked.get(timeout=PATIENCE_S)
    put_all(writer, lines(2, first=2))
    told.until(lambda: told.kept and told.kept[-1] == 3)
    let_through.set()
    told.until(lambda: told.moves)
    writer.put(line(4))
    assert writer.close(PATIENCE_S) == ()
    assert told.kept == sorted(told.kept)
    assert list(read_log(log).lines) == lines(3)
    assert list(read_log(there).lines) == lines(4)


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


def test_a_place_that_cannot_be_moved_to_is_told_and_the_old_place_stays(
    log: Path, tmp_path: Path, told: Told
) -> None:
    taken = tmp_path / "taken.jsonl"
    taken.write_bytes(b"another day")
    writer = Writer(open_for_append(log), told.on_kept, told.on_trouble, on_moved=told.on_moved)
    put_all(writer, lines(2))
    writer.move_to(taken)
    told.until(lambda: told.moves)
    writer.put(line(3))
    assert writer.close(PATIENCE_S) == ()
    assert [(path, type(error)) for path, error in told.moves] == [(taken, FileExistsError)]
    assert told.troubles == []
    assert taken.read_bytes() == b"another day"
    assert list(read_log(log).lines) == lines(3)


def test_a_new_place_that_fails_while_it_is_filled_is_told_too(told: Told, tmp_path: Path) -> None:
    def held(path: Path, _whole: bytes) -> MemoryStore:
        raise LogHeld(str(path), "another program")

    store = MemoryStore()
    writer = Writer(store, told.on_kept, told.on_trouble, on_moved=told.on_moved, create=held)
    writer.put(line(1))
    writer.move_to(tmp_path / "x.jsonl")
    assert writer.close(PATIENCE_S) == ()
    assert [type(error) for _, error in told.moves] == [LogHeld]
    assert store.whole() == b"".join(encoded(lines(1)))
