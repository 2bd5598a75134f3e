"""What stands around the clocks of the library day: readiness, bags used, checks, cure, first night, promises, visits.

Limits: 2010 ADA Standards 303, 405.2, 405.3 (read); UFC 3-270-03 3.1, an open hole is cleaned again after 24 h (read); bag
counts by hand from the take-off rules; soaking and wetting times are start values of the program.
"""

from __future__ import annotations

import datetime
from dataclasses import replace

import pytest

from engine.job.files import read_words
from engine.pour import intents as i
from engine.pour import measured as m
from engine.pour.around.aftercare import aftercare, cure_of
from engine.pour.around.answers import answers
from engine.pour.around.coming_back import coating, visits_due
from engine.pour.around.handing_over import hand_over
from engine.pour.around.questions import answer
from engine.pour.around.readiness import readiness
from engine.pour.around.surroundings import surroundings
from engine.pour.around.used import bag_use, lot_of, rescoped, water_use
from engine.pour.body import Body
from engine.pour.events import ReadingTaken
from engine.pour.reckoning import Moment
from engine.pour.targets import Refusal
from engine.record.entries import Place, read_entry
from engine.site.coating import ExpectedDay
from engine.words import Words
from tests.pour.driving import Drive, library

WORDS = Words(read_words("en"))


def typed(drive: Drive, clock: str, line: str) -> Body:
    """An entry as the foreman types it, written down."""
    pours = tuple(pour.id for pour in drive.journal.day.pours)
    body = read_entry(line, Place("us", pours, drive.job.practice))
    drive.do(clock, i.WriteDown(body))
    return drive.events[-1].body


def said(drive: Drive, clock: str, line: str) -> str:
    """What is answered at once to an entry."""
    body = typed(drive, clock, line)
    return " ".join(WORDS(one) for one in answers(drive.moment(clock), body))


def filled() -> Drive:
    """P1 of the library day filled by one bag and finished."""
    drive = Drive(library())
    drive.do("09:00:00", i.AddWater("P1", "MA"))
    drive.do("09:02:00", i.StampMixed("P1.1"), i.StampTipped("P1.1"))
    drive.do("09:03:00", i.StampStroke("float", "P1", "F"))
    drive.do("09:12:00", i.StampStroke("first_trowel", "P1", "F"))
    drive.do("09:20:00", i.StampStroke("second_trowel", "P1", "F"))
    if library().times.edge_s is not None:
        drive.do("09:21:00", i.StampStroke("edge", "P1", "F"))
    return drive


def pour_ready(drive: Drive, clock: str, pour: str = "P1"):  # type: ignore[no-untyped-def]
    moment = drive.moment(clock)
    return readiness(moment, moment.day.pour(pour))


def test_ticks_and_soaking_are_seen_with_their_age_and_nothing_blocks() -> None:
    drive = Drive(library())
    assert pour_ready(drive, "08:00:00").soak == "not soaked"
    typed(drive, "08:00:00", "tick P1 sound square clean deep joint")
    drive.do("08:50:00", i.SoakPour("P1"))
    ready = pour_ready(drive, "08:55:00")
    assert ready.complete
    assert ready.soaked_s == 300.0
    drive.do("09:30:00", i.AddWater("P1", "MA"))
    assert pour_ready(drive, "09:40:00").soak == "dry again"  # 40 min in shade, as it was at the first bag


def test_what_was_missing_at_the_first_bag_stays_missing() -> None:
    drive = Drive(library())
    drive.do("09:00:00", i.AddWater("P1", "MA"))
    typed(drive, "09:05:00", "tick P1 sound square clean deep joint")
    assert "sound" in pour_ready(drive, "09:10:00").missing


@pytest.mark.parametrize(("ago", "again"), [("23 h", False), ("25 h", True)])
def test_a_hole_open_longer_than_a_day_is_cleaned_again(ago: str, again: bool) -> None:
    drive = Drive(library())
    typed(drive, "08:00:00", f"tick P1 clean {ago} ago")
    assert pour_ready(drive, "08:00:01").clean_again is again


def test_a_deeper_reading_takes_more_bags_at_once_and_says_so() -> None:
    drive = Drive(library())
    before = drive.moment("08:00:00").takeoffs["P2"].bags
    told = said(drive, "08:10:00", "depths P2 3.5 3.5 3.5")
    after = drive.moment("08:10:00").takeoffs["P2"].bags
    assert after > before
    assert f"{after} bags" in told
    mix = drive.moment("08:10:00").takeoffs["P2"].mix
    assert rescoped(drive.moment("08:10:00"), mix) == after - before


