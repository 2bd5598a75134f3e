"""Logs in files and in memory: one contract, torn tails, damage. Expected: what was put in, byte for byte."""

from __future__ import annotations

import os
from collections.abc import Callable
from io import BytesIO
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from log_samples import encoded, line, lines

from engine.errors import BadInput, LogDamaged
from engine.record import folder
from engine.record.lines import FIRST_HASH, LONGEST_LINE, Line, encode
from engine.record.store import (
    FileStore,
    MemoryStore,
    Store,
    create_log,
    open_for_append,
    read_log,
    scan,
)

Opener = Callable[[bytes], Store]


def in_memory(_folder: Path) -> tuple[Opener, Callable[[Store], bytes]]:
    def whole(store: Store) -> bytes:
        assert isinstance(store, MemoryStore)
        return store.whole()

    return MemoryStore, whole


def in_a_file(folder: Path) -> tuple[Opener, Callable[[Store], bytes]]:
    def open_(given_bytes: bytes) -> Store:
        path = folder / f"{len(list(folder.iterdir()))}.jsonl"
        path.write_bytes(given_bytes)
        return open_for_append(path)

    return open_, lambda store: Path(store.name).read_bytes()


@pytest.fixture(params=[in_memory, in_a_file])
def kind(request: pytest.FixtureRequest, tmp_path: Path) -> tuple[Opener, Callable[[Store], bytes]]:
    chosen: tuple[Opener, Callable[[Store], bytes]] = request.param(tmp_path)
    return chosen


class TestEveryStore:
    def test_starts_empty_from_nothing(self, kind: tuple[Opener, Callable[[Store], bytes]]) -> None:
        open_, whole = kind
        store = open_(b"")
        assert (store.contents.lines, store.contents.hash, store.set_aside) == ((), FIRST_HASH, "")
        store.close()
        assert whole(store) == b""

    def test_keeps_chunks_in_order_and_gives_them_back(
        self, kind: tuple[Opener, Callable[[Store], bytes]]
    ) -> None:
        open_, whole = kind
        store = open_(b"")
        chunks = encoded(lines(5))
        store.append(chunks[0])
        store.append(chunks[1] + chunks[2])
        store.close()
        again = open_(whole(store))
        assert list(again.contents.lines) == lines(3)
        again.append(chunks[3] + chunks[4])
        again.close()
        last = open_(whole(again))
        assert list(last.contents.lines) == lines(5)
        assert last.contents.hash.encode() in chunks[4]
        assert last.contents.whole == b"".join(chunks)
        last.close()

    @pytest.mark.parametrize("tail", [b'{"seq":3,"ki', b"\0" * 64, b"\0" * 64 + b"\n", b"\n", b"{}\n", b"x"])
    def test_sets_a_torn_tail_aside_and_goes_on_behind_the_last_good_line(
        self, kind: tuple[Opener, Callable[[Store], bytes]], tail: bytes
    ) -> None:
        open_, whole = kind
        chunks = encoded(lines(3))
        store = open_(chunks[0] + chunks[1] + tail)
        assert list(store.contents.lines) == lines(2)
        assert store.contents.tail == b""
        assert store.set_aside
        store.append(chunks[2])
        store.close()
        assert whole(store) == b"".join(chunks)

    def test_refuses_damage_inside_and_what_is_no_log(
        self, kind: tuple[Opener, Callable[[Store], bytes]]
    ) -> None:
        open_, _ = kind
        chunks = encoded(lines(3))
        with pytest.raises(LogDamaged, match="line 2"):
            open_(chunks[0] + chunks[1].replace(b"P1.2", b"P1.9") + chunks[2])
        with pytest.raises(BadInput, match="does not begin as one"):
            open_(b"time,what,which,who,value\n")


@pytest.fixture
def log(tmp_path: Path) -> Path:
    return tmp_path / "day.jsonl"


def written(log: Path, count: int) -> list[bytes]:
    chunks = encoded(lines(count))
    log.write_bytes(b"".join(chunks))
    return chunks


