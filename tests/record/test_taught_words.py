"""What is typed about learning, on the screen and in notes, and what is answered at once."""

from __future__ import annotations

import datetime
from collections.abc import Iterator
from pathlib import Path

import pytest

from engine import console
from engine.clock import HandClock
from engine.errors import BadInput
from engine.job.files import read_job
from engine.pour import intents as i
from engine.pour.asked import Done, Refused, Told
from engine.pour.events import FactorFrozen, SignForgotten
from engine.pour.intents import Intent
from engine.pour.journal import fold
from engine.pour.reckoning import Moment
from engine.record.entered import enter, enter_file
from engine.record.notes import parse_notes
from tests.pour.driving import library
from tests.record.test_session import JOB, START, WORDS, open_on, tip_one


@pytest.fixture
def clock() -> HandClock:
    return HandClock(START)


@pytest.fixture
def session(clock: HandClock, tmp_path: Path) -> Iterator[console.Session]:
    opened = open_on(clock, tmp_path / "day.jsonl")
    tip_one(opened, clock)
    yield opened
    opened.close()


def typed(session: console.Session, line: str, pour: str = "") -> str:
    """What the screen answers to a line."""
    wanted = session.reading(line, pour)
    answer = session.submit(wanted) if isinstance(wanted, Intent) else wanted
    return WORDS(answer.reason if isinstance(answer, Refused) else answer.text)


@pytest.mark.parametrize(
    ("line", "intent"),
    [
        ("freeze", i.FreezeFactor()),
        ("FREE", i.FreeFactor()),
        ("forget 2", i.ForgetSign(2)),
    ],
)
def test_learning_is_steered_by_a_typed_word(session: console.Session, line: str, intent: Intent) -> None:
    assert session.reading(line) == intent


@pytest.mark.parametrize(
    "line", ["forget", "forget P1.1", "forget -1", "forget 1 2", "freeze now", "forget 9999999", "forget ²"]
)
def test_a_line_that_does_not_fit_is_refused(session: console.Session, line: str) -> None:
    assert isinstance(session.reading(line), Refused)


def test_a_sign_is_answered_in_words_and_forgotten_by_its_number(
    session: console.Session, clock: HandClock
) -> None:
    clock.advance(20)
    session.submit(i.StampStroke("float", "P1.1"))
    clock.advance(160)
    said = session.submit(i.SeeReady("P1.1"))
    assert isinstance(said, Done)
    assert WORDS(said.text).endswith("from 1 sign; before: setting as the card says")
    assert "1: P1.1 ready, first trowel." in typed(session, "signs")
    assert isinstance(session.reading("signs"), Told)
    assert typed(session, "forget 1").startswith("setting as the card says, no sign yet; before:")
    assert typed(session, "forget 1") == "sign 1 is forgotten already"
    assert session.view().factor.observations == 0


def test_a_surface_reading_says_both_clocks(session: console.Session, clock: HandClock) -> None:
    clock.advance(60)
    said = typed(session, "surface 75", "P1")
    assert "without the surface reading first trowel of P1.1 due 09:15:" in said
    assert ", with it 09:1" in said
    assert "name the pour" in typed(session, "surface 75")
    assert "moves no clock" in typed(session, "surface 75", "P2")


def test_a_sign_far_off_stands_as_a_banner_until_it_is_seen_to(
    session: console.Session, clock: HandClock
) -> None:
    clock.advance(5)
    session.submit(i.StampStroke("float", "P1.1"))
    said = session.submit(i.SeeReady("P1.1"))
    assert isinstance(said, Done)
    assert "Look twice at thermometer, water or bag" in WORDS(said.text)
    assert [one.key for one in session.view().banners] == ["teach.look_again"]
    clock.advance(30)
    typed(session, "air 45")
    assert session.view().banners == ()


NOTES = """time,what,which,who,value
09:10:00,water,P1,MA,
09:11:30,mixed,P1.1,,
09:12:05,tipped,P1.1,,
09:12:40,floated,P1.1,F,
09:14:30,reading,P1,,surface=66 degF
09:15:20,ready,P1.1,,
09:15:40,freeze,,,
09:15:50,first trowel,P1.1,F,
09:19:00,ready,P1.1,,
09:19:30,free,,,
09:20:00,forget,,,1
"""


def test_notes_freeze_free_and_forget_like_the_screen() -> None:
    rows, problems = parse_notes(NOTES, library(), "notes.csv")
    assert problems == ()
    events = enter(library(), rows, "notes.csv", WORDS, "test")
    kinds = [type(event.body).__name__ for event in events[-5:]]
    assert kinds == ["FactorFrozen", "StrokeDone", "SignSeen", "FactorFreed", "SignForgotten"]
    day = fold(library(), events).day
    assert Moment(day, events[-1].at).factor.observations == 1
    assert [sign.name for sign in day.signs] == ["second_trowel"]
    assert isinstance(events[-1].body, SignForgotten)
    assert isinstance(events[-5].body, FactorFrozen)


@pytest.mark.parametrize(
    "line",
    [
        "09:21:00,forget,,,two",
        "09:21:00,forget,,,",
        "09:21:00,forget,,,1.5",
        "09:21:00,freeze,P1,,",
        "09:21:00,free,,,now",
    ],
)
def test_notes_that_do_not_fit_are_named_with_their_line(line: str) -> None:
    _, problems = parse_notes(NOTES + line + "\n", library(), "notes.csv")
    assert [one.where for one in problems] == ["line 13"]


def test_what_the_day_refuses_is_named_with_its_line(tmp_path: Path) -> None:
    path = tmp_path / "notes.csv"
    path.write_text(NOTES + "09:21:00,forget,,,1\n", encoding="utf-8")
    with pytest.raises(BadInput) as refused:
        enter_file(read_job(JOB, datetime.date(2026, 11, 5)), path, WORDS, "test")
    assert "line 13" in str(refused.value)
