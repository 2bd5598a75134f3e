"""What the foreman does to a day, and what the day then says."""

from __future__ import annotations

import pytest

from engine.pour import intents as i
from engine.pour.events import ReadingTaken
from engine.pour.needs import bags_left, bags_needed, batches_needed, stock
from engine.pour.planning import quick_plan
from engine.pour.stages import finish_in, pour_state, stage
from engine.pour.targets import Refusal
from tests.pour.driving import Drive, library, mild


def tipped(drive: Drive, pour: str = "N0") -> Drive:
    return (
        drive.do("07:00:00", i.AddWater(pour, "A"))
        .do("07:01:30", i.StampMixed(f"{pour}.1"))
        .do("07:02:00", i.StampTipped(f"{pour}.1"))
    )


def test_undo_after_forty_seconds_leaves_due_times_identical() -> None:
    drive = tipped(Drive(mild()))
    before = drive.due("07:02:10", "N0.1", "first_trowel")
    drive.do("07:02:20", i.StampStroke("float", "N0", "B")).do("07:03:00", i.Undo())
    assert drive.due("07:03:00", "N0.1", "first_trowel") == before
    assert stage(drive.moment("07:03:00"), drive.batch("N0.1")) == "tipped"


def test_undo_goes_back_any_depth_and_never_takes_back_an_undo() -> None:
    drive = tipped(Drive(mild()))
    drive.do("07:02:30", i.Undo(), i.Undo())
    assert stage(drive.moment("07:02:30"), drive.batch("N0.1")) == "mixing"
    drive.do("07:02:40", i.Undo())
    assert drive.journal.day.batches == ()
    with pytest.raises(Refusal):
        drive.do("07:02:50", i.Undo())


def test_undo_restores_the_rate_factor() -> None:
    drive = tipped(Drive(mild())).do("07:02:10", i.StampStroke("float", "N0"))
    drive.do("07:03:30", i.SeeReady("N0"))
    assert drive.moment("07:03:31").factor.value > 1.1
    drive.do("07:03:40", i.Undo())
    assert drive.moment("07:03:41").factor.value == pytest.approx(1.0)


def test_a_late_stamp_moves_in_steps_and_keeps_its_place() -> None:
    drive = tipped(Drive(mild()))
    water_at = drive.batch("N0.1").water_at
    drive.do("07:02:05", i.Shift(-5), i.Shift(-5))
    assert drive.batch("N0.1").tipped_at == drive.at("07:01:50")
    assert drive.batch("N0.1").water_at == water_at
    drive.do("07:02:10", i.Undo())
    assert drive.batch("N0.1").tipped_at == drive.at("07:01:55")


def test_a_stamp_is_not_moved_before_what_it_follows_nor_into_the_future() -> None:
    drive = tipped(Drive(mild()))
    with pytest.raises(Refusal):
        drive.do("07:02:05", i.Shift(-60))
    with pytest.raises(Refusal):
        drive.do("07:02:05", i.Shift(10))


def test_a_shifted_water_contact_moves_every_window_with_it() -> None:
    drive = Drive(mild()).do("07:00:00", i.AddWater("N0", "A"))
    before = drive.due("07:00:10", "N0.1", "first_trowel")
    drive.do("07:00:20", i.Shift(-10))
    assert drive.due("07:00:20", "N0.1", "first_trowel") == pytest.approx(before - 10, abs=0.01)


def test_marking_a_finisher_away_moves_open_passes_at_once_and_back_again() -> None:
    drive = Drive(library()).do("09:10:00", i.AddWater("P1", "MA")).do("09:12:00", i.StampTipped("P1.1"))
    finishers = {"Lead", "F"}
    who = quick_plan(drive.moment("09:12:10")).who("float", "P1", "P1.1")
    assert who in finishers
    drive.do("09:12:20", i.MarkAway(who))
    plan = quick_plan(drive.moment("09:12:21"))
    assert {task.person for task in plan.tasks if task.kind == "float"} == finishers - {who}
    drive.do("09:12:30", i.MarkBack(who))
    assert who in {task.person for task in quick_plan(drive.moment("09:12:31")).tasks}


def test_without_anybody_to_mix_the_finishing_goes_on_and_the_call_says_why() -> None:
    drive = Drive(library()).do("09:10:00", i.AddWater("P1", "MA")).do("09:12:00", i.StampTipped("P1.1"))
    plan = quick_plan(drive.do("09:12:20", i.MarkAway("MA"), i.MarkAway("MB")).moment("09:12:21"))
    assert (plan.call.state, plan.call.reason.key) == ("no answer", "reason.nobody")
    assert plan.who("float", "P1", "P1.1") in {"Lead", "F"}


def test_the_foreman_puts_a_person_on_a_pass() -> None:
    drive = Drive(library()).do("09:10:00", i.AddWater("P1", "MA")).do("09:12:00", i.StampTipped("P1.1"))
    for person in ("Lead", "F"):
        drive.do("09:12:10", i.Assign(person, "P1.1"))
        assert quick_plan(drive.moment("09:12:11")).who("float", "P1", "P1.1") == person