@pytest.mark.parametrize("good", [2, 3])
def test_a_log_cut_at_every_byte_of_its_last_two_lines_is_recovered_and_the_tail_kept(
    log: Path, good: int, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(os, "fsync", lambda _descriptor: None)  # a flush a byte takes seconds
    chunks = encoded(lines(4))
    everything, kept = b"".join(chunks), b"".join(chunks[:good])
    aside = log.with_name("day.jsonl.torn-1")
    for size in range(len(chunks[good])):
        tail = chunks[good][:size]
        log.write_bytes(kept + tail)
        assert (list(read_log(log).lines), read_log(log).tail) == (lines(good), tail)
        store = open_for_append(log)
        assert list(store.contents.lines) == lines(good)
        assert store.set_aside == (str(aside) if tail else "")
        store.append(b"".join(chunks[good:]))
        store.close()
        assert log.read_bytes() == everything
        assert (aside.read_bytes() if tail else b"") == tail
        aside.unlink(missing_ok=True)


def test_a_single_changed_byte_anywhere_inside_is_damage_of_the_line_it_stands_in() -> None:
    chunks = encoded(lines(4))
    everything = b"".join(chunks)
    inside = len(b"".join(chunks[:3])) - 1
    for place in range(inside):
        changed = bytearray(everything)
        changed[place] ^= 0x04
        with pytest.raises(LogDamaged) as caught:
            scan(BytesIO(changed), "day.jsonl")
        assert (caught.value.path, caught.value.line) == ("day.jsonl", 1 + everything[:place].count(b"\n"))


@pytest.mark.parametrize("place", range(12))
def test_a_line_end_where_the_first_line_begins_is_damage_of_line_1(place: int) -> None:
    everything = b"".join(encoded(lines(2)))
    with pytest.raises(LogDamaged, match="line 1"):
        MemoryStore(everything[:place] + b"\n" + everything[place + 1 :])


@settings(deadline=None, max_examples=60)
@given(st.data())
def test_any_changed_byte_of_any_value_is_noticed(data: st.DataObject) -> None:
    everything = b"".join(encoded(lines(4)))
    place = data.draw(st.integers(0, len(everything) - 1))
    value = data.draw(st.integers(0, 255).filter(lambda v: v != everything[place]))
    changed = everything[:place] + bytes([value]) + everything[place + 1 :]
    number = 1 + everything[:place].count(b"\n")
    try:
        store = MemoryStore(changed)
        found, tail = len(store.contents.lines) + 1, store.torn
    except LogDamaged as damage:
        found, tail = damage.line, b"damage"
    assert (found, bool(tail)) == (number, True)


@pytest.mark.parametrize("gone", [0, 1, 2])
def test_a_missing_line_is_damage_where_the_next_one_stands(log: Path, gone: int) -> None:
    chunks = encoded(lines(5))
    log.write_bytes(b"".join(chunks[:gone] + chunks[gone + 1 :]))
    with pytest.raises(LogDamaged, match=f"line {gone + 1}: its hash does not follow"):
        read_log(log)


def test_two_lines_exchanged_or_one_doubled_is_damage(log: Path) -> None:
    chunks = encoded(lines(5))
    for order in ([0, 2, 1, 3, 4], [0, 1, 1, 2, 3]):
        log.write_bytes(b"".join(chunks[index] for index in order))
        with pytest.raises(LogDamaged, match=f"line {2 if order[1] == 2 else 3}"):
            read_log(log)


def test_a_log_cut_at_a_line_end_only_looks_shorter(log: Path) -> None:
    chunks = encoded(lines(4))
    log.write_bytes(b"".join(chunks[:3]))
    assert (list(read_log(log).lines), read_log(log).tail) == (lines(3), b"")


def test_a_second_tail_gets_a_file_of_its_own(log: Path) -> None:
    chunks = written(log, 2)
    for number, tail in enumerate([b"first", b"second"], start=1):
        log.write_bytes(b"".join(chunks) + tail)
        store = open_for_append(log)
        store.close()
        assert store.set_aside == f"{log}.torn-{number}"
        assert Path(store.set_aside).read_bytes() == tail


def test_a_torn_very_first_line_leaves_an_empty_log_to_begin_again(log: Path) -> None:
    log.write_bytes(encoded(lines(1))[0][:40])
    store = open_for_append(log)
    store.append(encoded(lines(1))[0])
    store.close()
    assert list(read_log(log).lines) == lines(1)
    assert Path(store.set_aside).stat().st_size == 40


UNUSABLE = [
    (b"", "holds no whole line yet"),
    (b'{"seq":1,"kind":"day op', "holds no whole line yet"),
    (b"[job]\nname = 'x'\n", "does not begin as one"),
    (b"\x89PNG\r\n\x1a\n" + b"\0" * 99, "does not begin as one"),
    (b'{"a": 1}\n{"a": 2}\n', "does not begin as one"),
    (b"7" * (LONGEST_LINE + 99), "does not begin as one"),
]


@pytest.mark.parametrize(("content", "why"), UNUSABLE, ids=range(len(UNUSABLE)))
def test_a_reader_is_told_why_a_file_is_no_log(log: Path, content: bytes, why: str) -> None:
    log.write_bytes(content)
    with pytest.raises(BadInput, match=why) as caught:
        read_log(log)
    assert str(log) in str(caught.value)


@pytest.mark.parametrize("content", [content for content, why in UNUSABLE if "begin" in why], ids=range(4))
def test_somebody_elses_file_is_never_touched(log: Path, content: bytes) -> None:
    log.write_bytes(content)
    with pytest.raises(BadInput, match="does not begin as one"):
        open_for_append(log)
    assert log.read_bytes() == content
    assert list(log.parent.iterdir()) == [log]


def test_a_missing_log_and_a_folder_are_told_apart_from_damage(tmp_path: Path) -> None:
    with pytest.raises(BadInput, match="No such file"):
        read_log(tmp_path / "missing.jsonl")
    with pytest.raises(BadInput, match="Is a directory"):
        read_log(tmp_path)


def test_a_line_too_long_for_a_log_is_damage(log: Path) -> None:
    chunks = written(log, 2)
    log.write_bytes(b"".join(chunks) + b'{"seq":3,' + b" " * LONGEST_LINE + b"\n")
    with pytest.raises(LogDamaged, match=r"line 3: longer than \d+ bytes"):
        read_log(log)


def test_opening_begins_a_log_and_its_folder_where_there_was_none(tmp_path: Path) -> None:
    path = tmp_path / "new" / "folder" / "day.jsonl"
    store = open_for_append(path)
    store.append(encoded(lines(1))[0])
    store.close()
    assert list(read_log(path).lines) == lines(1)


def test_a_new_log_never_takes_the_place_of_an_old_one(log: Path) -> None:
    written(log, 2)
    with pytest.raises(FileExistsError):
        create_log(log)
    assert len(read_log(log).lines) == 2


def test_a_new_log_may_begin_with_lines_already_kept(log: Path) -> None:
    chunks = encoded(lines(4))
    store = create_log(log, b"".join(chunks[:3]))
    assert list(store.contents.lines) == lines(3)
    store.append(chunks[3])
    store.close()
    assert list(read_log(log).lines) == lines(4)


def test_a_new_log_that_cannot_be_written_leaves_no_file(log: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def full(_descriptor: int, _data: bytes) -> int:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(os, "write", full)
    with pytest.raises(OSError, match="No space"):
        create_log(log, encoded(lines(1))[0])
    assert list(log.parent.iterdir()) == []


def test_a_tail_that_cannot_be_kept_is_not_cut_off(log: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    written(log, 2)
    before = log.read_bytes() + b"torn"
    log.write_bytes(before)
    log.with_name("day.jsonl.torn-1").mkdir()
    monkeypatch.setattr(Path, "exists", lambda _path: _path == log)
    with pytest.raises(FileExistsError):
        open_for_append(log)
    assert log.read_bytes() == before


def test_file_and_folder_are_flushed_when_a_log_is_begun(log: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    flushed: list[bool] = []
    fsync = os.fsync

    def watched(descriptor: int) -> None:
        flushed.append(os.path.samestat(os.fstat(descriptor), log.parent.stat()))
        fsync(descriptor)

    monkeypatch.setattr(os, "fsync", watched)
    open_for_append(log).close()
    assert flushed == [False, True]


def test_a_log_whose_path_leads_elsewhere_no_longer_keeps(log: Path) -> None:
    chunks = encoded(lines(2))
    store = open_for_append(log)
    store.append(chunks[0])
    log.unlink()
    with pytest.raises(FileNotFoundError):
        store.append(chunks[1])
    log.write_bytes(b"another")
    with pytest.raises(OSError, match="another file has taken"):
        store.append(chunks[1])
    store.close()
    assert log.read_bytes() == b"another"


def test_what_a_failed_append_left_is_cut_off_on_closing(log: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    chunks = encoded(lines(2))
    store = open_for_append(log)
    store.append(chunks[0])
    with monkeypatch.context() as broken:
        broken.setattr(
            os, "fsync", lambda _descriptor: (_ for _ in ()).throw(OSError(5, "Input/output error"))
        )
        with pytest.raises(OSError, match="Input/output"):
            store.append(chunks[1])
    assert log.read_bytes() == b"".join(chunks)
    store.close()
    assert log.read_bytes() == chunks[0]


def test_a_file_store_is_a_store_and_so_is_a_memory_store(log: Path) -> None:
    stores: list[Store] = [open_for_append(log), MemoryStore()]
    assert isinstance(stores[0], FileStore)
    assert [store.name for store in stores] == [str(log), "memory"]
    stores[0].close()


JOB = "Library walk (north).toml"


def test_logs_are_named_by_day_job_and_where_the_job_file_is(tmp_path: Path) -> None:
    here, there = (folder.log_path(tmp_path, tmp_path / part / JOB, "2026-11-05") for part in ("a", "b"))
    assert here.name.startswith("2026-11-05-library-walk-north-")
    assert here.suffix == ".jsonl"
    assert here != there
    assert len(here.stem) == len("2026-11-05-library-walk-north-") + 4


def test_a_job_is_the_same_job_by_whatever_way_it_is_reached(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    (tmp_path / "jobs").mkdir()
    job = tmp_path / "jobs" / JOB
    job.touch()
    (tmp_path / "link").symlink_to(tmp_path / "jobs")
    monkeypatch.chdir(tmp_path / "jobs")
    ways = [job, Path(JOB), tmp_path / "jobs" / ".." / "jobs" / JOB, tmp_path / "link" / JOB]
    assert len({folder.log_path(tmp_path, way, "2026-11-05") for way in ways}) == 1


@pytest.mark.parametrize(
    ("name", "slug"),
    [("Café № 2", "cafe-no-2"), ("../../etc", "etc"), ("步道", "job"), ("x" * 99, "x" * 40), ("", "job")],
)
def test_a_job_known_by_name_gives_a_plain_file_name(tmp_path: Path, name: str, slug: str) -> None:
    path = folder.log_path(tmp_path, name, "2026-11-05")
    assert path.parent == tmp_path
    assert path.name[len("2026-11-05-") : -len("-0000.jsonl")] == slug


def test_fresh_starts_are_numbered_on_and_the_newest_is_found(tmp_path: Path) -> None:
    first = folder.log_path(tmp_path, "walk", "2026-11-05")
    stem = first.stem
    assert folder.latest(tmp_path, "walk", "2026-11-05") is None
    assert folder.latest(tmp_path / "missing", "walk", "2026-11-05") is None
    assert folder.next_free(first) == first
    for name in (f"{stem}.jsonl", f"{stem}-2.jsonl", f"{stem}-10.jsonl"):
        (tmp_path / name).touch()
        assert folder.latest(tmp_path, "walk", "2026-11-05") == tmp_path / name
    for other in (f"{stem}-99.jsonl.torn-1", f"{stem}-x.jsonl", f"{stem}-077.jsonl"):
        (tmp_path / other).touch()
    assert folder.next_free(first) == tmp_path / f"{stem}-11.jsonl"
    assert folder.latest(tmp_path, "walk", "2026-11-06") is None


@pytest.mark.parametrize("name", ["own.log", "own", "own.jsonl"])
def test_a_log_of_ones_own_name_is_numbered_on_too(tmp_path: Path, name: str) -> None:
    path = tmp_path / name
    path.touch()
    assert folder.next_free(path) == path.with_name(f"own-2{path.suffix}")


def test_the_default_folder_is_in_the_users_data(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("XDG_DATA_HOME", str(tmp_path))
    assert folder.default_folder() == tmp_path / "bagcall"


def test_a_long_day_of_any_lines_reads_back_from_its_file(log: Path) -> None:
    day: list[Line] = [
        line(1, kind="day opened", data={"job": {"pours": ["P"] * 5000}}),
        *lines(499, first=2),
    ]
    last, chunks = FIRST_HASH, []
    for one in day:
        chunk, last = encode(one, last)
        chunks.append(chunk)
    log.write_bytes(b"".join(chunks))
    found = read_log(log)
    assert list(found.lines) == day
    assert found.hash == last
