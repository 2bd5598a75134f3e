"""Clocks and log time. Source of the expected seconds: arithmetic on what is done to the clocks by hand."""

from __future__ import annotations

import time
from collections.abc import Callable
from dataclasses import FrozenInstanceError
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from engine.clock import HandClock, Stamp, SystemClock, Timeline, _boot_mark, derived_mark

START = 1_794_000_000.0
TIMER_S = 1200.0


def plain(clock: HandClock) -> None:
    clock.advance(230.0)


def lid_closed(clock: HandClock) -> None:
    clock.sleep_lid(600.0)


def wall_an_hour_on(clock: HandClock) -> None:
    clock.step_wall(3600.0)


def wall_two_minutes_back(clock: HandClock) -> None:
    clock.step_wall(-120.0)


def power_cut(clock: HandClock) -> None:
    clock.reboot(90.0)


# 40 s before and 30 s after what happens.
# Left of 1200 s: in truth, by the wall clock alone, by a clock that stops in sleep and with the power.
SCENARIOS = [
    (plain, 900.0, 900.0, 900.0),
    (lid_closed, 530.0, 530.0, 1130.0),
    (wall_an_hour_on, 1130.0, -2470.0, 1130.0),
    (wall_two_minutes_back, 1130.0, 1250.0, 1130.0),
    (power_cut, 1040.0, 1040.0, 1130.0),
]


@pytest.mark.parametrize(("happening", "true_s", "by_wall_s", "by_awake_s"), SCENARIOS)
def test_a_deadline_kept_in_log_time_is_right_whatever_happens_to_the_clocks(
    happening: Callable[[HandClock], None], true_s: float, by_wall_s: float, by_awake_s: float
) -> None:
    clock = HandClock(START)
    first = clock.stamp()
    timeline = Timeline().seen(first)
    clock.advance(40.0)
    timeline = timeline.seen(clock.stamp())
    happening(clock)
    clock.advance(30.0)
    now = clock.stamp()
    assert timeline.at(first) + TIMER_S - timeline.at(now) == pytest.approx(true_s, abs=1e-6)
    assert first.wall + TIMER_S - now.wall == pytest.approx(by_wall_s, abs=1e-6)
    assert TIMER_S - clock.awake_s == pytest.approx(by_awake_s, abs=1e-6)


@pytest.mark.parametrize(("step_s"), [3600.0, -120.0])
def test_a_stepped_wall_clock_is_seen_once_and_its_distance_stays_known(step_s: float) -> None:
    clock = HandClock(START)
    timeline = Timeline().seen(clock.stamp())
    assert timeline.step(clock.stamp()) == 0.0
    clock.step_wall(step_s)
    clock.advance(1.0)
    assert timeline.step(clock.stamp()) == pytest.approx(step_s, abs=1e-6)
    timeline = timeline.seen(clock.stamp())
    clock.advance(1.0)
    assert timeline.step(clock.stamp()) == pytest.approx(0.0, abs=1e-6)
    assert timeline.jump(clock.stamp()) == pytest.approx(step_s, abs=1e-6)


def test_a_wall_clock_set_before_a_power_cut_does_not_age_the_batches() -> None:
    clock = HandClock(START)
    timeline = Timeline().seen(clock.stamp())
    clock.step_wall(3600.0)
    timeline = timeline.seen(clock.stamp())
    clock.reboot(90.0)
    assert timeline.at(clock.stamp()) == pytest.approx(START + 90.0, abs=1e-6)


def test_a_wall_clock_that_lost_its_date_in_a_power_cut_does_not_turn_log_time_back() -> None:
    clock = HandClock(START)
    clock.advance(600.0)
    timeline = Timeline().seen(clock.stamp())
    clock.step_wall(-1_000_000.0)
    clock.reboot(90.0)
    back_up = clock.stamp()
    assert timeline.at(back_up) == START + 600.0
    assert timeline.step(back_up) == pytest.approx(-999_910.0, abs=1e-6)
    timeline = timeline.seen(back_up)
    clock.advance(5.0)
    assert timeline.at(clock.stamp()) == pytest.approx(START + 605.0, abs=1e-6)