def test_a_change_order_keeps_depths_bags_price_and_initials_before_and_after() -> None:
    drive = Drive(library())
    before_m = drive.job.pour("P2").depths_m
    order = typed(
        drive, "08:10:00", "change P2 depths 3.5 3.5 price 60 by KL because bad concrete went deeper"
    )
    assert isinstance(order, m.ChangeOrdered)
    assert order.depths_before_m == before_m
    assert sum(bags.extra for bags in order.bags) > 0
    assert (order.price, order.initials) == (60.0, "KL")
    assert drive.journal.day.pour("P2").depths_m == order.depths_m


def test_a_filled_hole_takes_no_new_depth() -> None:
    drive = filled()
    with pytest.raises(Refusal):
        typed(drive, "09:30:00", "depths P1 3.0")
    with pytest.raises(Refusal):
        typed(drive, "09:30:00", "change P1 depths 3.0 because it was deep")


def test_bags_used_are_split_by_cause() -> None:
    drive = filled()
    drive.do("09:30:00", i.StartTrial(), i.RejectBag("P2", "lumps"))
    drive.do("09:31:00", i.AddWater("P2", "MA"))
    drive.do("09:36:00", i.LoseBatch("P2.1", "dropped"))
    use = bag_use(drive.moment("09:40:00"), drive.moment("09:40:00").takeoffs["P1"].mix)
    assert dict(use.by_cause) == {"pours": 0.0, "trial": 0.5, "lost": 1.0, "rejected": 1.0}
    assert use.used - use.planned == pytest.approx(2.5)


@pytest.mark.parametrize(
    ("quarts", "word"), [(4.25, "within the label"), (3.5, "under the label"), (5.0, "over the label")]
)
def test_water_used_is_held_to_the_range_of_the_label(quarts: float, word: str) -> None:
    """The demo card's label: 3.75 to 4.75 qt a bag."""
    drive = filled()
    told = said(drive, "09:30:00", f"used P1.1 {quarts}")
    use = water_use(drive.moment("09:31:00"), drive.journal.day.batch("P1.1"))
    assert use is not None
    assert use.word == word
    assert bool(told) is (word != "within the label")


def test_a_lot_holds_for_bags_after_it_and_a_batch_keeps_its_own() -> None:
    drive = Drive(library())
    typed(drive, "08:00:00", "lot A1")
    drive.do("09:00:00", i.AddWater("P1", "MA"))
    typed(drive, "09:05:00", "lot B2")
    drive.do("09:10:00", i.AddWater("P2", "MB"))
    day = drive.moment("09:11:00")
    assert [lot_of(day, batch) for batch in day.day.batches] == ["A1", "B2"]
    typed(drive, "09:12:00", "lot C3 P1.1")
    assert lot_of(drive.moment("09:13:00"), day.day.batch("P1.1")) == "C3"


@pytest.mark.parametrize(
    ("line", "word"),
    [
        ("slope P4 run 8.0", "within"),
        ("slope P4 run 8.6", "over"),
        ("slope P4 run 8.3", "cannot_tell"),
        ("slope P4 cross 1.4", "within"),
        ("slope P4 cross 2.3", "over"),
        ("lip P4 1/4", "within"),
        ("lip P4 3/8", "over"),
        ("lip P4 1/2 upright 1/4 bevel 1/2", "within"),
        ("gap P4 3/16", "within"),
        ("gap P4 3/8", "over"),
    ],
)
def test_a_reading_after_the_work_is_held_to_its_limit_at_once(line: str, word: str) -> None:
    """ADA 2010: 1:12 and 1:48 on a ramp, 1/4 in upright, 1/2 in bevelled 1:2; ACI 117: 1/4 in under the straightedge."""
    drive = Drive(library())
    body = typed(drive, "09:00:00", line)
    assert answers(drive.moment("09:00:00"), body)[0].key in (f"verdict.{word}", "verdict.past_aim")
    if word != "within":
        assert answers(drive.moment("09:00:00"), body)[0].key == f"verdict.{word}"


def test_readings_before_the_work_stand_beside_those_after_and_are_not_judged() -> None:
    drive = Drive(library())
    assert said(drive, "08:00:00", "slope P4 before run 9.0 at top") == ""
    typed(drive, "11:00:00", "slope P4 after run 7.4 at top")
    day = drive.moment("11:00:00")
    line = hand_over(day, day.day.pour("P4")).lines[0]
    assert (line.before, line.word) == (pytest.approx(0.09), "within")
    assert "lip" in hand_over(day, day.day.pour("P4")).missing


