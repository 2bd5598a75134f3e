"""Closed lids, set clocks, summer time, midnight and another zone: what is left of a window stays right to the second.

Expected: a window's remaining time falls by exactly the true seconds that passed, whatever the wall clock did; a wall
clock set by more than 2 s is a line of the log and a banner, whoever sees it first. Dates: the US rule of summer time
(second Sunday of March, first of November, at 02:00), the Gregorian leap day.
"""

from __future__ import annotations

import datetime
import sys
import time
from collections.abc import Callable, Iterator
from pathlib import Path
from zoneinfo import ZoneInfo

import pytest

from engine import console
from engine.clock import HandClock
from engine.pour import intents as i
from engine.pour.asked import Refused
from engine.pour.events import ClockJumped
from engine.record.store import read_log
from engine.record.written import events_of
from tests.record.test_session import JOB, WORDS, tip_one

ZONE = ZoneInfo("America/Chicago")


def at(*parts: int) -> float:
    return datetime.datetime(*parts, tzinfo=ZONE).timestamp()


DAY = at(2026, 11, 5, 9, 10)
Turn = Callable[[HandClock], None]
TURNS: list[tuple[str, float, Turn, float, float]] = [  # start, what happens, true seconds, wall clock's jump
    ("lid for 30 s", DAY, lambda clock: clock.sleep_lid(30), 30, 0),
    ("lid for 3 h", DAY, lambda clock: clock.sleep_lid(10800), 10800, 0),
    ("wall an hour on", DAY, lambda clock: clock.step_wall(3600), 0, 3600),
    ("wall an hour back", DAY, lambda clock: clock.step_wall(-3600), 0, -3600),
    ("wall set in sleep", DAY, lambda clock: (clock.sleep_lid(30), clock.step_wall(-3600))[0], 30, -3600),
    ("wall set by a second", DAY, lambda clock: clock.step_wall(1.5), 0, 0),
    ("summer time ends", at(2026, 11, 1, 1, 57), lambda clock: clock.advance(120), 120, 0),
    ("summer time begins", at(2026, 3, 8, 1, 57), lambda clock: clock.advance(120), 120, 0),
    ("midnight", at(2026, 11, 5, 23, 57), lambda clock: clock.advance(120), 120, 0),
    ("leap day", at(2028, 2, 28, 23, 57), lambda clock: clock.advance(120), 120, 0),
    ("year's end", at(2026, 12, 31, 23, 57), lambda clock: clock.advance(120), 120, 0),
    ("power cut", DAY, lambda clock: clock.reboot(95), 95, 0),
]


def left_s(session: console.Session) -> float:
    window = session.view().rows[0].window
    assert window is not None
    return window.due - session.now()


def jumps(log: Path) -> list[tuple[int, float]]:
    _, events, _ = events_of(read_log(log).lines, str(log))
    return [(event.seq, event.body.by_s) for event in events if isinstance(event.body, ClockJumped)]


def tipped(log: Path, start: float) -> tuple[console.Session, HandClock]:
    clock = HandClock(start)
    session = console.open_session(JOB, WORDS, log=log, clock=clock)
    tip_one(session, clock)
    return session, clock


CASES = pytest.mark.parametrize(
    ("start", "turn", "passed_s", "by_s"), [case[1:] for case in TURNS], ids=[case[0] for case in TURNS]
)


@CASES
@pytest.mark.parametrize("closed", [False, True], ids=["running", "program closed"])
def test_what_is_left_falls_by_the_true_seconds(
    tmp_path: Path, start: float, turn: Turn, passed_s: float, by_s: float, closed: bool
) -> None:
    log = tmp_path / "day.jsonl"
    session, clock = tipped(log, start)
    before = left_s(session)
    if closed:
        session.close()
    turn(clock)
    if closed:
        session = console.open_session(JOB, WORDS, log=log, clock=clock)
    assert left_s(session) == pytest.approx(before - passed_s, abs=0.001)
    assert [said.key for said in session.view().banners] == (["banner.clock_jump"] if by_s else [])
    session.close()
    assert jumps(log) == ([(5, pytest.approx(by_s))] if by_s else [])


@CASES
def test_a_jump_first_seen_by_a_key_press_is_written_before_its_line(
    tmp_path: Path, start: float, turn: Turn, passed_s: float, by_s: float
) -> None:
    log = tmp_path / "day.jsonl"
    session, clock = tipped(log, start)
    now = session.now()
    turn(clock)
    session.submit(i.WriteNote("here"), session.pressed(0.0))
    assert session.journal.event is not None
    assert session.journal.event.at == pytest.approx(now + passed_s, abs=0.001)
    assert [said.key for said in session.glance().banners] == (["banner.clock_jump"] if by_s else [])
    session.close()
    assert jumps(log) == ([(5, pytest.approx(by_s))] if by_s else [])
    assert len(read_log(log).lines) == (6 if by_s else 5)


def test_a_jump_seen_by_a_key_that_is_refused_is_written_all_the_same_and_once(tmp_path: Path) -> None:
    log = tmp_path / "day.jsonl"
    session, clock = tipped(log, DAY)
    clock.step_wall(-3600)
    clock.held_s = 4.0
    for _ in range(2):
        assert isinstance(session.submit(i.StampStroke("edge", "P9"), session.pressed(0.0)), Refused)
    session.view()
    session.close()
    assert jumps(log) == [(5, -3600.0)]


def test_backspace_takes_back_the_stamp_and_not_the_jump_it_first_saw(tmp_path: Path) -> None:
    session, clock = tipped(tmp_path / "day.jsonl", DAY)
    clock.step_wall(3600)
    session.submit(i.Undo())
    assert session.journal.day.batch("P1.1").tipped_at is None
    session.close()


@pytest.fixture
def machine_zone() -> Iterator[Callable[[str], None]]:
    """Sets the machine's zone, and sets it back."""
    with pytest.MonkeyPatch.context() as patch:
        yield lambda zone: (patch.setenv("TZ", zone), time.tzset())[0]
    time.tzset()


@pytest.mark.skipif(sys.platform == "win32", reason="the zone of a program cannot be set there")
@pytest.mark.parametrize("zone", ["Pacific/Auckland", "America/Los_Angeles", "Asia/Kolkata", "UTC"])
def test_a_log_moved_to_a_machine_in_another_zone_goes_on_to_the_second(
    tmp_path: Path, machine_zone: Callable[[str], None], zone: str
) -> None:
    first, second = tmp_path / "day.jsonl", tmp_path / "moved.jsonl"
    session, clock = tipped(first, DAY)
    before, due = left_s(session), session.view().rows[0].window
    session.close()
    second.write_bytes(first.read_bytes())
    machine_zone(zone)
    clock.reboot(200)  # another machine: another boot, and only UTC in common
    session = console.open_session(JOB, WORDS, log=second, clock=clock)
    assert left_s(session) == pytest.approx(before - 200, abs=0.001)
    assert session.view().rows[0].window.due == due.due  # type: ignore[union-attr]
    assert session.view().zone == "America/Chicago"
    assert session.view().banners == ()
    session.close()
