"""A live day on a real log: written, left, and picked up again with every clock right."""

from __future__ import annotations

import datetime
from collections.abc import Iterator
from pathlib import Path
from zoneinfo import ZoneInfo

import pytest

from engine import console
from engine.clock import HandClock
from engine.errors import BadInput, LogHeld
from engine.pour import intents as i
from engine.pour.asked import Done, Refused
from engine.pour.events import ReadingTaken
from tests.scenarios.expected import DATA

JOB = DATA / "library" / "job.toml"
START = datetime.datetime(2026, 11, 5, 9, 10, tzinfo=ZoneInfo("America/Chicago")).timestamp()
WORDS = console.words()


@pytest.fixture
def clock() -> HandClock:
    return HandClock(START)


@pytest.fixture
def log(tmp_path: Path) -> Path:
    return tmp_path / "day.jsonl"


@pytest.fixture
def session(clock: HandClock, log: Path) -> Iterator[console.Session]:
    opened = open_on(clock, log)
    yield opened
    opened.close()


def open_on(clock: HandClock, log: Path) -> console.Session:
    return console.open_session(JOB, WORDS, log=log, clock=clock)


def tip_one(session: console.Session, clock: HandClock) -> None:
    session.submit(i.AddWater("P1", "MA"))
    clock.advance(90)
    session.submit(i.StampMixed("P1.1"))
    clock.advance(35)
    session.submit(i.StampTipped("P1.1"))


def test_a_day_left_and_opened_again_goes_on_with_every_clock_right(clock: HandClock, log: Path) -> None:
    session = open_on(clock, log)
    tip_one(session, clock)
    before = session.view().rows[0]
    assert session.close() == ()
    clock.advance(60)
    again = open_on(clock, log)
    after = again.view().rows[0]
    again.close()
    assert after.window is not None
    assert before.window is not None
    assert abs(after.window.due - before.window.due) < 0.01
    assert again.now() == pytest.approx(START + 185)


def test_a_reboot_and_a_closed_lid_leave_remaining_times_right(clock: HandClock, log: Path) -> None:
    session = open_on(clock, log)
    tip_one(session, clock)
    due = session.view().rows[0].window
    session.close()
    clock.sleep_lid(30)
    clock.reboot(40)
    again = open_on(clock, log)
    again_due = again.view().rows[0].window
    assert due is not None
    assert again_due is not None
    assert again_due.due - again.now() == pytest.approx(due.due - (START + 125) - 70, abs=0.01)
    again.close()


def test_a_wall_clock_set_forward_is_written_down_and_moves_nothing(
    session: console.Session, clock: HandClock
) -> None:
    tip_one(session, clock)
    before = session.view()
    clock.step_wall(3600)
    after = session.view()
    assert after.at == pytest.approx(before.at)
    assert [banner.key for banner in after.banners] == ["banner.clock_jump"]
    assert after.rows[0].window == before.rows[0].window
    assert len(session.view().banners) == 1


def test_a_second_writer_is_refused_with_who_holds_the_log(
    session: console.Session, clock: HandClock, log: Path
) -> None:
    del session
    with pytest.raises(LogHeld):
        open_on(clock, log)


def test_an_empty_log_without_a_job_is_refused_by_name(clock: HandClock, log: Path) -> None:
    log.touch()
    with pytest.raises(BadInput, match="begins with its job"):
        console.open_session(None, console.words(), log=log, clock=clock)


@pytest.mark.parametrize("left", [b"", b'{"seq":1,"kind":"day op'])
def test_a_log_that_a_kill_left_without_its_first_line_is_begun_again(
    clock: HandClock, log: Path, left: bytes
) -> None:
    log.write_bytes(left)
    session = open_on(clock, log)
    tip_one(session, clock)
    assert session.close() == ()
    assert len(console.replay_list(log, WORDS)) == 4
    assert [said.key for said in session.view().banners] == (["banner.torn_tail"] if left else [])


def test_half_a_line_at_the_end_is_set_aside_and_told(clock: HandClock, log: Path) -> None:
    session = open_on(clock, log)
    tip_one(session, clock)
    session.close()
    whole = log.read_bytes()
    log.write_bytes(whole[:-25])
    again = open_on(clock, log)
    assert [banner.key for banner in again.view().banners] == ["banner.torn_tail"]
    assert again.view().rows[0].stage == "mixed"
    again.submit(i.StampTipped("P1.1"))
    again.close()
    assert console.replay_list(log, WORDS)[-1]["text"] == "P1.1 tipped"


def test_a_press_is_stamped_when_it_was_delivered(session: console.Session, clock: HandClock) -> None:
    session.submit(i.AddWater("P1", "MA"))
    clock.advance(100)
    clock.held_s = 10.0
    session.submit(i.StampMixed("P1.1"), session.pressed(0.0))
    assert session.journal.day.batch("P1.1").mixed_at == pytest.approx(START + 90)


def test_undo_says_in_words_what_it_took_back(session: console.Session, clock: HandClock) -> None:
    tip_one(session, clock)
    done = session.submit(i.Undo())
    assert isinstance(done, Done)
    assert WORDS(done.text) == "taken back: P1.1 tipped"


def test_what_an_undo_brings_back_counts_as_kept_with_the_line_of_the_undo(
    session: console.Session, clock: HandClock
) -> None:
    tip_one(session, clock)
    assert session.glance().last.seq == 4  # type: ignore[union-attr]
    session.submit(i.Undo())
    assert [view.last.seq for view in (session.glance(), session.view()) if view.last] == [5, 5]


def test_a_refusal_writes_nothing(session: console.Session, log: Path) -> None:
    refused = session.submit(i.StampStroke("float", "P1"))
    assert isinstance(refused, Refused)
    session.close()
    assert len(console.replay_list(log, WORDS)) == 1


def test_every_line_is_kept_in_the_end(session: console.Session, clock: HandClock) -> None:
    tip_one(session, clock)
    session.close()
    assert session.kept_seq == 4


def test_readings_come_in_one_line(session: console.Session) -> None:
    intent = session.reading("air 53 sun wind 6")
    assert isinstance(intent, i.TakeReading)
    values = intent.values
    assert values == ReadingTaken(air_c=values.air_c, sun=True, wind_ms=values.wind_ms)
    assert values.air_c == pytest.approx((53 - 32) / 1.8)
    assert values.wind_ms == pytest.approx(6 * 0.44704)


@pytest.mark.parametrize(
    ("line", "key"),
    [
        ("", "refusal.no_reading"),
        ("air", "refusal.reading_number"),
        ("air 500", "refusal.reading_range"),
        ("airr 53", "refusal.reading_word"),
        ("wind -3", "refusal.reading_range"),
    ],
)
def test_a_reading_that_cannot_be_is_refused_by_name(session: console.Session, line: str, key: str) -> None:
    refused = session.reading(line)
    assert isinstance(refused, Refused)
    assert refused.reason.key == key


def test_replayed_state_is_the_live_state(session: console.Session, clock: HandClock, log: Path) -> None:
    tip_one(session, clock)
    session.submit(i.Shift(-5))
    session.submit(i.Undo())
    session.submit(i.WriteNote("again"))
    live = session.journal.day
    session.close()
    again = open_on(clock, log)
    assert again.journal.day == live
    again.close()


def test_the_call_names_pour_mixer_water_and_packets(session: console.Session) -> None:
    call = session.view().call
    assert (call.state, call.pour, call.bags, call.packets) == ("mix now", "P1", 1.0, 0.0)
    assert call.who in {"MA", "MB"}
    assert call.water_l == pytest.approx(4.25 * 0.946352946)
