"""Whatever is pressed in whatever order: a refusal or a line, and always a view, a status and the same day refolded."""

from __future__ import annotations

import datetime
import random
from functools import cache

import pytest

from engine import console
from engine.job.files import configs_folder, read_job
from engine.job.model import Job
from engine.pour import intents as i
from engine.pour.events import ReadingTaken
from engine.pour.live import live_view
from engine.pour.planning import quick_plan
from engine.pour.status import status
from engine.pour.targets import Refusal
from tests.pour.driving import TODAY, Drive, library

WORDS = console.words()


@cache
def hot() -> Job:
    return read_job(configs_folder() / "jobs" / "rowing-club.toml", TODAY)


def any_intent(drive: Drive, luck: random.Random) -> i.Intent:
    day = drive.journal.day
    pour = luck.choice([pour.id for pour in day.pours])
    batch = luck.choice([batch.id for batch in day.batches] or [f"{pour}.1"])
    who = luck.choice([person.id for person in day.job.people])
    which = luck.choice((pour, batch))
    return luck.choice(
        (
            i.CallBag(pour),
            i.AddWater(pour, "", luck.choice((None, 0.0, 0.5, 1.0))),
            i.AddWater(pour, who),
            i.StampMixed(batch),
            i.StampTipped(batch),
            i.StampTipped(pour, source=batch),
            *(i.Advance(key) for key in (batch, batch, pour)),
            i.SeeReady(which),
            i.SeeNotYet(which),
            i.SeeStiff(which),
            i.SeeStillMoves(which),
            i.LoseBatch(batch, "dropped"),
            i.RejectBag(pour),
            i.LoseVessel(),
            i.SkipNext(which),
            i.SplitPour(pour),
            i.AddWater(pour, half=True),
            i.CorrectPackets(batch, luck.choice((0.0, 1.0))),
            i.MarkAway(who),
            i.MarkBack(who),
            i.Assign(who, which),
            i.TakeReading(
                ReadingTaken(
                    pour=luck.choice(("", pour)), slab_c=luck.uniform(0.0, 45.0), sun=luck.random() < 0.5
                )
            ),
            i.TakeReading(ReadingTaken(mix_c=luck.uniform(8.0, 35.0))),
            i.CoverPour(pour, "blanket"),
            i.UncoverPour(pour),
            i.OpenPour(pour, "wheels"),
            i.SoakPour(pour),
            i.StartTrial(),
            i.TrialStiff(),
            i.Shift(luck.choice((-5.0, 5.0))),
            i.Undo(),
        )
    )


@pytest.mark.parametrize("seed", range(6))
def test_every_order_of_keys_leaves_a_day_that_can_be_shown(seed: int) -> None:
    luck = random.Random(seed)
    drive = Drive(luck.choice((library(), hot())))
    start = datetime.datetime(2026, 11, 5, 9, 0)
    for _ in range(60):
        start += datetime.timedelta(seconds=luck.choice((1, 5, 20, 60, 240)))
        clock = start.strftime("%H:%M:%S")
        try:
            drive.do(clock, any_intent(drive, luck))
        except Refusal as refused:
            WORDS(refused.reason)  # a refusal without a sentence raises
        moment = drive.moment(clock)
        plan = quick_plan(moment)
        view = live_view(drive.journal, moment, plan)
        assert WORDS(view.call.reason)
        assert status(moment, plan, WORDS)["pours"]
    assert drive.refolded().day == drive.journal.day
