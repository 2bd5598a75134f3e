"""What the signs teach during a day: frozen, forgotten, in words, looked at twice, and told apart from a warm slab."""

from __future__ import annotations

import itertools
import math
from dataclasses import replace

import numpy as np
import pytest
from scipy.stats import norm

from engine.pour import intents as i
from engine.pour.around.surface_reads import surface_reads, surface_table
from engine.pour.around.teaching import (
    factor_said,
    lessons,
    pace_said,
    second_looks,
    spread,
    teaching_table,
)
from engine.pour.decide import decide
from engine.pour.events import ReadingTaken
from engine.pour.lazy import LazyPlan
from engine.pour.live import live_view
from engine.pour.planning import quick_plan
from engine.pour.posterior import Sign, posterior, shares, spreads_off
from engine.pour.reckoning import Moment
from engine.pour.targets import Refusal
from engine.words import Words
from tests.pour.driving import Drive, library, mild
from tests.tui.days import TEXTS

WORDS = Words(TEXTS)


def tipped(drive: Drive, pour: str = "N0", minute: int = 0) -> Drive:
    return (
        drive.do(f"07:{minute:02}:00", i.AddWater(pour, "A"))
        .do(f"07:{minute + 1:02}:30", i.StampMixed(f"{pour}.1"))
        .do(f"07:{minute + 2:02}:00", i.StampTipped(f"{pour}.1"))
    )


def taught(clock: str = "07:04:15") -> Drive:
    """Floated, then found ready before its time: due at 4 min 45 s at 70 °F."""
    drive = tipped(Drive(mild())).do("07:02:10", i.StampStroke("float", "N0"))
    return drive.do(clock, i.SeeReady("N0"))


# frozen


def test_a_frozen_factor_keeps_its_value_while_signs_are_recorded() -> None:
    drive = taught()
    before = drive.moment("07:04:16").factor
    assert before.value > 1.05
    drive.do("07:04:20", i.FreezeFactor()).do("07:04:30", i.StampStroke("first_trowel", "N0"))
    drive.do("07:06:30", i.SeeReady("N0"))
    moment = drive.moment("07:06:31")
    assert moment.factor == before
    assert moment.taught.value > before.value
    assert moment.taught.observations == 2
    assert [lesson.waits for lesson in lessons(moment)] == [False, True]


def test_what_was_seen_while_frozen_counts_from_the_moment_it_is_freed() -> None:
    drive = taught().do("07:04:20", i.FreezeFactor(), i.StampStroke("first_trowel", "N0"))
    drive.do("07:06:30", i.SeeReady("N0"))
    held = drive.moment("07:06:45")
    drive.do("07:07:00", i.FreeFactor())
    moment = drive.moment("07:07:01")
    assert moment.factor == held.taught
    batch = drive.batch("N0.1")
    assert moment.trajectory(batch).age_at(drive.at("07:06:50")) == pytest.approx(
        held.trajectory(batch).age_at(drive.at("07:06:50")), abs=0.01
    )
    assert moment.factor_steps[-1] == (drive.at("07:07:00"), moment.factor.value)


def test_freezing_and_freeing_are_taken_back_like_any_line() -> None:
    drive = taught().do("07:04:20", i.FreezeFactor(), i.FreeFactor(), i.Undo())
    assert drive.moment("07:04:21").frozen
    drive.do("07:04:22", i.Undo())
    assert not drive.moment("07:04:23").frozen


@pytest.mark.parametrize("intents", [(i.FreeFactor(),), (i.FreezeFactor(), i.FreezeFactor())])
def test_what_is_so_already_is_refused(intents: tuple[i.Intent, ...]) -> None:
    with pytest.raises(Refusal):
        taught().do("07:04:20", *intents)


def test_a_frozen_factor_stands_fast_when_a_sign_behind_it_is_forgotten() -> None:
    drive = taught().do("07:04:20", i.FreezeFactor())
    before = drive.moment("07:04:21").factor
    drive.do("07:04:30", i.ForgetSign(1))
    assert drive.moment("07:04:31").factor == before
    drive.do("07:04:40", i.FreeFactor())
    assert drive.moment("07:04:41").factor.value == pytest.approx(1.0)


