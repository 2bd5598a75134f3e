"""What presses at a moment. Levels and what keeps silent are of our own making: no source."""

from __future__ import annotations

from dataclasses import replace

import pytest

from engine.pour.views import CallView, LiveView, Row, WindowState
from engine.words import say
from tests.tui.days import BUSY, CREW, FRESH, NOW, VIEWS, call, called, hold, person, row, vessel, view
from tui.sound.alarms import DUE, LATE, LONG, LOST, Alarm, alarms


def of(seen: LiveView, kind: str = "pass") -> list[Alarm]:
    return [alarm for alarm in alarms(seen, NOW) if alarm.kind == kind]


def one_row(state: WindowState, left_s: float, key: str = "P2.1", **changes: object) -> LiveView:
    return view(hold(), (row(key, "first_trowel", state, left_s, **changes),))


# state, seconds to its next limit (due to late takes 60 s), level
LEVELS: list[tuple[WindowState, float, int]] = [
    ("due", 60.0, DUE),
    ("due", 30.5, DUE),
    ("due", 30.0, LONG),
    ("due", 1.0, LONG),
    ("late", 89.0, LATE),
    ("late", 1.0, LATE),
    ("lost", -1.0, LOST),
    ("lost", -900.0, LOST),
]


@pytest.mark.parametrize(("state", "left_s", "level"), LEVELS)
def test_a_pass_presses_more_and_more_from_due_to_lost(state: WindowState, left_s: float, level: int) -> None:
    (alarm,) = of(one_row(state, left_s))
    assert alarm.level == level
    assert (alarm.which, alarm.step, alarm.who) == ("P2.1", "first_trowel", "F")


@pytest.mark.parametrize("state", ["early", "open"])
def test_a_pass_that_is_not_due_does_not_press(state: WindowState) -> None:
    assert of(one_row(state, 5.0)) == []


@pytest.mark.parametrize("one", [vessel(), called()], ids=["vessel", "called"])
def test_a_batch_in_its_vessel_has_no_pass_to_press(one: Row) -> None:
    assert of(view(hold(), (one,))) == []


def test_a_batch_finished_alone_or_with_others_keeps_its_alarm() -> None:
    alone = one_row("late", 20.0, key="P1.1", batches=("P1.1",))
    whole = one_row("late", 20.0, key="P1", batches=("P1.1", "P1.2"))
    assert of(alone)[0].key == of(whole)[0].key
    assert of(whole)[0].which == "P1"


def test_each_pass_of_a_batch_is_an_alarm_of_its_own() -> None:
    second = view(hold(), (row("P2.1", "second_trowel", "due", 50.0),))
    assert of(one_row("due", 50.0))[0].key != of(second)[0].key


NOBODY = (person("Lead", away=True), person("F", away=True), person("MA", does=("mix", "place")))


def test_a_pass_that_nobody_is_there_to_do_does_not_press() -> None:
    assert of(replace(one_row("late", 20.0), crew=NOBODY)) == []


def test_an_away_person_is_not_named() -> None:
    crew = (person("F", away=True), person("Lead"))
    (alarm,) = of(replace(one_row("late", 20.0), crew=crew))
    assert alarm.who == ""


CALLS = [("mix now", DUE), ("edge at risk", LATE), ("joint", LOST)]


@pytest.mark.parametrize(("state", "level"), CALLS)
def test_the_call_presses_while_it_wants_hands(state: str, level: int) -> None:
    (alarm,) = of(view(call(state), (row(),)), "call")
    assert alarm.level == level
    assert (alarm.which, alarm.who, alarm.until) == ("P2", "MA", NOW + 70)


def test_a_call_keeps_its_alarm_from_mix_now_to_joint() -> None:
    keys = {of(view(call(state), (row(),)), "call")[0].key for state, _ in CALLS}
    assert len(keys) == 1


@pytest.mark.parametrize(
    "other", [hold(), CallView("done", say("reason.done")), CallView("no answer", say("reason.no_vessel"))]
)
def test_other_calls_do_not_press(other: CallView) -> None:
    assert of(view(other, (row(),)), "call") == []


def test_nothing_presses_before_the_first_water_of_the_day() -> None:
    assert alarms(view(call(), queue=FRESH), NOW) == ()
    assert of(view(call()), "call") != []


def test_a_bag_called_and_dry_follows_the_call_but_does_not_save_an_edge() -> None:
    assert of(view(call(), (called("P2"),)), "call") == []
    assert of(view(call(), (called("P3"),)), "call") != []
    assert of(view(call("edge at risk"), (called("P2"),)), "call") != []


@pytest.mark.parametrize("name", VIEWS)
def test_every_made_up_day_has_alarms_with_keys_of_their_own(name: str) -> None:
    keys = [alarm.key for alarm in alarms(VIEWS[name], NOW)]
    assert len(keys) == len(set(keys))


def test_the_busy_day_presses_with_its_call_and_two_passes() -> None:
    found = alarms(view(call(), BUSY, crew=CREW), NOW)
    assert [(alarm.kind, alarm.which, alarm.level) for alarm in found] == [
        ("call", "P2", DUE),
        ("pass", "P1", LATE),
        ("pass", "P2.1", LONG),
    ]


def test_a_batch_left_in_its_vessel_presses_until_it_is_stiff_and_then_is_lost() -> None:
    waits = vessel("P2.2", "tipped", 40.0, until_word="workable")
    seen = view(call("hold"), (waits,))
    assert [(one.which, one.level) for one in of(seen)] == [("P2.2", LATE)]
    assert [(one.which, one.level) for one in alarms(seen, NOW + 40.0)] == [("P2.2", LOST)]
    assert alarms(view(call("hold"), (vessel("P2.2", "tipped", 40.0),)), NOW) == ()
