"""The last call that keeps a promise, against the day itself: a bag at that moment keeps it, a quarter of an hour later it does not."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest

from engine.job.model import Deadline, Job, Target
from engine.pour import intents as i
from engine.pour.around.last_calls import LastCall, last_calls
from engine.pour.openings import openings
from tests.pour.driving import Drive, library


def promised(by: str) -> Job:
    """One pour of one bag, wheels wanted by a time of day."""
    drive = Drive(library())
    pour = next(pour for pour in library().pours if drive.moment("09:00:00").takeoffs[pour.id].bags == 1)
    return replace(library(), pours=(pour,), targets=(Target((pour.id,), "wheels", drive.at(by)),))


def asked(job: Job, clock: str = "09:00:00") -> LastCall:
    return last_calls(Drive(job).moment(clock))[0]


def opened_with_water_at(job: Job, at: float) -> float:
    """When wheels may come on a bag whose water went in then, tipped as soon as it can be."""
    drive, pour = Drive(job), job.pours[0].id
    clock = (
        f"{int((at - drive.at('00:00:00')) // 3600):02}:{int(at - drive.at('00:00:00')) % 3600 // 60:02}:00"
    )
    drive.do(clock, i.AddWater(pour, "MA"))
    moment = drive.moment(clock)
    return openings(moment, moment.day.pour(pour)).wheels or math.inf


def test_a_bag_at_the_last_call_keeps_the_promise_and_a_later_one_does_not() -> None:
    job = promised("15:30:00")
    call = asked(job)
    assert opened_with_water_at(job, call.latest - 300.0) <= call.by
    assert opened_with_water_at(job, call.latest + 900.0) > call.by


def test_the_chance_falls_as_the_hour_goes_and_is_even_at_the_last_call() -> None:
    job = promised("15:30:00")
    clocks = ("09:00:00", "10:00:00", "11:00:00", "12:00:00", "13:30:00")
    chances = [asked(job, clock).chance for clock in clocks]
    assert chances == sorted(chances, reverse=True)
    assert chances[0] > 0.9
    assert chances[-1] < 0.5


def test_more_bags_are_called_earlier() -> None:
    job = promised("15:30:00")
    larger = replace(job, pours=(replace(job.pours[0], area_m2=job.pours[0].area_m2 * 3.0),))
    assert asked(larger).latest < asked(job).latest


@pytest.mark.parametrize("what", ["rain", "shade", "dark", "quitting"])
def test_strokes_are_done_before_a_deadline_of_the_job(what: str) -> None:
    drive = Drive(library())
    job = replace(promised("15:30:00"), targets=(), deadlines=(Deadline(what, drive.at("11:00:00")),))  # type: ignore[arg-type]
    call = asked(job)
    last_s = drive.at("11:00:00") - call.latest
    card = job.mixes[0]
    assert call.what == what
    assert card.passes.first_trowel.open_s < last_s < 3600.0


def test_a_filled_pour_has_no_last_call() -> None:
    job = promised("15:30:00")
    pour = job.pours[0].id
    drive = Drive(job).do("09:00:00", i.AddWater(pour, "MA"))
    assert last_calls(drive.moment("09:01:00")) == ()