# forgotten


def test_one_sign_is_forgotten_and_the_lines_after_it_stay() -> None:
    drive = taught().do("07:04:40", i.StampStroke("first_trowel", "N0"))
    drive.do("07:07:00", i.SeeReady("N0")).do("07:07:10", i.StampStroke("second_trowel", "N0"))
    only = [i_ for i_ in drive.events if getattr(i_.body, "word", "") != "ready"]
    drive.do("07:08:00", i.ForgetSign(1))
    moment = drive.moment("07:08:01")
    assert moment.factor.observations == 1
    assert [lesson.forgotten for lesson in lessons(moment)] == [True, False]
    assert [stroke.name for stroke in drive.batch("N0.1").strokes] == [
        "float",
        "first_trowel",
        "second_trowel",
    ]
    assert len(only) == len(drive.events) - 3
    assert drive.refolded().day == drive.journal.day


def test_the_day_without_the_sign_is_the_day_in_which_it_was_never_pressed() -> None:
    drive = taught().do("07:05:00", i.ForgetSign(1))
    never = tipped(Drive(mild())).do("07:02:10", i.StampStroke("float", "N0"))
    assert drive.due("07:05:01", "N0.1", "second_trowel") == never.due("07:05:01", "N0.1", "second_trowel")


def test_a_forgotten_sign_keeps_its_number_and_comes_back_by_undo() -> None:
    drive = taught().do("07:04:20", i.StampStroke("first_trowel", "N0")).do("07:05:00", i.SeeNotYet("N0"))
    drive.do("07:05:10", i.ForgetSign(1))
    with pytest.raises(Refusal):
        drive.do("07:05:11", i.ForgetSign(1))
    with pytest.raises(Refusal):
        drive.do("07:05:11", i.ForgetSign(3))
    drive.do("07:05:12", i.ForgetSign(2), i.Undo(), i.Undo())
    assert drive.moment("07:05:13").factor.observations == 2


def test_a_trial_whose_sign_is_forgotten_stands_again() -> None:
    drive = Drive(mild()).do("07:00:00", i.StartTrial()).do("07:03:00", i.TrialStiff())
    drive.do("07:03:10", i.ForgetSign(1))
    drive.do("07:04:20", i.TrialStiff())
    assert drive.moment("07:04:21").factor.observations == 1


# order


def test_the_order_in_which_signs_were_pressed_is_of_no_matter() -> None:
    day = (
        taught()
        .do("07:04:20", i.StampStroke("first_trowel", "N0"))
        .do("07:06:00", i.SeeNotYet("N0"))
        .do("07:08:00", i.SeeReady("N0"))
        .journal.day
    )
    at = day.signs[-1].at + 1.0
    found = {Moment(replace(day, signs=signs), at).factor for signs in itertools.permutations(day.signs)}
    assert len(found) == 1


# in words


@pytest.mark.parametrize(
    ("value", "text"),
    [
        (1.11, "setting 11 % faster than the card"),
        (0.93, "setting 7 % slower than the card"),
        (1.004, "setting as the card says"),
        (1.6, "setting 60 % faster than the card"),
    ],
)
def test_the_rate_is_said_in_words(value: float, text: str) -> None:
    assert WORDS(pace_said(value)) == text


def test_words_count_the_signs_and_say_what_is_frozen() -> None:
    drive = tipped(Drive(mild()))
    assert WORDS(factor_said(drive.moment("07:02:05"))) == "setting as the card says, no sign yet"
    drive = taught("07:03:00")
    said = WORDS(factor_said(drive.moment("07:03:01")))
    assert said.endswith("faster than the card, from 1 sign")
    drive.do("07:03:10", i.FreezeFactor())
    assert WORDS(factor_said(drive.moment("07:03:11"))).startswith(f"FROZEN: {said}")


# a second look


