"""The last call that keeps a promise, against the day itself: a bag at that moment keeps it, a quarter of an hour later it does not."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest

from engine.job.model import Deadline, Job, Target
from engine.pour import intents as i
from engine.pour.around.last_calls import LastCall, last_calls
from engine.pour.around.promises import expected, promises
from engine.pour.journal import open_journal
from engine.pour.live import live_view
from engine.pour.openings import openings
from engine.pour.planning import day_plan
from engine.pour.reckoning import Moment
from engine.pour.views import LastCallView
from tests.pour.driving import Drive, library
from tests.rehearsal.jobs import JOBS

SLOP_S = 180.0  # where the queue breaks a promise its plan crowds the last bags: the advice is early by that at most


def promised(by: str) -> Job:
    """One pour of one bag, wheels wanted by a time of day."""
    drive = Drive(library())
    pour = next(pour for pour in library().pours if drive.moment("09:00:00").takeoffs[pour.id].bags == 1)
    return replace(library(), pours=(pour,), targets=(Target((pour.id,), "wheels", drive.at(by)),))


def asked(job: Job, clock: str = "09:00:00") -> LastCall:
    moment = Drive(job).moment(clock)
    return last_calls(moment, day_plan(moment))[0]


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
    moment = drive.moment("09:01:00")
    assert last_calls(moment, day_plan(moment)) == ()


# the last pour of each job promised, so that by the plan it comes too late by as much as that; wheels or done before rain
QUEUES = [
    (name, what, late_s)
    for name in ("library", "community hall", "rowing club")
    for what in ("wheels", "rain")
    for late_s in (-60.0, 200.0, 500.0, 900.0)
]


@pytest.mark.parametrize(("name", "what", "late_s"), QUEUES)
def test_a_pour_is_to_be_taken_before_the_one_that_plans_of_every_other_queue_show(
    name: str, what: str, late_s: float
) -> None:
    """By brute force: the last pour planned anew at every place of the queue, and the promise looked up in each plan."""
    job = last_one_promised(JOBS[name](), what, late_s)
    moment, last = at_its_start(job), job.pours[-1].id
    call = next(one for one in last_calls(moment, day_plan(moment)) if one.pour == last)
    rooms = rooms_by_place(job)
    as_it_stands = rooms_of(job)[last]
    del rooms[last]
    assert call.planned_chance is not None
    assert (call.planned_chance >= 0.5) == (as_it_stands >= 0.0) == (late_s < 0.0)
    if late_s < 0.0:
        assert (call.take_before, call.decide_by) == ("", None)
        return
    if call.take_before:
        assert rooms[call.take_before] >= 0.0
    later = list(rooms)[list(rooms).index(call.take_before) + 1 :] if call.take_before else list(rooms)
    assert all(rooms[other] <= SLOP_S for other in later)
    assert call.decide_by is None or moment.at <= call.decide_by <= call.latest


def at_its_start(job: Job) -> Moment:
    return Moment(open_journal(job).day, job.start)


def last_one_promised(job: Job, what: str, late_s: float) -> Job:
    """Its last pour waits for no other, and is all that is promised."""
    pours = tuple(replace(pour, after=()) for pour in job.pours)
    free = replace(job, pours=pours, targets=(), deadlines=())
    moment, last = at_its_start(free), pours[-1]
    plan = day_plan(moment)
    if what == "wheels":
        opens = expected(moment, plan, last).wheels
        assert opens is not None
        return replace(free, targets=(Target((last.id,), "wheels", opens - late_s),))
    done = max(task.end for task in plan.tasks if task.pour == last.id)
    return replace(free, deadlines=(Deadline("rain", done - late_s),))


def rooms_by_place(job: Job) -> dict[str, float]:
    """Seconds to spare with the last pour before each other one, in the order of the queue; its own where it stands.

    The least of its own and those of the pours that keep their promises in the queue as it stands.
    """
    *others, last = job.pours
    held = {pour for pour, room_s in rooms_of(job).items() if room_s >= 0.0 and pour != last.id}
    rooms = {}
    for place, pour in enumerate(job.pours):
        moved = rooms_of(replace(job, pours=(*others[:place], last, *others[place:])))
        rooms[pour.id] = min(moved[name] for name in {last.id} | held)
    return rooms


def rooms_of(job: Job) -> dict[str, float]:
    """Seconds that the plan leaves every promised pour."""
    moment = at_its_start(job)
    plan = day_plan(moment)
    if job.targets:
        return {one.pours[0]: one.result.margin_s or 0.0 for one in promises(moment, plan)}
    by = job.deadlines[0].at
    return {pour.id: by - max(task.end for task in plan.tasks if task.pour == pour.id) for pour in job.pours}


def test_nothing_is_taken_before_a_pour_that_is_begun() -> None:
    job = last_one_promised(library(), "wheels", 500.0)
    moment, last = at_its_start(job), job.pours[-1].id
    before = next(one for one in last_calls(moment, day_plan(moment)) if one.pour == last)
    names = [pour.id for pour in job.pours]
    drive = Drive(job)
    for name in names[: names.index(before.take_before) + 1]:
        drive.do("07:00:00", i.AddWater(name, "MA"))
    moment = drive.moment("07:01:00")
    after = next(one for one in last_calls(moment, day_plan(moment)) if one.pour == last)
    assert names.index(before.take_before) < len(names) - 2
    assert after.take_before in ("", *names[names.index(before.take_before) + 1 :])


def test_a_pour_that_waits_for_another_is_not_taken_before_it() -> None:
    job = last_one_promised(library(), "wheels", 900.0)
    *others, last = job.pours
    bound = replace(job, pours=(*others, replace(last, after=(others[2].id,))))
    calls = last_calls(at_its_start(bound), day_plan(at_its_start(bound)))
    (call,) = (one for one in calls if one.pour == last.id)
    assert call.take_before not in [pour.id for pour in others[:3]]


def test_the_last_water_of_a_pour_does_not_move_when_the_queue_before_it_grows() -> None:
    """It is the pour's own clock; what the queue makes of it is told beside it."""
    job = promised("15:30:00")
    own = job.pours[0]
    longer = replace(job, pours=(*(pour for pour in library().pours if pour != own), own))
    calls = []
    for one in (job, longer):
        moment = at_its_start(one)
        calls += [call for call in last_calls(moment, day_plan(moment)) if call.pour == own.id]
    alone, queued = calls
    assert queued.latest == alone.latest
    assert queued.planned is not None
    assert alone.planned is not None
    assert queued.planned > alone.planned


