"""Ways out on the screen: offered in rows above the message, taken by a digit, in nobody's way."""

from __future__ import annotations

import pytest

from engine.pour import intents as i
from engine.pour.around.ways_out import Way, WaysOut
from engine.words import say
from tests.tui.days import NOW, FakeSession
from tests.tui.test_live import hit, message, opened
from tui.live import Live
from tui.paint.layout import arrange
from tui.paint.runs import plain

JOINT = Way(
    (("joint_later", (("pour", "P2"), ("rest", "P2b"))),),
    (i.SplitPour("P2"), i.SkipNext("P2b")),
    NOW + 600,
    -120.0,
    41.0,
    0.18,
    2.0,
)
ON = Way((("go_on", ()),), (), NOW + 900, 180.0, 12.0, 0.4, 0.0)
FOUND = WaysOut(say("trouble.lost", batch="P2.1"), (ON, JOINT))


def offered(found: WaysOut = FOUND) -> tuple[Live, FakeSession]:
    live, session = opened(ways=found)
    hit(live, "g")
    live.find_ways()
    session.clock.advance(1.0)
    return live, session


def rows(live: Live) -> str:
    return "\n".join(plain(line) for line in live.lines(80, 24))


def test_each_way_says_what_it_does_what_it_costs_and_its_key() -> None:
    live, _ = offered()
    shown = rows(live)
    assert "1  go on by the plan" in shown
    assert "3 min later, tightest 0:12, risk 40%" in shown
    assert "2  joint at P2 here, the rest (P2b) on a later visit" in shown
    assert "2 min sooner, tightest 0:41, risk 18%, 2 bags undone" in " ".join(shown.split())
    assert message(live).startswith("P2.1 lost, its pour is not full: a digit takes a way out")


def test_a_digit_takes_a_way() -> None:
    live, session = offered()
    hit(live, "2")
    assert session.intents[-1] == JOINT.intent
    assert "joint at P2" not in rows(live)


def test_any_other_key_does_what_it_always_does() -> None:
    live, session = offered()
    hit(live, "space")
    assert session.intents[-1] == i.Advance("P1")
    assert "1  go on" not in rows(live)


def test_a_digit_pressed_as_the_ways_come_up_takes_none() -> None:
    live, session = opened(ways=FOUND)
    live.find_ways()
    hit(live, "1")
    assert session.intents == []
    assert "1  go on by the plan" in rows(live)


def test_a_loss_an_absence_and_a_broken_vessel_ask_for_ways_by_themselves() -> None:
    for keys in (("l", "1"), ("a", "1"), ("v", "1")):
        live, _ = opened(ways=FOUND)
        hit(live, *keys)
        assert live.wants_ways, keys
    live, _ = opened(ways=FOUND)
    hit(live, "space")
    assert not live.wants_ways


def test_nothing_wrong_and_no_way_out_are_said_in_words() -> None:
    live, _ = offered(WaysOut(None))
    assert message(live) == "nothing is wrong: the plan keeps every window"
    live, _ = offered(WaysOut(say("trouble.away", who="MA")))
    assert "MA is away: no way out was found" in rows(live)


@pytest.mark.parametrize(("width", "height"), [(80, 24), (120, 36), (60, 20), (40, 12)])
def test_the_clocks_above_stay_in_sight_at_every_size(width: int, height: int) -> None:
    live, _ = offered()
    bare, session = opened()
    session.clock.advance(1.0)
    above = arrange(width, height, len(session.seen.crew)).above
    assert above >= 4
    assert live.lines(width, height)[:above] == bare.lines(width, height)[:above]