def test_spreads_are_those_of_prior_and_noise() -> None:
    """Before any sign, ln k has a spread of 0.20; a sign of noise 0.15 is expected within their square sum, 0.25."""
    sign = Sign(270.0, 270.0 / math.exp(0.5), 0.15, True)
    assert spreads_off(sign, (), 0.20) == pytest.approx(0.5 / 0.25, abs=0.001)
    slower = Sign(270.0, 270.0 * math.exp(0.5), 0.15, False)
    assert spreads_off(slower, (), 0.20) == pytest.approx(2.0, abs=0.001)
    assert spreads_off(replace(slower, age_s=100.0), (), 0.20) == 0.0


def test_spreads_follow_the_signs_before_by_direct_integration() -> None:
    """Mean and spread of the posterior of a one-sided and a reached sign, summed with numpy."""
    before = (Sign(540.0, 600.0, 0.15, False), Sign(270.0, 250.0, 0.10, True))
    x = np.linspace(-1.2, 1.2, 20_001)
    density = (
        norm.pdf(x, 0, 0.2) * norm.cdf((math.log(0.9) - x) / 0.15) * norm.pdf((math.log(1.08) - x) / 0.1)
    )
    density /= density.sum()
    mean = float((x * density).sum())
    spread_ = float(np.sqrt(((x - mean) ** 2 * density).sum()))
    sign = Sign(270.0, 270.0 / 1.5, 0.15, True)
    expected = (math.log(1.5) - mean) / math.hypot(spread_, 0.15)
    assert spreads_off(sign, before, 0.20) == pytest.approx(expected, rel=1e-4)


def test_a_sign_far_from_what_was_expected_counts_and_asks_for_a_second_look() -> None:
    """Ready 2 min 20 s after the water, due at 4 min 45 s: ln k of 0.71 is 2.8 spreads of 0.25 away."""
    drive = taught("07:02:20")
    moment = drive.moment("07:02:21")
    [lesson] = lessons(moment)
    assert lesson.spreads == pytest.approx(math.log(285.0 / 140.0) / 0.25, abs=0.05)
    assert lesson.second_look
    assert moment.factor.observations == 1
    [ask] = second_looks(moment)
    assert "thermometer, water or bag" in WORDS(ask)
    drive.do("07:02:30", i.StampStroke("first_trowel", "N0"))


def test_the_ask_goes_when_something_is_read_or_the_sign_forgotten_or_time_has_passed() -> None:
    drive = taught("07:02:20")
    assert second_looks(drive.moment("07:17:00"))
    assert not second_looks(drive.moment("07:17:21"))
    read = ReadingTaken(air_c=20.0)
    assert not second_looks(drive.do("07:03:00", i.TakeReading(read)).moment("07:03:01"))
    drive.do("07:03:02", i.Undo(), i.ForgetSign(1))
    assert not second_looks(drive.moment("07:03:03"))


def test_a_sign_within_what_was_expected_asks_nothing() -> None:
    assert not second_looks(taught().moment("07:04:16"))


# the picture


def test_the_picture_holds_all_of_the_spread_where_it_is() -> None:
    """Shares of the normal distribution between the edges of forty equal parts of ln k; the ends take what is beyond."""
    found = shares(())
    edges = np.linspace(math.log(0.6), math.log(1.6), 41)
    edges[0], edges[-1] = -9.0, 9.0
    assert found == pytest.approx(tuple(np.diff(norm.cdf(edges / 0.2))), abs=0.003)
    assert sum(found) == pytest.approx(1.0)


def test_the_view_carries_words_picture_and_signs() -> None:
    drive = taught()
    moment = drive.moment("07:04:16")
    factor = live_view(drive.journal, moment, quick_plan(moment)).factor
    assert factor.spread == spread(moment)
    assert [sign.counts for sign in factor.signs] == [True]
    assert factor.said == factor_said(moment)
    table = teaching_table(moment, WORDS)
    assert [(one["subject"], one["counts"]) for one in table["signs"]] == [("N0.1", True)]


# a warm slab and a fast bag


