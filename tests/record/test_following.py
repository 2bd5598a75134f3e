"""A log followed while another program writes it. Expected: what the writer itself shows, line by line, and no trace of the reader."""

from __future__ import annotations

import datetime
import os
import subprocess
import sys
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path
from zoneinfo import ZoneInfo

import pytest

from engine import console
from engine.clock import HandClock
from engine.console.following import Following, Waiting
from engine.errors import BadInput, LogDamaged
from engine.pour import intents as i
from engine.pour.asked import Refused
from engine.record.lines import encode
from engine.record.store import open_for_append, read_log
from tests.scenarios.expected import DATA

JOB = DATA / "library" / "job.toml"
START = datetime.datetime(2026, 11, 5, 9, 10, tzinfo=ZoneInfo("America/Chicago")).timestamp()
WORDS = console.words()
STEPS = (i.AddWater("P1", "MA"), i.StampMixed("P1.1"), i.StampTipped("P1.1"), i.AddWater("P1", "MA"))


@pytest.fixture(scope="module")
def chunks(tmp_path_factory: pytest.TempPathFactory) -> tuple[bytes, ...]:
    """The lines of a day: its job, then a stroke every 40 s."""
    log, clock = tmp_path_factory.mktemp("written") / "day.jsonl", HandClock(START)
    session = console.open_session(JOB, WORDS, log=log, clock=clock)
    for step in STEPS:
        clock.advance(40)
        session.submit(step)
    session.close()
    return tuple(log.read_bytes().splitlines(keepends=True))


@pytest.fixture
def log(tmp_path: Path) -> Path:
    return tmp_path / "day.jsonl"


@pytest.fixture
def clock() -> HandClock:
    """Of the machine on which the log is written and followed, ten seconds after its last line."""
    clock = HandClock(START)
    clock.advance(40 * len(STEPS) + 10)
    return clock


def add(log: Path, data: bytes) -> None:
    with log.open("ab") as stream:
        stream.write(data)


def followed(log: Path, clock: HandClock) -> Following:
    return console.open_following(log, WORDS, clock)


def test_every_line_shows_what_its_writer_shows(log: Path) -> None:
    clock = HandClock(START)
    session = console.open_session(JOB, WORDS, log=log, clock=clock)
    session.close()
    following = followed(log, clock)
    for step in STEPS:
        again = console.open_session(None, WORDS, log=log, clock=clock)
        clock.advance(40)
        again.submit(step)
        again.close()
        assert following.poll()
        there, here = again.view(), following.view()
        assert (here.rows, here.call, here.crew, here.queue, here.at) == (
            there.rows,
            there.call,
            there.crew,
            there.queue,
            there.at,
        )
        assert here.last is not None
        assert following.kept_seq == here.last.seq


def test_time_goes_on_between_the_lines(log: Path, clock: HandClock, chunks: tuple[bytes, ...]) -> None:
    log.write_bytes(b"".join(chunks))
    following = followed(log, clock)
    assert following.now() == pytest.approx(START + 170)
    before = following.view().rows[0]
    clock.advance(25)
    assert following.now() == pytest.approx(START + 195)
    assert following.view().rows[0].set_age_s > before.set_age_s
    assert not following.poll()


def test_it_waits_until_the_first_line_is_whole(
    log: Path, clock: HandClock, chunks: tuple[bytes, ...]
) -> None:
    log.touch()
    following = followed(log, clock)
    for part in (b"", chunks[0][:1], chunks[0][1:-1]):
        add(log, part)
        following.poll()
        assert following.waits is not None
        assert "waiting for the first line" in WORDS(following.waits)
        assert following.plan_wanted() == "no"
        with pytest.raises(Waiting):
            following.glance()
    add(log, chunks[0][-1:])
    assert following.poll()
    assert following.waits is None
    assert following.view().title


def test_half_a_line_waits_for_its_other_half(log: Path, clock: HandClock, chunks: tuple[bytes, ...]) -> None:
    log.write_bytes(b"".join(chunks[:3]))
    following = followed(log, clock)
    add(log, chunks[3][:50])
    assert not following.poll()
    assert following.kept_seq == 3
    assert following.view().mark is None
    add(log, chunks[3][50:])
    assert following.poll()
    assert following.kept_seq == 4


def test_a_torn_line_set_aside_by_the_writer_is_no_trouble(
    log: Path, clock: HandClock, chunks: tuple[bytes, ...]
) -> None:
    log.write_bytes(b"".join(chunks[:3]) + chunks[3][:50])
    following = followed(log, clock)
    store = open_for_append(log)
    following.poll()
    store.append(chunks[3])
    store.close()
    assert following.poll()
    assert following.kept_seq == 4
    assert following.view().mark is None


def replaced(log: Path, chunks: tuple[bytes, ...]) -> None:
    other = log.with_name("other")
    other.write_bytes(b"".join(chunks))
    os.replace(other, log)


TROUBLES = [
    (lambda log, _: log.unlink(), "can no longer be read"),
    (replaced, "another file has taken its place"),
    (lambda log, chunks: log.write_bytes(chunks[0]), "cut back"),
    (lambda log, chunks: add(log, chunks[3].replace(b"{", b"[", 1) + chunks[3]), "line 4"),
]


