"""When an alarm is heard and how long it is seen, on a clock moved by hand. The times are of our own making: no source."""

from __future__ import annotations

import math
from dataclasses import replace
from itertools import pairwise

import pytest

from tui.sound.alarms import DUE, LATE, LONG, LOST, Alarm
from tui.sound.ringing import APART_S, MOST, REPEAT_S, REPEATS, Ringing, Sound, ring

T0 = 1000.0


def passing(name: str = "P1", level: int = DUE) -> Alarm:
    return Alarm(f"{name} first_trowel", "pass", level, name, "first_trowel", "F")


def calling(level: int = DUE, batch: str = "P2.2") -> Alarm:
    return Alarm(f"call {batch}", "call", level, "P2", who="MA")


class Day:
    """Looks once a second, as the screen does, and notes what is heard and when."""

    def __init__(self, *standing: Alarm, pace: float = 1.0, muted: bool = False) -> None:
        self.ringing, self.now, self.pace, self.muted = Ringing(), T0, pace, muted
        self.heard: list[tuple[float, Sound]] = []
        self.look(*standing)
        self.go(10.0, *standing)

    def look(self, *standing: Alarm) -> Sound | None:
        self.ringing, sound = ring(self.ringing, standing, self.now, self.pace, self.muted)
        if sound is not None:
            self.heard.append((self.now, sound))
        return sound

    def go(self, for_s: float, *standing: Alarm) -> list[Sound]:
        """Let so many seconds of the hands pass."""
        before = len(self.heard)
        for _ in range(round(for_s)):
            self.now += self.pace
            self.look(*standing)
        return [sound for _, sound in self.heard[before:]]

    @property
    def shown(self) -> list[str]:
        return [one.alarm.which for one in self.ringing.shown]


def test_a_quiet_day_makes_no_sound() -> None:
    assert Day().heard == []


# what turns up, the sound it makes
FIRST: list[tuple[Alarm, Sound]] = [
    (calling(DUE), "call"),
    (calling(LATE), "call"),
    (calling(LOST), "call"),
    (passing(level=DUE), "due"),
    (passing(level=LONG), "due"),
    (passing(level=LATE), "late"),
    (passing(level=LOST), "late"),
]


@pytest.mark.parametrize(("alarm", "sound"), FIRST)
def test_what_turns_up_is_heard_at_once_and_once(alarm: Alarm, sound: Sound) -> None:
    day = Day()
    assert day.go(1, alarm) == [sound]
    assert day.go(20, alarm) == []


def test_each_step_from_due_to_lost_is_heard() -> None:
    day = Day()
    heard = [day.go(5, passing(level=level)) for level in (DUE, LONG, LATE, LOST)]
    assert heard == [["due"], ["due"], ["late"], ["late"]]


def test_several_at_once_are_one_sound_of_the_worst() -> None:
    day = Day()
    assert day.go(3, passing("P1", DUE), passing("P2", LATE), calling(DUE)) == ["late"]


def test_two_within_two_seconds_are_two_sounds_two_seconds_apart() -> None:
    day = Day()
    day.go(1, passing("P1"))
    day.go(5, passing("P1"), passing("P2"))
    (first, _), (second, _) = day.heard
    assert second - first == APART_S


def test_no_look_ever_makes_sounds_less_than_two_seconds_apart() -> None:
    day = Day()
    for n in range(1, 21):
        day.go(1, *(passing(f"P{m}", LATE) for m in range(n)))
    moments = [at for at, _ in day.heard]
    assert len(moments) > 5
    assert min(b - a for a, b in pairwise(moments)) >= APART_S


def test_a_late_pass_is_heard_three_times_more_and_then_only_seen() -> None:
    day = Day()
    day.go(600, passing(level=LATE))
    moments = [at for at, _ in day.heard]
    assert len(moments) == 1 + REPEATS
    assert {b - a for a, b in pairwise(moments)} == {REPEAT_S}
    assert day.shown == ["P1"]


@pytest.mark.parametrize("alarm", [passing(level=DUE), passing(level=LOST), calling(LATE), calling(LOST)])
def test_nothing_but_a_late_pass_repeats(alarm: Alarm) -> None:
    day = Day()
    assert len(day.go(600, alarm)) == 1


def test_twenty_late_passes_repeat_together() -> None:
    day = Day()
    for n in range(1, 21):
        day.go(1, *(passing(f"P{m}", LATE) for m in range(n)))
    before = len(day.heard)
    day.go(600, *(passing(f"P{m}", LATE) for m in range(20)))
    assert len(day.heard) - before <= 2 * REPEATS


def test_an_answered_alarm_is_neither_seen_nor_heard() -> None:
    day = Day()
    day.go(1, passing(level=LATE))
    day.ringing = day.ringing.answered()
    assert day.shown == []
    assert day.go(600, passing(level=LATE)) == []
    assert day.shown == []