def surface(pour: str, celsius: float) -> i.TakeReading:
    return i.TakeReading(ReadingTaken(pour=pour, surface_c=celsius))


LAID = (
    ("09:10:00", i.AddWater("P1")),
    ("09:11:30", i.StampMixed("P1.1")),
    ("09:12:05", i.StampTipped("P1.1")),
)


def clock_of(drive: Drive, at: float) -> str:
    """A whole second of the job's day as its clock shows it."""
    second = round(at - drive.at("00:00:00"))
    return f"{second // 3600:02}:{second // 60 % 60:02}:{second % 60:02}"


def library_batch(*reads: tuple[str, i.Intent]) -> Drive:
    """The first batch of the library day, with intents at times of its own."""
    drive = Drive(library())
    for clock, intent in (*LAID, *reads):
        drive.do(clock, intent)
    return drive


def test_a_surface_reading_moves_the_windows_of_its_pour_alone() -> None:
    plain, read = library_batch(), library_batch(("09:14:00", surface("P1", 24.0)))
    other = library_batch(("09:14:00", surface("P2", 24.0)))
    due = [drive.due("09:14:01", "P1.1", "second_trowel") for drive in (plain, read, other)]
    assert due[1] < due[0] - 15.0
    assert due[2] == due[0]
    assert read.moment("09:14:01").site.slab_c("P1", read.at("09:14:01")) == plain.moment(
        "09:14:01"
    ).site.slab_c("P1", plain.at("09:14:01"))


def test_a_later_batch_of_the_pour_starts_a_column_of_its_own() -> None:
    drive = library_batch(("09:14:00", surface("P1", 24.0)), ("09:15:00", i.AddWater("P1")))
    drive.do("09:17:00", i.StampTipped("P1.2"))
    moment = drive.moment("09:18:00")
    assert moment.surfaces(drive.batch("P1.2"), drive.batch("P1.2").tipped_at) == ()


def seen_ready(truth: i.TakeReading, packets: float, reads: tuple[str, ...]) -> tuple[float, float]:
    """ln k from a second trowel ready when due in the truth, believed without and with its surface read at times."""
    laid = (("09:10:00", i.AddWater("P1", packets=packets)), *LAID[1:])
    strokes = (("09:12:30", i.StampStroke("float", "P1")), ("09:13:00", i.StampStroke("first_trowel", "P1")))
    true = Drive(library()).do("09:00:00", truth)
    for clock, intent in (*laid, *strokes):
        true.do(clock, intent)
    moment, batch = true.moment("09:13:01"), true.batch("P1.1")
    ready_at = clock_of(true, moment.windows(batch)["second_trowel"].due)
    tops = [(clock, surface("P1", moment.trajectory(batch).top_at(true.at(clock)))) for clock in reads]
    found = []
    for readings in ((), tops):
        drive = Drive(library())
        for clock, intent in (*laid, *strokes, *readings, (ready_at, i.SeeReady("P1"))):
            drive.do(clock, intent)
        found.append(math.log(drive.moment("12:00:00").factor.value))
    return found[0], found[1]


WARM_SLAB = i.TakeReading(ReadingTaken(slab_c=25.0))
WARM_MIX = i.TakeReading(ReadingTaken(bags_c=24.0, water_c=24.0))


@pytest.mark.parametrize(
    ("truth", "packets", "reads", "share"),
    [
        (WARM_SLAB, 2.0, ("09:20:00", "09:25:00"), 0.6),
        (WARM_SLAB, 0.0, ("09:17:30",), 0.95),  # heat of the slab is not up yet: the surface can hardly tell
        (WARM_MIX, 0.0, ("09:13:10",), 0.5),
    ],
)
def test_warmth_is_told_apart_from_a_fast_bag(
    truth: i.TakeReading, packets: float, reads: tuple[str, ...], share: float
) -> None:
    """An ordinary bag on a slab, or from bags and water, warmer than believed: without readings it seems fast."""
    fast, told_apart = seen_ready(truth, packets, reads)
    assert fast > 0.03
    assert abs(told_apart) < share * fast


