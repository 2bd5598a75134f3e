"""A log cut, changed or mixed up: torn tails are kept aside, damage is named by its line."""

from __future__ import annotations

import os
from io import BytesIO
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from log_samples import encoded, lines, written

from engine.errors import LogDamaged
from engine.record.lines import LONGEST_LINE
from engine.record.store import (
    MemoryStore,
    open_for_append,
    read_log,
    scan,
)


@pytest.fixture
def log(tmp_path: Path) -> Path:
    return tmp_path / "day.jsonl"


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


def test_a_line_too_long_for_a_log_is_damage(log: Path) -> None:
    chunks = written(log, 2)
    log.write_bytes(b"".join(chunks) + b'{"seq":3,' + b" " * LONGEST_LINE + b"\n")
    with pytest.raises(LogDamaged, match=r"line 3: longer than \d+ bytes"):
        read_log(log)
