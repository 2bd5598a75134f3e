"""Two small pours of one bag: counted once, planned within its working time, tipped in two parts, finished each on its own.

Bags by hand: two pours of a square foot, 1.5 in deep, with 8 % waste are 0.27 ft³; a bag of the card yields 0.43 ft³.
"""

from __future__ import annotations

import datetime
from dataclasses import replace
from functools import cache
from pathlib import Path

import pytest

from engine.errors import BadInput
from engine.job.buying import buy_list
from engine.job.files import demo_job_path, read_job
from engine.job.model import Job
from engine.job.takeoff import job_takeoff
from engine.pour import intents as i
from engine.pour.needs import bags_left
from engine.pour.planning import day_plan
from engine.pour.stages import pour_state
from tests.pour.driving import Drive, library

SQUARE_FOOT_M2, DEPTH_M = 0.09290304, 0.0381


@cache
def job(shared: bool = True) -> Job:
    """The first two pours of the library day as small ones, the second from the bag of the first."""
    small = {"area_m2": SQUARE_FOOT_M2, "depths_m": (DEPTH_M,), "length_m": None, "width_m": None}
    one, two = (replace(pour, **small) for pour in library().pours[:2])
    two = replace(two, finish=one.finish, shares=one.id if shared else "")
    return replace(library(), pours=(one, two), targets=())


def test_one_bag_is_counted_and_bought_for_both() -> None:
    apart, together = (job_takeoff(job(shared)) for shared in (False, True))
    assert [pour.bags for pour in apart.pours] == [1, 1]
    assert [pour.bags for pour in together.pours] == [1, 0]
    assert together.pours[0].spare_fraction == pytest.approx(1 - 2 * 0.125 * 1.08 / 0.43, abs=1e-6)
    assert buy_list(job(), together, {}).bags == buy_list(job(False), apart, {}).bags - 1


def test_neighbours_that_could_share_a_bag_are_named() -> None:
    assert "note.share" in [note.key for note in job_takeoff(job(False)).notes]
    assert "note.share" not in [note.key for note in job_takeoff(job()).notes]


def test_both_parts_are_planned_within_the_working_time_of_the_bag() -> None:
    drive = Drive(job())
    moment = drive.moment("09:00:00")
    plan = day_plan(moment)
    assert not plan.misses
    mixes = [task for task in plan.tasks if task.kind == "mix"]
    places = [task for task in plan.tasks if task.kind == "place"]
    assert [task.batches for task in mixes] == [("P1.1",)]
    assert sorted(task.pour for task in places) == ["P1", "P2"]
    assert {task.pour for task in plan.tasks if task.kind == "second_trowel"} == {"P1", "P2"}
    drive.do("09:00:00", i.AddWater("P1", "MA"))
    working = drive.moment("09:00:01").workable_until(drive.journal.day.batch("P1.1"))
    assert max(task.end for task in places) - mixes[0].start <= working - drive.at("09:00:00") + 1.0


def test_the_day_runs_with_a_part_tipped_first() -> None:
    drive = Drive(job())
    drive.do("09:00:00", i.AddWater("P1", "MA")).do("09:01:40", i.StampMixed("P1.1"))
    drive.do("09:02:00", i.StampTipped("P2", "F", "P1.1")).do("09:02:20", i.StampTipped("P1.1", "F"))
    moment = drive.moment("09:02:30")
    assert all(bags_left(moment, pour) == 0 for pour in moment.day.pours)
    assert [pour_state(moment, pour) for pour in moment.day.pours] == ["finishing", "finishing"]
    ahead = {task.pour for task in day_plan(moment).tasks if task.kind == "first_trowel"}
    assert ahead == {"P1", "P2"}


def test_a_lost_bag_is_mixed_again_for_both() -> None:
    drive = Drive(job())
    drive.do("09:00:00", i.AddWater("P1", "MA")).do("09:03:00", i.LoseBatch("P1.1", "dropped"))
    plan = day_plan(drive.moment("09:04:00"))
    assert [task.batches for task in plan.tasks if task.kind == "mix"] == [("P1.2",)]
    assert {task.pour for task in plan.tasks if task.kind == "place"} == {"P1", "P2"}


@pytest.mark.parametrize(
    ("pour", "shares"), [("T2", "R1"), ("L1", "R9"), ("W1", "L2"), ("R1", "R1")], ids=str
)
def test_only_the_pour_before_of_one_mix_and_finish_shares_a_bag(
    tmp_path: Path, pour: str, shares: str
) -> None:
    text = (
        demo_job_path()
        .read_text(encoding="utf-8")
        .replace(f'id = "{pour}"', f'id = "{pour}"\nshares = "{shares}"')
    )
    mixes = tmp_path / "mixes"
    mixes.mkdir()
    for card in (demo_job_path().parents[1] / "mixes").glob("*.toml"):
        (mixes / card.name).write_text(card.read_text(encoding="utf-8"), encoding="utf-8")
    path = tmp_path / "jobs" / "job.toml"
    path.parent.mkdir()
    path.write_text(text, encoding="utf-8")
    with pytest.raises(BadInput, match="shares"):
        read_job(path, datetime.date(2026, 7, 2))
