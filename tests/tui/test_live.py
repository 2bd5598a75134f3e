"""The live day behind the screen: what the session is asked, what is told, and that nothing it does ends the screen."""

from __future__ import annotations

from dataclasses import replace

import pytest

from engine.clock import HandClock
from engine.pour import intents as i
from engine.pour.asked import Done, Refused
from engine.pour.events import ReadingTaken
from engine.words import say
from tests.tui.days import NOW, VIEWS, WORDS, FakeSession
from tui.live import Live
from tui.paint.pen import Pen
from tui.paint.runs import plain
from tui.press import Press


def opened(name: str = "busy and late", **changes: object) -> tuple[Live, FakeSession]:
    session = FakeSession(VIEWS[name], **changes)  # type: ignore[arg-type]
    live = Live(session, Pen(WORDS), "sun", lambda _seq: None)
    live.lines(80, 24)
    session.clock.advance(1.0)
    return live, session


def hit(live: Live, *keys: str, at: float = 100.0) -> bool:
    leaves = False
    for n, key in enumerate(keys):
        character = {"space": " "}.get(key, key if len(key) == 1 else None)
        leaves = live.follow(Press(key, character, at + n))
    return leaves


def message(live: Live) -> str:
    return plain(live.lines(80, 24)[-2]).strip()


def test_a_press_goes_to_the_session_with_the_moment_of_its_key() -> None:
    live, session = opened()
    session.clock.held_s = 10.0  # the terminal was stalled
    hit(live, "space")
    intent, stamp = session.asked[0]
    assert intent == i.Advance("P1")
    assert stamp is not None
    assert stamp.wall == session.now() - 10.0


def test_what_was_done_is_told_in_words() -> None:
    live, _ = opened()
    hit(live, "space")
    assert message(live) == "P2.1 tipped"


def test_undo_says_what_it_took_back_for_longer() -> None:
    live, session = opened()
    what = "P2.1: float done, now due until 09:43:10"
    session.answers[i.Undo] = Done((16,), say("done.undone", what=what))
    hit(live, "backspace")
    session.clock.advance(9.0)
    assert message(live) == f"taken back: {what}"
    session.clock.advance(1.0)
    assert message(live) != f"taken back: {what}"


def test_a_refusal_is_told_with_its_reason_and_goes_by_itself() -> None:
    live, session = opened()
    session.answers[i.Advance] = Refused(say("refusal.nothing_ahead", which="P1"))
    hit(live, "space")
    assert message(live) == "nothing is left to do on P1"
    assert live.next_look_s() <= 1.0
    session.clock.advance(6.0)
    assert "nothing is left" not in message(live)


def test_a_line_of_readings_is_understood_and_submitted() -> None:
    live, session = opened()
    hit(live, "w", *"air", "space", *"53", "enter")
    assert session.intents == [i.TakeReading(ReadingTaken("", air_c=11.7))]


def test_a_line_that_begins_with_a_pour_is_its_own_reading() -> None:
    live, session = opened()
    hit(live, "w", *"p3", "space", *"air", "space", *"53", "enter")
    assert session.intents == [i.TakeReading(ReadingTaken("P3", air_c=11.7))]


def test_a_line_that_is_no_reading_is_refused_in_words() -> None:
    live, session = opened()
    hit(live, "w", *"warm", "enter")
    assert session.intents == []
    assert message(live) == "no reading in that; such as: air 53 sun wind 6"


def test_seen_warnings_are_answered_to_the_session() -> None:
    live, session = opened("warned")
    hit(live, "z")
    assert session.seen.banners == ()


def test_disk_trouble_stays_said_after_it_was_seen() -> None:
    live, session = opened()
    session.trouble = say("banner.disk", why="no space left")
    assert any("Not kept yet: no space left" in plain(line) for line in live.lines(80, 24))
    hit(live, "z")
    shown = [plain(line) for line in live.lines(80, 24)]
    assert not any("Not kept yet" in line for line in shown)
    assert "NOT KEPT ON DISK" in shown[-2]