def test_too_steep_a_ramp_is_told_what_an_existing_site_may_keep_and_no_more() -> None:
    drive = Drive(library())
    typed(drive, "11:00:00", "ramp P4 rise 5 width 38 landing 60")
    typed(drive, "11:00:00", "slope P4 run 9.5")
    day = drive.moment("11:00:00")
    assert [note.key for note in hand_over(day, day.day.pour("P4")).notes] == ["note.existing_first"]


def test_a_pour_is_kept_wet_from_its_last_stroke_and_wetted_again() -> None:
    drive = filled()
    last = drive.events[-1].at
    moment = drive.moment("09:30:00")
    cure = cure_of(moment, moment.day.pour("P1"))
    assert cure is not None
    assert cure.wet_at == last
    assert cure.next_at == pytest.approx(last + 20 * 60.0)  # in shade
    assert cure.until >= last + 3600.0
    drive.do("09:40:00", i.SoakPour("P1"))
    moment = drive.moment("09:41:00")
    again = cure_of(moment, moment.day.pour("P1"))
    assert again is not None
    assert again.wet_at == drive.at("09:40:00")


def test_a_blanket_in_the_cold_never_opens_a_pour_later() -> None:
    """Heat kept in: the wheels come sooner or as soon, and the morning finds more set age."""
    bare, kept = filled(), filled()
    bare.do("09:30:00", i.CoverPour("P1", "sheet"))
    kept.do("09:30:00", i.CoverPour("P1", "blanket"))
    found = []
    for drive in (bare, kept):
        moment = drive.moment("10:00:00")
        after = aftercare(moment, moment.day.pour("P1"))
        assert after is not None
        found.append(after)
    assert (found[1].wheels.at or 0.0) <= (found[0].wheels.at or 0.0)
    assert found[1].night.equivalent_s != found[0].night.equivalent_s


def test_visits_are_due_after_a_pour_and_done_ones_are_not() -> None:
    drive = filled()
    kinds = [visit.kind for visit in visits_due(drive.moment("12:00:00")) if visit.kind != "later pours"]
    assert kinds == ["next day", "7 day", "28 day", "spring"]
    typed(drive, "12:00:00", "looked next day")
    assert "next day" not in [visit.kind for visit in visits_due(drive.moment("12:01:00"))]


def test_a_pour_left_today_is_a_visit_whose_day_may_be_agreed() -> None:
    drive = Drive(library())
    drive.do("10:00:00", i.SkipNext("P3"))
    typed(drive, "10:01:00", "visit 2 on 2026-12-03")
    later = [visit for visit in visits_due(drive.moment("10:02:00")) if visit.kind == "later pours"]
    assert any("P3" in visit.pours and visit.day == datetime.date(2026, 12, 3) for visit in later)
    with pytest.raises(Refusal):
        typed(drive, "10:03:00", "visit 9 on 2026-12-03")


def test_a_coating_read_in_the_same_week_is_too_young() -> None:
    drive = filled()
    told = said(
        drive,
        "12:00:00",
        "coat P1 film sheet dry 18 h surface 58 air 60 humidity 55 since 30 h ahead 26 h",
    )
    assert told.startswith("Against it: age 0.12")
    assert told.endswith("Not read: -.")


def test_a_short_sheet_test_is_not_yet_a_test() -> None:
    """ASTM D4263: at least 16 h, read."""
    told = said(filled(), "12:00:00", "coat P1 film sheet dry 12 h")
    assert "sheet test 12 h of 16 h" in told


@pytest.mark.parametrize(
    ("line", "part"),
    [("sound P1 hollow", "keep it closed"), ("feel P1 slick", "keep it closed"), ("sound P1 clear", "")],
)
def test_what_is_wrong_with_a_finished_surface_is_said_at_once(line: str, part: str) -> None:
    told = said(filled(), "12:00:00", line)
    assert (part in told.casefold()) is bool(part) or told == ""


def test_opening_before_its_time_or_unchecked_is_recorded_and_said() -> None:
    drive = filled()
    drive.do("09:30:00", i.OpenPour("P1", "wheels"))
    told = " ".join(WORDS(one) for one in answers(drive.moment("09:30:00"), drive.events[-1].body))
    assert "not before" in told
    assert "not checked" in told
    assert drive.journal.day.opened