def test_a_lost_batch_keeps_its_number_and_its_bag_is_gone() -> None:
    drive = Drive(library()).do("10:32:00", i.AddWater("P4", "MA"))
    before = stock(drive.moment("10:32:01")).bags
    drive.do("10:33:00", i.LoseBatch("P4.1", "bucket split")).do("10:34:00", i.AddWater("P4", "MA"))
    assert drive.batch("P4.2").live
    assert stage(drive.moment("10:34:01"), drive.batch("P4.1")) == "lost"
    moment = drive.moment("10:34:01")
    assert stock(moment).bags == before - 1
    assert bags_left(moment, drive.journal.day.pour("P4")) == 2


def test_a_half_bag_and_a_rejected_bag_count_in_stock_and_need() -> None:
    drive = Drive(library())
    needed = bags_needed(drive.moment("09:00:00"))
    drive.do("09:00:00", i.RejectBag("P1", "lumps"), i.AddWater("P2", "MA", half=True))
    moment = drive.moment("09:00:01")
    assert stock(moment).bags == 16 - 1.5
    assert bags_needed(moment) == needed - 0.5


def test_splitting_at_a_joint_makes_the_rest_a_pour_of_its_own() -> None:
    drive = Drive(library()).do("10:32:00", i.AddWater("P4", "MA")).do("10:34:00", i.StampTipped("P4.1"))
    drive.do("10:36:00", i.SplitPour("P4"))
    day, moment = drive.journal.day, drive.moment("10:36:01")
    ids = [pour.id for pour in day.pours]
    assert ids[ids.index("P4") + 1] == "P4b"
    assert bags_left(moment, day.pour("P4")) == 0
    assert day.pour("P4b").area_m2 == pytest.approx(library().pour("P4").area_m2 * 2 / 3)
    assert bags_left(moment, day.pour("P4b")) == 2
    assert batches_needed(moment, day.pour("P4")) == 1


def test_the_rest_of_a_split_pour_may_be_split_again() -> None:
    drive = Drive(library()).do("10:32:00", i.AddWater("P4", "MA")).do("10:34:00", i.StampTipped("P4.1"))
    drive.do("10:36:00", i.SplitPour("P4")).do("10:40:00", i.AddWater("P4b", "MB"))
    drive.do("10:42:00", i.StampTipped("P4b.1")).do("10:43:00", i.SplitPour("P4b"))
    assert [pour.id for pour in drive.journal.day.pours if pour.id.startswith("P4")] == ["P4", "P4b", "P4c"]


def test_part_of_a_shared_batch_lies_in_another_pour_with_a_clock_of_its_own() -> None:
    drive = Drive(library()).do("12:40:00", i.AddWater("P6", "MA")).do("12:42:00", i.StampTipped("P6.1"))
    drive.do("12:42:20", i.StampTipped("P7", source="P6.1"))
    moment = drive.moment("12:42:30")
    portion = moment.day.batches_of("P7")[0]
    assert portion.water_at == drive.batch("P6.1").water_at
    assert bags_left(moment, moment.day.pour("P7")) == 0
    assert moment.windows(portion)["float"].open == drive.at("12:42:20")
    assert pour_state(moment, moment.day.pour("P7")) == "finishing"
    drive.do("12:44:00", i.AddWater("P7", "MB"))
    assert drive.journal.day.has_batch("P7.1")


def test_correcting_the_packets_reckons_the_batch_anew_from_water_contact() -> None:
    drive = tipped(Drive(mild()))
    bare = drive.due("07:03:00", "N0.1", "first_trowel")
    drive.do("07:03:00", i.CorrectPackets("N0.1", 1.0))
    water_at = drive.batch("N0.1").water_at
    assert drive.due("07:03:10", "N0.1", "first_trowel") - water_at == pytest.approx(
        2 * (bare - water_at), abs=0.05
    )


def test_packets_above_the_card_are_refused_with_the_limit() -> None:
    with pytest.raises(Refusal) as refused:
        Drive(mild()).do("07:00:00", i.AddWater("N0", "A", 3.0))
    assert "2" in dict(refused.value.reason.values)["why"]


def test_a_surface_that_is_ready_early_moves_what_is_coming_and_not_what_is_stamped() -> None:
    drive = tipped(Drive(mild())).do("07:02:20", i.StampStroke("float", "N0"))
    later = drive.due("07:03:29", "N0.1", "second_trowel")
    opened = drive.moment("07:03:29").windows(drive.batch("N0.1"))["float"].open
    drive.do("07:03:30", i.SeeReady("N0"))
    assert drive.due("07:03:31", "N0.1", "second_trowel") < later
    assert drive.moment("07:03:31").windows(drive.batch("N0.1"))["float"].open == opened