def test_disk_trouble_offers_another_folder_within_eighty_cells_as_long_as_it_lasts() -> None:
    live, session = opened()
    offer = "Not kept yet: No space left on device · w log FOLDER: go on there"
    session.trouble = say("banner.disk", why="No space left on device")
    assert any(offer in plain(line) for line in live.lines(80, 24))
    session.trouble = None
    assert not any("log FOLDER" in plain(line) for line in live.lines(80, 24))


def test_who_reads_along_is_offered_no_folder() -> None:
    live, session = opened()
    session.trouble, session.read_only = say("banner.disk", why="No space left on device"), True
    assert not any("log FOLDER" in plain(line) for line in live.lines(80, 24))


def test_the_mark_turns_solid_when_the_line_is_on_disk() -> None:
    live, session = opened()
    assert "0:39 ○" in "\n".join(plain(line) for line in live.lines(80, 24))
    session.keep(15)
    assert "0:39 ●" in "\n".join(plain(line) for line in live.lines(80, 24))


def test_the_wish_to_leave_is_handed_on() -> None:
    live, session = opened()
    assert not hit(live, "q")
    assert hit(live, "y", at=101.0)
    assert session.closed == 0


@pytest.mark.parametrize("fault", [RuntimeError("[/]\x1b[31m"), KeyError("line.x"), ValueError()])
def test_a_fault_of_the_session_is_told_and_the_screen_goes_on(fault: Exception) -> None:
    live, session = opened()
    session.broken = fault
    live.take_view()
    assert message(live).startswith("this part could not be drawn")
    session.broken = None
    session.clock.advance(7.0)
    live.take_view()
    assert "could not be drawn" not in message(live)


def test_a_day_that_cannot_be_shown_says_why_and_can_be_left() -> None:
    session = FakeSession(VIEWS["mix now"], broken=RuntimeError("no such mix"))
    live = Live(session, Pen(WORDS), "sun", lambda _seq: None)
    shown = "\n".join(plain(line) for line in live.lines(80, 24))
    assert "no such mix" in shown
    assert "q: leave" in shown
    assert hit(live, "q")


def test_the_next_look_is_at_the_whole_second_or_sooner_where_something_ends() -> None:
    live, session = opened()
    session.clock.advance(0.25)
    assert live.next_look_s() == pytest.approx(0.75)
    hit(live, "percent_sign")
    session.clock.advance(1.6)
    assert live.next_look_s() == pytest.approx(0.15)
    session.clock.advance(0.3)
    assert live.next_look_s() == pytest.approx(0.1)


def test_the_limits_are_said_before_the_first_key_and_never_over_a_running_clock() -> None:
    empty, _ = opened("empty day")
    assert any("Before the first bag" in plain(line) for line in empty.lines(80, 24))
    hit(empty, "d")
    assert not any("Before the first bag" in plain(line) for line in empty.lines(80, 24))
    running, _ = opened()
    assert not any("Before the first bag" in plain(line) for line in running.lines(80, 24))


def test_the_help_ends_after_its_last_page() -> None:
    live, _ = opened()
    pages = 0
    while pages < 20:
        hit(live, "question_mark", at=100.0 + pages)
        live.lines(80, 24)
        if not live.desk.page:
            break
        pages += 1
    assert 3 <= pages < 20


def test_the_units_and_zone_are_those_of_the_job() -> None:
    live, _ = opened("metric")
    shown = "\n".join(plain(line) for line in live.lines(80, 24))
    assert "4.02 L" in shown
    assert "09:41:08" in shown


def test_a_clock_that_stood_still_under_a_closed_lid_does_not_stop_the_countdown() -> None:
    live, session = opened()
    session.clock.sleep_lid(600.0)
    live.take_view()
    assert "+9:21" in "\n".join(plain(line) for line in live.lines(80, 24))


def test_two_screens_over_one_hand_clock_agree() -> None:
    clock = HandClock(NOW)
    one, other = (
        Live(FakeSession(replace(VIEWS["mix now"]), clock=clock), Pen(WORDS), "sun", lambda _seq: None)
        for _ in range(2)
    )
    assert one.lines(80, 24) == other.lines(80, 24)
