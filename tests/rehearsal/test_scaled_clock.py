"""A clock at many times the pace. Source of the expected seconds: arithmetic on what is done to the clock inside by hand."""

from __future__ import annotations

import pytest

from engine.clock import HandClock, ScaledClock, Timeline

WALL = 1_794_000_000.0


@pytest.mark.parametrize("speed", [0.5, 1.0, 10.0, 60.0])
def test_both_clocks_of_a_stamp_run_at_the_speed_given(speed: float) -> None:
    inner = HandClock(WALL)
    clock = ScaledClock(inner, speed)
    began = clock.stamp()
    inner.advance(30.0)
    later = clock.stamp()
    assert later.wall - began.wall == pytest.approx(30.0 * speed)
    assert later.boot - began.boot == pytest.approx(30.0 * speed)


def test_it_starts_at_a_wall_time_of_its_own() -> None:
    assert ScaledClock(HandClock(WALL), 10.0, 5_000.0).stamp().wall == 5_000.0
    assert ScaledClock(HandClock(WALL), 10.0).stamp().wall == WALL


def test_a_key_pressed_a_moment_ago_lies_that_moment_back_at_the_speed() -> None:
    inner = HandClock(WALL)
    clock = ScaledClock(inner, 10.0)
    inner.advance(10.0)
    inner.held_s = 0.5
    assert clock.stamp().boot - clock.pressed(0.0).boot == pytest.approx(5.0)


def test_a_wall_clock_set_by_somebody_does_not_reach_the_rehearsal() -> None:
    inner = HandClock(WALL)
    clock = ScaledClock(inner, 10.0)
    timeline = Timeline().seen(clock.stamp())
    inner.step_wall(3600.0)
    inner.advance(3.0)
    assert timeline.step(clock.stamp()) == 0.0
    assert timeline.at(clock.stamp()) == pytest.approx(WALL + 30.0)


def test_its_stamps_belong_to_no_boot_of_the_machine() -> None:
    inner = HandClock(WALL)
    assert ScaledClock(inner, 10.0).stamp().mark != inner.stamp().mark


@pytest.mark.parametrize("speed", [0.0, -1.0, float("nan")])
def test_a_clock_that_stands_or_runs_back_is_refused(speed: float) -> None:
    with pytest.raises(ValueError, match="speed above 0"):
        ScaledClock(HandClock(WALL), speed)
