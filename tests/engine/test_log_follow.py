"""Following a log as it grows. Expected: the lines written, each once and in order."""

from __future__ import annotations

from pathlib import Path

import pytest
from log_samples import encoded, line, lines

from engine.errors import BadInput, LogDamaged
from engine.record.follow import Follower
from engine.record.lines import FIRST_HASH, Line, encode
from engine.record.store import open_for_append


@pytest.fixture
def log(tmp_path: Path) -> Path:
    return tmp_path / "day.jsonl"


def add(log: Path, data: bytes) -> None:
    with log.open("ab") as stream:
        stream.write(data)


def test_every_line_comes_once_and_in_order_byte_by_byte(log: Path) -> None:
    log.touch()
    follower, seen = Follower(log), list[Line]()
    ends, size = [], 0
    for chunk in encoded(lines(3)):
        size += len(chunk)
        ends.append(size)
    for place, byte in enumerate(b"".join(encoded(lines(3))), start=1):
        add(log, bytes([byte]))
        seen += follower.poll()
        assert len(seen) == sum(end <= place for end in ends)
    assert seen == lines(3)
    assert follower.poll() == ()


def test_a_log_begun_long_ago_is_given_out_whole_at_first(log: Path) -> None:
    log.write_bytes(b"".join(encoded(lines(50))))
    assert list(Follower(log).poll()) == lines(50)


def test_following_a_log_that_is_written_sees_what_its_writer_kept(log: Path) -> None:
    store, follower = open_for_append(log), Follower(log)
    for number, chunk in enumerate(encoded(lines(4)), start=1):
        store.append(chunk)
        assert list(follower.poll()) == [line(number)]
    store.close()


@pytest.mark.parametrize("tail", [b'{"seq":3,"ki', b"\0" * 80, b"\0" * 80 + b"\n"])
def test_a_torn_tail_is_passed_over_until_its_writer_has_repaired_it(log: Path, tail: bytes) -> None:
    chunks = encoded(lines(3))
    log.write_bytes(chunks[0] + chunks[1] + tail)
    follower = Follower(log)
    assert list(follower.poll()) == lines(2)
    assert follower.poll() == ()
    store = open_for_append(log)
    assert follower.poll() == ()
    store.append(chunks[2])
    assert list(follower.poll()) == [line(3)]
    store.close()


def test_a_bad_line_with_more_behind_it_is_damage_and_named(log: Path) -> None:
    chunks = encoded(lines(4))
    log.write_bytes(chunks[0] + chunks[1])
    follower = Follower(log)
    follower.poll()
    add(log, chunks[2].replace(b"P1.3", b"P1.4") + chunks[3])
    with pytest.raises(LogDamaged, match="line 3: its hash does not follow"):
        follower.poll()


def test_a_line_that_does_not_follow_on_what_was_read_is_damage(log: Path) -> None:
    log.write_bytes(b"".join(encoded(lines(2))))
    follower = Follower(log)
    follower.poll()
    strange, _ = encode(line(3), FIRST_HASH)
    add(log, strange + strange)
    with pytest.raises(LogDamaged, match="line 3: its hash does not follow"):
        follower.poll()


def test_a_file_cut_back_behind_what_was_read_is_noticed(log: Path) -> None:
    chunks = encoded(lines(3))
    log.write_bytes(b"".join(chunks))
    follower = Follower(log)
    follower.poll()
    with log.open("r+b") as stream:
        stream.truncate(len(chunks[0]) + 5)
    with pytest.raises(
        LogDamaged, match="cut back behind a line already read while it was followed; open it again"
    ):
        follower.poll()


def test_another_file_in_the_logs_place_is_noticed(log: Path) -> None:
    log.write_bytes(b"".join(encoded(lines(2))))
    follower = Follower(log)
    follower.poll()
    other = log.with_name("other")
    other.write_bytes(b"".join(encoded(lines(3))))
    other.replace(log)
    with pytest.raises(LogDamaged, match="another file has taken its place"):
        follower.poll()


def test_a_log_removed_while_followed_is_noticed_and_one_never_there_is_bad_input(log: Path) -> None:
    log.write_bytes(b"".join(encoded(lines(2))))
    follower = Follower(log)
    follower.poll()
    log.unlink()
    with pytest.raises(LogDamaged, match=r"can no longer be read .No such file"):
        follower.poll()
    with pytest.raises(BadInput, match="a log was expected, but it cannot be read"):
        Follower(log).poll()


def test_somebody_elses_file_is_not_followed(log: Path) -> None:
    log.write_bytes(b"just a text\n")
    with pytest.raises(BadInput, match="does not begin as one"):
        Follower(log).poll()
