"""Logs in files: what is no log, new ones, disks that refuse, and all of a day read back."""

from __future__ import annotations

import os
from pathlib import Path

import pytest
from log_samples import encoded, line, lines, written

from engine.errors import BadInput
from engine.record.lines import FIRST_HASH, LONGEST_LINE, Line, encode
from engine.record.store import (
    create_log,
    open_for_append,
    read_log,
)


@pytest.fixture
def log(tmp_path: Path) -> Path:
    return tmp_path / "day.jsonl"


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