def test_what_the_clock_would_have_said_without_it_stands_beside_it() -> None:
    plain, drive = library_batch(), library_batch(("09:14:00", surface("P1", 24.0)))
    [read] = surface_reads(drive.moment("09:14:00"))
    assert (read.batches, read.what) == (("P1.1",), "first_trowel")
    drive.do("09:14:10", i.StampStroke("float", "P1"))
    [read] = surface_reads(drive.moment("09:14:11"))
    assert read.due == drive.due("09:14:11", "P1.1", "first_trowel")
    plain.do("09:14:10", i.StampStroke("float", "P1"))
    assert read.due_without == pytest.approx(plain.due("09:14:11", "P1.1", "first_trowel"), abs=0.01)
    assert (read.reckoned_c or 99.0) < 24.0
    assert set(surface_table(drive.moment("09:14:11"))[0]) >= {
        "due",
        "due_without",
        "surface_c",
        "reckoned_c",
    }


def test_once_every_pass_is_done_the_opening_is_told() -> None:
    names = ("float", "first_trowel", "second_trowel")
    strokes = tuple((f"09:{14 + 3 * n}:00", i.StampStroke(name, "P1")) for n, name in enumerate(names))
    drive = library_batch(*strokes, ("09:25:00", surface("P1", 10.0)))
    [read] = surface_reads(drive.moment("09:25:01"))
    assert read.what == "feet"
    assert (read.due or 0.0) > (read.due_without or math.inf) + 10.0


@pytest.mark.parametrize("pour", ["", "P2"])
def test_a_surface_reading_of_no_column_is_kept_and_moves_nothing(pour: str) -> None:
    drive = library_batch(("09:14:00", surface(pour, 30.0)))
    [read] = surface_reads(drive.moment("09:14:01"))
    assert (read.batches, read.due) == ((), None)
    drive.do("09:20:00", i.AddWater("P2")).do("09:22:00", i.StampTipped("P2.1"))
    later = drive.batch("P2.1")
    assert drive.moment("09:22:01").surfaces(later, later.tipped_at) == ()


def test_on_a_pour_in_lifts_a_thermometer_touches_the_lift_on_top() -> None:
    """Five inches of a mix that takes four: the lower lift is read until the upper one lies on it."""
    job = library()
    deep = replace(job.pours[0], depths_m=(0.127,))
    drive = Drive(replace(job, pours=(deep, *job.pours[1:])))
    below = round(drive.moment("09:00:00").takeoffs["P1"].bags_per_lift)
    for n in range(below):
        drive.do(f"09:{10 + 3 * n}:00", i.AddWater("P1")).do(
            f"09:{12 + 3 * n}:00", i.StampTipped(f"P1.{n + 1}")
        )
    drive.do("10:00:00", surface("P1", 24.0), i.AddWater("P1"))
    drive.do("10:02:00", i.StampTipped(f"P1.{below + 1}")).do("10:03:00", surface("P1", 25.0))
    lower, upper = surface_reads(drive.moment("10:03:01"))
    assert lower.batches == tuple(f"P1.{n + 1}" for n in range(below))
    assert upper.batches == (f"P1.{below + 1}",)


def test_undo_takes_a_surface_reading_back() -> None:
    plain, drive = library_batch(), library_batch(("09:14:00", surface("P1", 24.0)), ("09:14:05", i.Undo()))
    assert drive.due("09:14:06", "P1.1", "second_trowel") == plain.due("09:14:06", "P1.1", "second_trowel")


def test_every_rule_of_learning_is_pure() -> None:
    drive = taught()
    moment = drive.moment("07:04:16")
    once = [
        decide(drive.journal, moment, intent, LazyPlan(moment))
        for intent in (i.FreezeFactor(), i.ForgetSign(1))
    ]
    again = [
        decide(drive.journal, moment, intent, LazyPlan(moment))
        for intent in (i.FreezeFactor(), i.ForgetSign(1))
    ]
    assert once == again
    assert posterior(()).value == pytest.approx(1.0)