def test_an_earlier_boot_is_still_placed_on_its_own_clock() -> None:
    clock = HandClock(START)
    before = clock.stamp()
    timeline = Timeline().seen(before)
    clock.reboot(90.0)
    timeline = timeline.seen(clock.stamp())
    assert timeline.at(before) == START


def test_the_first_stamp_stands_at_its_wall_time_seen_or_not() -> None:
    stamp = Stamp(START + 0.123456, 77.7, "boot-1")
    assert Timeline().at(stamp) == stamp.wall == Timeline().seen(stamp).at(stamp)
    assert Timeline().step(stamp) == 0.0


HAPPENINGS = st.lists(
    st.tuples(st.sampled_from(["advance", "sleep_lid", "reboot", "step_wall"]), st.floats(0.0, 5000.0)),
    max_size=12,
)


@settings(deadline=None)
@given(HAPPENINGS)
def test_log_time_counts_true_seconds_through_any_day_whose_every_turn_left_a_line(
    day: list[tuple[str, float]],
) -> None:
    clock = HandClock(START)
    timeline, passed_s = Timeline().seen(clock.stamp()), 0.0
    for happening, seconds in day:
        getattr(clock, happening)(seconds)
        passed_s += 0.0 if happening == "step_wall" else seconds
        timeline = timeline.seen(clock.stamp())
    assert timeline.at(clock.stamp()) == pytest.approx(START + passed_s, abs=1e-4)


def test_a_key_handled_late_is_stamped_when_the_terminal_delivered_it() -> None:
    clock = HandClock(START)
    clock.advance(10.0)
    clock.held_s = 10.0
    assert clock.pressed(0.0) == Stamp(START, 1000.0, "boot-1")


def test_the_machines_clock_turns_a_delivery_time_into_both_clocks() -> None:
    clock = SystemClock()
    now, pressed = clock.stamp(), clock.pressed(time.monotonic() - 10.0)
    assert now.boot - pressed.boot == pytest.approx(10.0, abs=0.5)
    assert now.wall - pressed.wall == pytest.approx(10.0, abs=0.5)
    assert pressed.mark == now.mark


def test_a_delivery_time_in_the_future_is_now() -> None:
    clock = SystemClock()
    before, pressed = clock.stamp(), clock.pressed(time.monotonic() + 100.0)
    assert before.boot <= pressed.boot <= clock.stamp().boot


def test_the_machines_boot_clock_runs_on_and_agrees_with_another_reader_of_the_same_boot() -> None:
    one, other = SystemClock(), SystemClock()
    stamps = [one.stamp(), other.stamp(), one.stamp()]
    assert [s.boot for s in stamps] == sorted(s.boot for s in stamps)
    assert len({s.mark for s in stamps}) == 1
    assert stamps[0].wall == pytest.approx(time.time(), abs=5.0)


def test_the_boot_mark_is_the_systems_own_where_it_has_one(tmp_path: Path) -> None:
    given_id = tmp_path / "boot_id"
    given_id.write_text("0b54a7a2-0001\n", encoding="ascii")
    assert _boot_mark(START, 50.0, given_id) == "0b54a7a2-0001"
    assert _boot_mark(START, 50.0, tmp_path / "missing") == derived_mark(START, 50.0)


def test_a_derived_boot_mark_holds_through_a_boot_and_changes_with_the_next() -> None:
    assert derived_mark(START, 50.0) == derived_mark(START + 7200.0, 7250.0)
    assert derived_mark(START, 50.0) != derived_mark(START + 200.0, 10.0)


def test_a_stamp_cannot_be_changed_and_keeps_wall_time_to_the_microsecond() -> None:
    stamp = Stamp(START + 0.1234564, 1.0, "boot-1")
    assert stamp.wall == START + 0.123456
    with pytest.raises(FrozenInstanceError):
        stamp.wall = 0.0  # type: ignore[misc]