@pytest.mark.parametrize(
    ("water_c", "ice_kg", "key"),
    [(45.0, 0.0, "hot_water"), (20.0, 2.3, "too_much_ice"), (1.0, 3.5, "ice_left"), (20.0, 1.0, "")],
)
def test_water_over_its_cap_and_ice_that_cannot_melt_are_said(
    water_c: float, ice_kg: float, key: str
) -> None:
    """TM 5-852-4: no water over 100 °F onto a dry bag, read; the ice balance holds to half the water (published study, read)."""
    reading = ReadingTaken(
        water_c=water_c, ice_kg=ice_kg, bags_c={"ice_left": 2.0, "too_much_ice": 45.0}.get(key, 25.0)
    )
    drive = Drive(library()).do("09:00:00", i.TakeReading(reading))
    here = surroundings(drive.moment("09:00:01"))
    assert [said.key for said in here.water] == ([f"material.{key}"] if key else [])
    assert here.mix_c >= 0.0


def test_work_under_a_blanket_freezes_as_the_patch_does_and_bare_work_as_the_air() -> None:
    """COLD-8: strength before the first freeze. The blanket's words wait for that strength."""
    frosty = tuple(replace(row, air_c=-6.0, slab_c=row.slab_c) for row in library().conditions[-1:])
    cold = replace(library(), conditions=(*library().conditions[:-1], *frosty))
    words = {}
    for cover in ("sheet", "blanket"):
        drive = filled()
        drive.do("09:30:00", i.CoverPour("P1", cover))  # type: ignore[arg-type]
        moment = Moment(replace(drive.journal.day, job=cold), drive.at("09:35:00"))
        after = aftercare(moment, moment.day.pour("P1"))
        assert after is not None
        words[cover] = (after.night.freeze_at, after.blanket)
    assert words["sheet"][1] is None
    assert words["blanket"][1] == "too green"
    assert (words["blanket"][0] or 1e12) >= (words["sheet"][0] or 0.0)


def test_where_no_expected_day_fits_it_is_not_this_season() -> None:
    """Nothing under 50 °F takes a film: common practice."""
    cold = tuple(ExpectedDay(drive_day(n), 3.0, 0.7, False) for n in range(20, 60, 5))
    warm = (*cold, ExpectedDay(drive_day(90), 15.0, 0.5, False))
    for days, fits in ((cold, False), (warm, True)):
        drive = filled()
        moment = Moment(
            replace(drive.journal.day, job=replace(drive.job, expected=days)), drive.at("12:00:00")
        )
        found = coating(moment, moment.day.pour("P1"))
        assert found is not None
        assert (found.day is not None) is fits


def drive_day(days: int) -> float:
    return Drive(library()).at("14:00:00") + days * 86400.0


def test_drying_of_the_next_bag_is_that_of_the_warmer_of_mix_and_slab() -> None:
    drive = Drive(library())
    cool = surroundings(drive.moment("09:00:00"))
    drive.do("09:00:00", i.TakeReading(ReadingTaken(slab_c=45.0, sun=True)))
    hot = surroundings(drive.moment("09:00:00"))
    assert hot.surface_c > cool.surface_c
    assert hot.drying.rate > cool.drying.rate
    assert "hot" in [finding.band for finding in hot.findings]


def test_a_station_s_wind_is_reduced_to_the_work() -> None:
    """ASHRAE 2005 profile: 0.657 of the wind ten metres up in open country."""
    drive = Drive(library()).do("09:00:00", i.TakeReading(ReadingTaken(station_ms=10.0)))
    assert drive.moment("09:00:01").site.weather("", drive.at("09:00:01")).wind_ms == pytest.approx(
        6.57, abs=0.05
    )


@pytest.mark.parametrize(
    ("line", "part"),
    [
        ("want 60", "brings the mix to 60 °F"),
        ("night P1", "strength for a first one"),
        ("wet", "P1: wet again"),
        ("left P1", "lip"),
    ],
)
def test_questions_are_answered_and_write_nothing(line: str, part: str) -> None:
    drive = filled()
    found = answer(drive.moment("09:25:00"), line)
    assert found is not None
    assert part in " ".join(WORDS(one) for one in found)


def test_a_line_that_is_no_question_is_left_alone() -> None:
    assert answer(Drive(library()).moment("09:00:00"), "air 53") is None