@pytest.mark.parametrize(("harm", "why"), TROUBLES, ids=["removed", "replaced", "cut", "damaged"])
def test_a_log_that_can_be_followed_no_longer_says_so_and_stays_in_sight(
    log: Path,
    clock: HandClock,
    chunks: tuple[bytes, ...],
    harm,  # type: ignore[no-untyped-def]
    why: str,
) -> None:
    log.write_bytes(b"".join(chunks[:3]))
    following = followed(log, clock)
    before = following.view()
    harm(log, chunks)
    assert following.poll()
    after = following.view()
    assert after.mark is not None
    assert why in WORDS(after.mark)
    assert "FOLLOWED NO MORE" in WORDS(after.mark)
    assert after.rows == before.rows
    assert not following.poll()


def test_a_log_that_comes_back_as_it_was_is_followed_again(
    log: Path, clock: HandClock, chunks: tuple[bytes, ...]
) -> None:
    log.write_bytes(b"".join(chunks[:3]))
    following = followed(log, clock)
    away = log.with_name("away")
    log.rename(away)
    assert following.poll()
    away.rename(log)
    add(log, chunks[3])
    assert following.poll()
    assert following.view().mark is None
    assert following.kept_seq == 4


def test_what_is_no_log_is_refused_as_ever(log: Path, clock: HandClock, chunks: tuple[bytes, ...]) -> None:
    with pytest.raises(BadInput):
        followed(log, clock)
    log.write_text("Dear all,\nno log\n", encoding="utf-8")
    with pytest.raises(BadInput):
        followed(log, clock)
    log.write_bytes(chunks[0] + chunks[1].replace(b"{", b"[", 1) + chunks[2])
    with pytest.raises(LogDamaged, match="line 2"):
        followed(log, clock)


def test_nothing_is_written_and_every_wish_is_refused_with_a_sentence(
    log: Path, clock: HandClock, chunks: tuple[bytes, ...]
) -> None:
    log.write_bytes(b"".join(chunks))
    following = followed(log, clock)
    following.view()
    clock.step_wall(3600)  # a jump is its writer's to write down
    following.view()
    for answer in (
        following.submit(i.Undo()),
        following.submit(i.Advance("P1.1")),
        following.reading("air 53"),
    ):
        assert isinstance(answer, Refused)
        assert "only reads along" in WORDS(answer.reason)
    assert following.ways_out().ways == ()
    assert following.close() == ()
    assert log.read_bytes() == b"".join(chunks)
    assert [path.name for path in log.parent.iterdir()] == [log.name]


def test_where_nothing_came_the_file_is_not_even_opened(
    log: Path, clock: HandClock, chunks: tuple[bytes, ...], monkeypatch: pytest.MonkeyPatch
) -> None:
    log.write_bytes(b"".join(chunks))
    following = followed(log, clock)

    def opened(*_: object, **__: object) -> None:
        raise AssertionError("opened")

    monkeypatch.setattr(Path, "open", opened)
    assert not any(following.poll() for _ in range(100))


def test_the_clock_of_a_made_up_day_stands_at_its_latest_line(log: Path) -> None:
    clock = HandClock(START)
    rehearsal = console.open_rehearsal(JOB, WORDS, speed=10, seed=1, log=log, clock=clock)
    rehearsal.close()
    following = followed(log, clock)
    at = following.now()
    clock.advance(60)
    assert following.now() == at
    view = following.view()
    assert view.mark is not None
    assert "MADE UP" in WORDS(view.mark)


WRITER = """
import sys
path, = sys.argv[1:]
with open(path, "ab", buffering=0) as log:
    if sys.platform != "win32":
        import fcntl
        fcntl.flock(log, fcntl.LOCK_EX)
    for data in sys.stdin:
        log.write(bytes.fromhex(data))
        print("written", flush=True)
"""


@pytest.fixture
def writer(log: Path) -> Iterator[subprocess.Popen[str]]:
    """Another process that holds the log as a writer does, and adds what it is told."""
    log.touch()
    with subprocess.Popen(
        [sys.executable, "-c", WRITER, str(log)], stdin=subprocess.PIPE, stdout=subprocess.PIPE, text=True
    ) as process:
        yield process
        assert process.stdin is not None
        process.stdin.close()


def test_a_log_held_and_written_by_another_process_is_followed_to_its_end(
    log: Path, clock: HandClock, chunks: tuple[bytes, ...], writer: subprocess.Popen[str]
) -> None:
    following = followed(log, clock)
    assert writer.stdin is not None
    assert writer.stdout is not None
    for number, chunk in enumerate(chunks, start=1):
        for half in (chunk[:30], chunk[30:]):
            writer.stdin.write(f"{half.hex()}\n")
            writer.stdin.flush()
            assert writer.stdout.readline() == "written\n"
            following.poll()
        assert following.kept_seq == number
    assert following.view().rows


def test_lines_behind_one_that_is_not_understood_are_never_shown_without_it(
    log: Path, clock: HandClock, chunks: tuple[bytes, ...]
) -> None:
    log.write_bytes(chunks[0] + chunks[1])
    following = followed(log, clock)
    written = read_log(log)
    first, last = encode(replace(written.lines[1], seq=3, kind="of tomorrow"), written.hash)
    second, _ = encode(replace(written.lines[1], seq=4), last)
    for chunk in (first, second):
        add(log, chunk)
        following.poll()
        assert following.kept_seq == 2
        mark = following.view().mark
        assert mark is not None
        assert "line 3" in WORDS(mark)
