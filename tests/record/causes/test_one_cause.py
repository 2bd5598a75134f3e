"""Days made exactly as planned but for one thing: all seconds of every miss go to that thing.

Limits by the closed rules of the clock model where they can be had without it: water or a stamp so many seconds later
than planned is late by those seconds less the room the plan had. Common practice, no source.
"""

from __future__ import annotations

import math
from collections.abc import Callable

import pytest

from engine.pour import events as e
from engine.pour.body import Body
from engine.record.causes import Cause, Missed
from tests.record.causes.made import Line, as_planned, later, missed, of, promised, small

EARLY_S = 0.0  # with the first water; a reading before that would end with the forecast row of the hour


def _read(**values: float) -> list[Line]:
    return [(small("P1", "P4").start + EARLY_S, e.ReadingTaken(**values), "")]  # type: ignore[arg-type]


def _stroke(batch: str, name: str) -> Callable[[Body], bool]:
    return lambda body: isinstance(body, e.StrokeDone) and of(body, batch) and body.name == name


def _all_from(found: tuple[Missed, ...], cause: Cause) -> None:
    """Every second of every miss is from one cause and none from another, nor left over."""
    assert found
    for one in found:
        assert one.of(cause) == pytest.approx(one.late_s, abs=1e-4)
        assert all(abs(share.seconds) < 1e-4 for share in one.shares if share.cause != cause)


def test_a_day_as_planned_misses_nothing() -> None:
    assert missed(small("P1", "P4"), as_planned(small("P1", "P4"))) == ()


@pytest.mark.parametrize(
    ("read", "cause", "what"),
    [
        ({"slab_c": 38.0}, "temperature", "second_trowel"),
        ({"slab_c": 1.0}, "temperature", "wheels"),
        ({"air_c": -10.0, "wind_ms": 12.0}, "temperature", "wheels"),
        ({"water_c": 45.0, "bags_c": 35.0}, "materials", "workable"),
        ({"mix_c": 35.0}, "materials", "joint"),
        ({"water_c": 3.0, "bags_c": 1.0}, "materials", "feet"),
    ],
)
def test_a_reading_apart_from_the_forecast_has_all_seconds(
    read: dict[str, float], cause: Cause, what: str
) -> None:
    job = small("P1", "P4")
    found = missed(job, [*as_planned(job), *_read(**read)])
    assert what in {one.what for one in found}
    _all_from(found, cause)


def test_a_packet_that_nobody_planned_holds_back_the_openings() -> None:
    job = small("P1", "P4")
    found = missed(job, as_planned(job, packets=1.0))
    assert {one.what for one in found} == {"feet", "wheels"}
    _all_from(found, "packet")


def test_a_stroke_stamped_late_is_the_time_of_the_work() -> None:
    job = small("P1", "P4")
    found = missed(job, later(as_planned(job), 300.0, _stroke("P1.1", "first_trowel")))
    assert [(one.what, one.batch) for one in found] == [("first_trowel", "P1.1")]
    _all_from(found, "crew")


def test_mixing_longer_is_the_time_of_the_work_and_no_waiting() -> None:
    job = small("P4")
    lines = later(
        as_planned(job), 220.0, lambda body: of(body, "P4.1") and not isinstance(body, e.WaterAdded)
    )
    found = [one for one in missed(job, lines) if one.what == "workable"]
    _all_from(tuple(found), "crew")


def test_a_batch_that_stood_takes_all_that_follows_with_it() -> None:
    job = small("P4")
    stood = later(
        as_planned(job), 200.0, lambda body: of(body, "P4.1") and isinstance(body, e.Tipped | e.StrokeDone)
    )
    found = missed(job, stood)
    assert {one.what for one in found} >= {"workable", "float"}
    _all_from(found, "waiting")


def test_seconds_past_the_working_time_are_those_stood_less_the_room_the_plan_had() -> None:
    job = small("P4")

    def tip_later(by_s: float) -> float:
        lines = later(as_planned(job), by_s, lambda body: of(body, "P4.1") and isinstance(body, e.Tipped))
        return next(one.late_s for one in missed(job, lines) if one.what == "workable")

    assert tip_later(230.0) - tip_later(200.0) == pytest.approx(30.0, abs=1e-4)


def test_water_later_than_planned_breaks_an_edge_by_the_time_of_the_water() -> None:
    job = small("P4")
    found = missed(job, later(as_planned(job), 200.0, lambda body: of(body, "P4.3")))
    assert [(one.what, one.batch) for one in found] == [("joint", "P4.3")]
    _all_from(found, "calls")


def test_a_day_begun_late_is_late_against_a_promise_and_not_within() -> None:
    job = small("P1")
    lines = [(at + 3600.0, body, who) for at, body, who in as_planned(job)]
    assert missed(job, lines) == ()
    tip = next(at for at, body, _ in as_planned(job) if isinstance(body, e.Tipped))
    promise = promised(job, "P1", tip + 3600.0 + 900.0)
    (feet,) = [one for one in missed(promise, lines) if one.what == "feet"]
    assert feet.promised
    assert feet.of("calls") == pytest.approx(feet.late_s)


def test_a_pour_open_and_not_opened_stood_waiting() -> None:
    job = small("P1")
    lines = as_planned(job)
    tip = next(at for at, body, _ in lines if isinstance(body, e.Tipped))
    by = tip + 2 * 3600.0
    found = missed(promised(job, "P1", by), [*lines, (by + 500.0, e.Opened("P1", "feet"), "F")])
    assert [(one.what, one.late_s) for one in found] == [("feet", 500.0)]
    _all_from(found, "waiting")


def test_two_causes_either_of_which_would_have_spared_it_are_said_to_overlap() -> None:
    job = small("P4")
    tip = later(as_planned(job), 200.0, lambda body: of(body, "P4.1") and isinstance(body, e.Tipped))
    plain = next(one for one in missed(job, tip) if one.what == "workable")
    room_s = 200.0 - plain.late_s  # what the plan had
    assert room_s > 0.0
    hot = [*tip, *_read(water_c=26.0)]
    both = next(one for one in missed(job, hot) if one.what == "workable" and one.batch == "P4.1")
    assert both.of("waiting") <= both.late_s
    assert both.of("materials") == pytest.approx(both.late_s - plain.late_s, abs=1e-4)
    assert math.isclose(sum(share.seconds for share in both.shares), both.late_s, abs_tol=1e-9)


def test_what_held_a_miss_back_is_a_gain_and_there_to_be_shared_out() -> None:
    job = small("P4")
    tip = later(as_planned(job), 400.0, lambda body: of(body, "P4.1") and isinstance(body, e.Tipped))
    cold = [*tip, *_read(water_c=10.0)]
    one = next(one for one in missed(job, cold) if one.what == "workable")
    assert one.of("materials") < 0.0
    assert one.of("waiting") == pytest.approx(one.late_s - one.of("materials"), abs=1e-4)


def test_what_is_not_stamped_is_not_judged() -> None:
    job = small("P1", "P4")
    lines = [line for line in as_planned(job) if not _stroke("P1.1", "second_trowel")(line[1])]
    assert missed(job, lines) == ()