@pytest.mark.parametrize(("name", "what", "late_s"), [queue for queue in QUEUES if queue[2] > 0.0])
def test_the_pour_moved_as_told_keeps_its_promise_and_no_more_is_told(
    name: str, what: str, late_s: float
) -> None:
    """On the live screen: told at the start, moved by a line of the log, and the view of the next moment."""
    job = last_one_promised(JOBS[name](), what, late_s)
    drive, last = Drive(job), job.pours[-1].id
    told = shown(drive, last)
    assert told.chance < 0.5
    if not told.take_before:
        return
    assert told.decide_by is not None
    assert told.decide_by >= job.start
    drive.do(START[name], i.MovePour(last, told.take_before))
    then = shown(drive, last)
    assert then.take_before == ""
    assert then.chance >= 0.5


START = {"library": "07:00:00", "community hall": "08:30:00", "rowing club": "07:00:00"}


def shown(drive: Drive, pour: str) -> LastCallView:
    """Of the live view at the start of the day."""
    moment = Moment(drive.journal.day, drive.job.start)
    view = live_view(drive.journal, moment, day_plan(moment))
    return next(one for one in view.last_calls if one.pour == pour)


def test_the_chance_as_planned_is_that_of_the_dose_the_plan_gives() -> None:
    """A hot day with its doses left open, so that the plan takes packets: its openings and the chances say the same."""
    job = JOBS["rowing club"]()
    pours = tuple(replace(pour, packets=None) for pour in job.pours)
    moment = at_its_start(replace(job, pours=pours, targets=()))
    plan = day_plan(moment)
    dosed = next(pour for pour in pours if plan.packets(pour.id) > 0.0)
    opens = expected(moment, plan, dosed).wheels
    assert opens is not None
    for room_s in (-60.0, 60.0):
        wanted = replace(job, pours=pours, targets=(Target((dosed.id,), "wheels", opens + room_s),))
        moment = at_its_start(wanted)
        plan = day_plan(moment)
        (call,) = last_calls(moment, plan)
        assert call.planned_chance is not None
        assert (call.planned_chance >= 0.5) == bool(promises(moment, plan)[0].result.met)