def test_not_yet_and_still_moves_are_one_sided() -> None:
    drive = tipped(Drive(mild())).do("07:02:20", i.StampStroke("float", "N0"))
    drive.do("07:02:30", i.SeeNotYet("N0"))
    assert drive.moment("07:02:31").factor.value == pytest.approx(1.0, abs=0.01)
    drive.do("07:06:00", i.SeeStillMoves("N0.1"))
    assert drive.moment("07:06:01").factor.value < 0.93


def test_covering_stops_the_drying_from_then_on() -> None:
    drive = Drive(library()).do("09:10:00", i.AddWater("P1", "MA")).do("09:12:00", i.StampTipped("P1.1"))
    bare = drive.moment("09:25:00").trajectory(drive.batch("P1.1")).temperature_at(drive.at("09:25:00"))
    drive.do("09:13:00", i.CoverPour("P1"))
    covered = drive.moment("09:25:00").trajectory(drive.batch("P1.1")).temperature_at(drive.at("09:25:00"))
    assert covered > bare


def test_a_reading_acts_from_its_time_on_and_earned_age_stays() -> None:
    drive = Drive(library()).do("09:10:00", i.AddWater("P1", "MA")).do("09:12:00", i.StampTipped("P1.1"))
    path = drive.moment("09:14:00").trajectory(drive.batch("P1.1"))
    earned, late = path.age_at(drive.at("09:14:00")), path.age_at(drive.at("09:20:00"))
    drive.do("09:14:00", i.TakeReading(ReadingTaken(air_c=30.0, sun=True)))
    warmed = drive.moment("09:14:01").trajectory(drive.batch("P1.1"))
    assert warmed.age_at(drive.at("09:14:00")) == pytest.approx(earned, abs=0.05)
    assert warmed.age_at(drive.at("09:20:00")) > late


def test_a_skipped_pass_is_not_asked_for_and_a_skipped_pour_waits_for_a_later_visit() -> None:
    drive = Drive(library()).do("09:10:00", i.AddWater("P1", "MA")).do("09:12:00", i.StampTipped("P1.1"))
    drive.do("09:13:00", i.StampStroke("float", "P1", "F"), i.SkipNext("P1"), i.SkipNext("P7"))
    moment = drive.moment("09:13:01")
    assert moment.day.batch("P1.1").skipped == ("first_trowel",)
    assert pour_state(moment, moment.day.pour("P7")) == "later visit"


def test_two_bags_too_far_apart_are_finished_in_strips() -> None:
    drive = Drive(library()).do("10:32:00", i.AddWater("P5", "MA")).do("10:34:00", i.StampTipped("P5.1"))
    drive.do("10:36:00", i.AddWater("P5", "MB")).do("10:38:00", i.StampTipped("P5.2"))
    assert finish_in(drive.moment("10:38:01"), drive.journal.day.pour("P5")) == "strips"


def test_a_stroke_nobody_is_named_for_is_marked_assumed() -> None:
    drive = Drive(library()).do("09:10:00", i.AddWater("P1")).do("09:12:00", i.StampTipped("P1.1"))
    drive.do("09:12:40", i.StampStroke("float", "P1"))
    stroke = drive.batch("P1.1").stroke("float")
    assert stroke is not None
    assert stroke.assumed
    assert stroke.who in {"Lead", "F"}


def test_what_the_day_does_not_allow_is_refused_with_its_reason() -> None:
    drive = Drive(library())
    for intent, key in (
        (i.StampStroke("float", "P1"), "refusal.not_tipped"),
        (i.AddWater("P99", "MA"), "refusal.no_pour"),
        (i.AddWater("P1", "Nobody"), "refusal.no_person"),
        (i.StampTipped("P1.9"), "refusal.no_batch"),
        (i.MarkBack("F"), "refusal.here_already"),
        (i.TrialStiff(), "refusal.no_trial"),
        (i.LoseVessel("S9"), "refusal.no_station"),
    ):
        with pytest.raises(Refusal) as refused:
            drive.do("09:00:00", intent)
        assert refused.value.reason.key == key


def test_a_sign_at_water_contact_and_more_ice_than_water_are_refused() -> None:
    drive = Drive(library()).do("09:10:00", i.AddWater("P1", "MA"))
    with pytest.raises(Refusal) as refused:
        drive.do("09:10:00", i.SeeStiff("P1.1"))
    assert refused.value.reason.key == "refusal.too_soon"
    with pytest.raises(Refusal) as refused:
        drive.do("09:11:00", i.TakeReading(ReadingTaken(ice_kg=10.0)))
    assert refused.value.reason.key == "refusal.ice"


def test_the_fold_of_the_log_is_the_day_itself() -> None:
    drive = tipped(Drive(mild()))
    drive.do("07:02:20", i.StampStroke("float", "N0")).do("07:02:30", i.Shift(-5), i.Undo(), i.Undo())
    drive.do("07:03:00", i.WriteNote("again"), i.StampStroke("float", "N0"), i.Shift(-10))
    assert drive.refolded().day == drive.journal.day
