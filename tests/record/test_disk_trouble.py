"""A full, read-only, removed or slow disk under a live day: said, gone on with, written in order, or moved elsewhere.

Expected: what the log would hold had the disk never failed, line for line.
"""

from __future__ import annotations

import datetime
import errno
import os
from collections.abc import Callable
from pathlib import Path
from queue import Queue

import pytest

from engine.clock import HandClock
from engine.console.session import Session
from engine.job.files import read_job
from engine.pour import intents as i
from engine.pour.asked import Done, Refused, Told
from engine.record.folder import moved_to
from engine.record.store import FileStore, LogContents, open_for_append, read_log
from engine.record.written import body_of
from tests.engine.bad_disks import PATIENCE_S, BadDisk, SlowStore
from tests.record.test_session import JOB, START, WORDS

FOR_EVER = 10_000
TODAY = datetime.date(2026, 11, 5)


class Day:
    """A day on a disk of a script, and what its session told of from the writer's thread."""

    def __init__(self, log: Path) -> None:
        self.log, self.clock, self._news = log, HandClock(START), Queue[int]()
        self.disk = BadDisk(log, [])
        self.session = Session(FileStore(self.disk, LogContents()), read_job(JOB, TODAY), self.clock, WORDS)
        self.session.on_kept(self._news.put)
        self.until(lambda: self.session.kept_seq == 1)

    def until(self, enough: Callable[[], object]) -> None:
        while not enough():
            self._news.get(timeout=PATIENCE_S)

    def note(self, text: str) -> None:
        assert isinstance(self.session.submit(i.WriteNote(text)), Done)

    def breaks(self, call: str, number: int) -> None:
        self.disk.script[:] = [(call, number)] * FOR_EVER

    def works_again(self) -> None:
        self.disk.script.clear()


@pytest.fixture
def day(tmp_path: Path) -> Day:
    (tmp_path / "stick").mkdir()
    return Day(tmp_path / "stick" / "day.jsonl")


def notes(log: Path) -> list[str]:
    return [body.text for line in read_log(log).lines[1:] if (body := body_of(line))]  # type: ignore[attr-defined]


def banners(session: Session) -> list[str]:
    return [said.key for said in session.glance().banners]


TROUBLES = [
    ("write", errno.ENOSPC, "No space left on device"),
    ("write", errno.EROFS, "Read-only file system"),
    ("sync", errno.EIO, "Input/output error"),
    ("sync", errno.ESTALE, os.strerror(errno.ESTALE)),
    ("write", errno.EDQUOT, os.strerror(errno.EDQUOT)),
    ("write", errno.EFBIG, "File too large"),
]


@pytest.mark.parametrize(("call", "number", "why"), TROUBLES)
def test_trouble_is_said_the_day_goes_on_and_all_is_written_in_order(
    day: Day, call: str, number: int, why: str
) -> None:
    day.breaks(call, number)
    for text in ("one", "two", "three"):
        day.note(text)
    day.until(lambda: day.session.trouble)
    assert WORDS(day.session.trouble) == f"Not kept yet: {why}"  # type: ignore[arg-type]
    assert day.session.kept_seq == 1
    assert [event.body.text for event in day.session.journal.standing()] == ["one", "two", "three"]  # type: ignore[attr-defined]
    day.works_again()
    day.note("four")
    day.until(lambda: day.session.kept_seq == 5)
    assert day.session.trouble is None
    assert day.session.close() == ()
    assert notes(day.log) == ["one", "two", "three", "four"]


def test_the_log_goes_on_in_another_folder_whole_and_the_old_file_stays(day: Day, tmp_path: Path) -> None:
    day.note("one")
    day.until(lambda: day.session.kept_seq == 2)
    before = day.log.read_bytes()
    day.breaks("write", errno.ENOSPC)
    day.note("two")
    day.until(lambda: day.session.trouble)
    there = tmp_path / "a folder to be made"
    told = day.session.reading(f"log {there}")
    assert isinstance(told, Told)
    day.until(lambda: day.session.kept_seq == 3)
    assert day.session.trouble is None
    assert banners(day.session) == ["keeping.moved"]
    assert day.session.log_path == str(there / "day.jsonl")
    day.note("three")
    assert day.session.close() == ()
    assert notes(there / "day.jsonl") == ["one", "two", "three"]
    assert day.log.read_bytes() == before
    store = open_for_append(there / "day.jsonl")
    again = Session(store, None, day.clock, WORDS)
    assert again.journal.day == day.session.journal.day
    again.close()


