"""The live screen over the real engine: one pour of the library day from the call to its last pass, by keys alone."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import UTC, datetime
from pathlib import Path

import pytest

from engine import console
from engine.clock import HandClock
from tests.tui.days import WORDS
from tui.live import Live
from tui.paint.pen import Pen
from tui.paint.runs import plain
from tui.press import Press

JOB = Path(__file__).parents[1] / "data" / "scenarios" / "library" / "job.toml"
MORNING = datetime(2026, 11, 5, 16, 10, tzinfo=UTC).timestamp()  # 10:10 on site


class Hands:
    """A screen of 80 by 24 over a fresh log, and somebody at its keys."""

    def __init__(self, log: Path) -> None:
        self.clock = HandClock(MORNING)
        self.session = console.open_session(JOB, WORDS, log=log, clock=self.clock)
        self.live = Live(self.session, Pen(WORDS), "sun", lambda _seq: None)
        self.look()

    def look(self) -> str:
        """What stands on the screen once the plan is made."""
        self.live.replan()
        self.live.take_view()
        return "\n".join(plain(line).rstrip() for line in self.live.lines(80, 24))

    def press(self, *keys: str) -> str:
        for key in keys:
            self.clock.advance(1.0)
            self.look()
            character = {"space": " "}.get(key, key if len(key) == 1 else None)
            self.live.follow(Press(key, character, self.clock.stamp().boot))
        return self.look()

    def wait(self, seconds: float) -> str:
        self.clock.advance(seconds)
        return self.look()


@pytest.fixture
def hands(tmp_path: Path) -> Iterator[Hands]:
    found = Hands(tmp_path / "day.jsonl")
    yield found
    found.session.close()


def test_a_pour_goes_from_the_call_to_its_last_pass_by_space_and_enter_alone(hands: Hands) -> None:
    assert "enter call P1" in hands.look()
    assert "space P1 water in" in hands.press("enter")
    assert "space P1.1 mixed" in hands.press("enter")
    stamped = [
        ("mixed", 90),
        ("tipped", 30),
        ("floated", 60),
        ("first trowel done", 300),
        ("second trowel done", 420),
    ]
    for word, seconds in stamped:
        assert f"space P1.1 {word}" in hands.wait(seconds)
        hands.press("space")
    assert "P1.1 second trowel" not in hands.look()
    hands.session.close()
    assert hands.session.kept_seq >= 7


def test_undo_says_in_words_what_it_took_back_and_the_row_is_as_before(hands: Hands) -> None:
    hands.press("enter", "enter")
    hands.wait(90.0)
    before = row_of(hands.look())
    hands.press("space")
    after = hands.press("backspace")
    assert "taken back: P1.1 mixed" in after
    assert row_of(after) == before


def row_of(shown: str) -> str:
    """The first running row from its state on."""
    return shown.splitlines()[11][28:]


def test_a_stamp_is_moved_by_arrows(hands: Hands) -> None:
    hands.press("enter", "enter")
    at = hands.session.view().last
    moved = hands.press("left")
    assert at is not None
    assert "moved by -5 s" in moved


def test_readings_are_typed_in_the_units_of_the_job(hands: Hands) -> None:
    shown = hands.press("w", *"air", "space", *"53", "space", *"sun", "enter")
    assert "air 53" in shown
    assert "sun" in shown.splitlines()[20]


def test_a_refusal_of_the_engine_is_shown_in_words(hands: Hands) -> None:
    shown = hands.press("w", *"air", "space", *"999", "enter")
    assert "air 999 cannot be" in shown


def test_people_go_away_and_come_back_by_their_digit(hands: Hands) -> None:
    assert "2 F    away" in hands.press("a", "2")
    assert "2 F    away" not in hands.press("a", "2")