@pytest.mark.parametrize(("level", "worse"), [(DUE, LONG), (DUE, LATE), (LONG, LATE), (LATE, LOST)])
def test_an_answered_alarm_that_gets_worse_comes_back_and_rings(level: int, worse: int) -> None:
    day = Day()
    day.go(5, passing(level=level))
    day.ringing = day.ringing.answered()
    assert len(day.go(5, passing(level=worse))) == 1
    assert day.shown == ["P1"]


def test_one_that_falls_back_is_silent_and_rings_when_it_gets_worse_again() -> None:
    day = Day()
    day.go(5, passing(level=LATE))
    day.ringing = day.ringing.answered()
    assert day.go(60, passing(level=DUE)) == []
    assert day.go(5, passing(level=LATE)) == ["late"]
    assert day.shown == ["P1"]


def test_a_cause_that_is_gone_takes_its_row_with_it() -> None:
    day = Day()
    day.go(5, passing(level=LATE))
    day.go(1)
    assert day.shown == []
    assert day.go(600) == []
    assert day.ringing.standing == ()


def test_one_that_comes_again_at_once_is_the_same_one_and_later_a_new_one() -> None:
    day = Day()
    day.go(5, passing())
    day.go(3)
    assert day.go(3, passing()) == []
    assert day.shown == ["P1"]
    day.go(30)
    assert day.go(3, passing()) == ["due"]


def test_a_call_is_heard_at_once_and_seen_once_it_was_not_followed_for_half_a_minute() -> None:
    day = Day()
    assert day.go(1, calling()) == ["call"]
    assert day.shown == []
    assert day.go(28, calling()) == []
    assert day.go(2, calling()) == ["call"]
    assert day.shown == ["P2"]
    assert day.ringing.shown[0].level == LONG


def test_the_next_bag_of_a_pour_is_a_call_of_its_own() -> None:
    day = Day()
    day.go(5, calling(batch="P2.1"))
    assert day.go(1, calling(batch="P2.2")) == ["call"]


def test_the_worst_comes_first_and_of_equals_the_one_that_stands_longest() -> None:
    day = Day()
    day.go(1, passing("P3", LATE))
    day.go(1, passing("P3", LATE), passing("P1", LATE), passing("P2", LOST), passing("P4", DUE))
    assert day.shown == ["P2", "P3", "P1", "P4"]


def test_a_loss_that_is_no_news_stands_behind_what_can_still_be_done() -> None:
    day = Day()
    lost, late = passing("P2", LOST), passing("P3", DUE)
    day.go(20, lost, late)
    assert day.shown == ["P2", "P3"]
    day.go(20, lost, late)
    assert day.shown == ["P3", "P2"]


def test_only_what_is_in_sight_is_answered() -> None:
    day = Day()
    standing = [passing(f"P{n}", LATE) for n in range(5)]
    day.go(5, *standing)
    left = day.shown[MOST:]
    day.ringing = day.ringing.answered()
    assert day.shown == left
    day.go(1, *standing)
    assert day.shown == left


@pytest.mark.parametrize("gap_s", [60.0, 8 * 3600.0])
def test_after_sleep_there_is_one_sound_for_all_that_turned_up(gap_s: float) -> None:
    day = Day()
    day.now += gap_s
    standing = [passing(f"P{n}", LOST) for n in range(20)]
    day.look(*standing)
    assert day.go(600, *standing, calling(LOST)) == ["call"]


def test_a_clock_that_only_goes_by_leaps_is_heard_one_leap_later() -> None:
    day = Day()
    heard = []
    for _ in range(4):
        day.now += 60.0
        heard.append(day.look(passing("P1", LATE)))
    assert heard == [None, "late", None, "late"]


def test_after_opening_a_log_there_is_one_sound() -> None:
    standing = [passing(f"P{n}", LOST) for n in range(20)]
    day = Day(*standing)
    assert [sound for _, sound in day.heard] == ["late"]


def test_muted_alarms_are_seen_and_not_made_up_for_afterwards() -> None:
    day = Day(muted=True)
    day.go(5, passing(level=LATE))
    assert day.heard == []
    assert day.shown == ["P1"]
    day.muted = False
    assert day.go(20, passing(level=LATE)) == []
    assert day.go(1, passing(level=LOST)) == ["late"]


@pytest.mark.parametrize("pace", [10.0, 600.0])
def test_on_a_fast_clock_the_ears_get_their_own_seconds(pace: float) -> None:
    day = Day(pace=pace)
    day.go(1, passing("P1", LATE))
    day.go(100, passing("P1", LATE), passing("P2", LATE))
    gaps = [(b - a) / pace for (a, _), (b, _) in pairwise(day.heard)]
    assert gaps[0] == pytest.approx(APART_S)
    assert gaps[1:] == pytest.approx(
        [REPEAT_S - APART_S, REPEAT_S, REPEAT_S]
    )  # the first one's repeat takes both along


def test_a_quiet_look_changes_nothing_but_its_moment() -> None:
    day = Day()
    before = day.ringing
    day.go(1)
    assert replace(day.ringing, looked_at=0.0) == replace(before, looked_at=0.0)
    assert not math.isinf(day.ringing.looked_at)