def test_a_removed_folder_is_said_and_the_day_moves_on_whole(day: Day, tmp_path: Path) -> None:
    day.note("one")
    day.until(lambda: day.session.kept_seq == 2)
    day.log.unlink()
    day.log.parent.rmdir()
    day.note("two")
    day.until(lambda: day.session.trouble)
    assert WORDS(day.session.trouble) == "Not kept yet: No such file or directory"  # type: ignore[arg-type]
    day.session.reading(f"log {tmp_path / 'new.jsonl'}")
    day.until(lambda: day.session.kept_seq == 3)
    assert day.session.close() == ()
    assert notes(tmp_path / "new.jsonl") == ["one", "two"]


def test_a_folder_that_cannot_be_written_to_is_told_and_the_log_stays_where_it_was(
    day: Day, tmp_path: Path
) -> None:
    taken = tmp_path / "a file"
    taken.write_text("somebody else's", encoding="utf-8")
    assert isinstance(day.session.reading(f"log {taken}"), Told)
    day.until(lambda: banners(day.session))
    assert banners(day.session) == ["keeping.not_moved"]
    assert day.session.trouble is None
    day.note("one")
    assert day.session.close() == ()
    assert notes(day.log) == ["one"]
    assert taken.read_text(encoding="utf-8") == "somebody else's"


def test_log_alone_says_where_the_log_is(day: Day) -> None:
    told = day.session.reading("log")
    assert isinstance(told, Told)
    assert str(day.log) in WORDS(told.text)
    day.session.close()


@pytest.mark.parametrize("typed", ["a\0b", "a\ud800", "~nobody-of-this-name/logs"])
def test_what_is_no_path_is_refused(day: Day, typed: str) -> None:
    refused = day.session.reading(f"log {typed}")
    assert isinstance(refused, Refused)
    assert refused.reason.key == "keeping.no_place"
    assert day.session.close() == ()


def test_what_is_already_there_is_never_written_over(tmp_path: Path) -> None:
    old, there = tmp_path / "day.jsonl", tmp_path / "there"
    there.mkdir()
    old.touch()
    assert moved_to(str(there), old) == there / "day.jsonl"
    (there / "day.jsonl").touch()
    assert moved_to(str(there), old) == there / "day-2.jsonl"
    assert moved_to(str(there / "other.jsonl"), old) == there / "other.jsonl"
    assert moved_to(str(there / "day.jsonl"), old) == there / "day-2.jsonl"
    assert moved_to(str(tmp_path), old) == tmp_path / "day-2.jsonl"


def test_a_place_from_where_the_program_runs_is_told_in_full(
    day: Day, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)
    told = day.session.reading("LOG elsewhere")
    assert isinstance(told, Told)
    assert str(tmp_path / "elsewhere" / "day.jsonl") in WORDS(told.text)
    assert day.session.close() == ()
    assert (tmp_path / "elsewhere" / "day.jsonl").exists()


def test_a_disk_that_takes_three_seconds_is_told_after_two_and_no_key_waits_for_it() -> None:
    store, clock, news = SlowStore(), HandClock(START), Queue[int]()
    session = Session(store, read_job(JOB, TODAY), clock, WORDS)
    session.on_kept(news.put)
    assert session.trouble is None
    for second in range(3):
        session.submit(i.WriteNote(f"{second}"))
        clock.advance(1.0)
        assert (session.trouble is not None) == (second == 2)
    assert session.trouble is not None
    assert session.trouble.key == "keeping.slow"
    store.let_through.set()
    while session.kept_seq < 4:
        news.get(timeout=PATIENCE_S)
    assert session.trouble is None
    assert session.close() == ()
    assert len(store.whole().splitlines()) == 4


def test_from_a_disk_that_never_answers_the_day_goes_on_in_another_folder(tmp_path: Path) -> None:
    store, clock, news = SlowStore(), HandClock(START), Queue[int]()
    session = Session(store, read_job(JOB, TODAY), clock, WORDS)
    session.on_kept(news.put)
    session.submit(i.WriteNote("one"))
    clock.advance(3.0)
    assert session.trouble is not None
    session.reading(f"log {tmp_path / 'day.jsonl'}")
    while session.kept_seq < 2:
        news.get(timeout=PATIENCE_S)
    assert session.trouble is None
    session.submit(i.WriteNote("two"))
    store.let_through.set()
    assert session.close() == ()
    assert notes(tmp_path / "day.jsonl") == ["one", "two"]


def test_on_a_fast_clock_a_disk_is_slow_by_the_hands_time() -> None:
    store, clock = SlowStore(), HandClock(START)
    session = Session(store, read_job(JOB, TODAY), clock, WORDS, made_up=True, pace=60.0)
    clock.advance(119.0)
    assert session.trouble is None
    clock.advance(2.0)
    assert session.trouble is not None
    store.let_through.set()
    session.close()
