"""What the after screen shows of a day: each value beside the engine's own function for it, and what is typed is read.

Openings under a slower or quicker rate are held against the closed form for a constant rate: the time still to go is
inverse to the rate. Limits: 2010 ADA Standards 303.2, 403.3 (read or in reproduction), ACI 117 (from memory).
"""

from __future__ import annotations

import datetime
from dataclasses import replace

import pytest

from engine.job.files import practice_by_key
from engine.job.model import Practice
from engine.pour import intents as i
from engine.pour.after_view import AfterView, CareRow, CheckRow
from engine.pour.around.after_page import after_page
from engine.pour.around.aftercare import aftercare, cure_of
from engine.pour.around.coming_back import coating, old_enough_at, visits_due
from engine.pour.around.handing_over import hand_over
from engine.pour.around.used import rescoped
from engine.pour.openings import openings
from engine.pour.stages import next_stroke
from engine.record.entries import ENTRIES, Place, first_word, read_entry
from engine.site.curing import cure_list
from engine.site.firstnight import said as night_said
from tests.pour.driving import Drive, library, mild
from tests.pour.test_around import filled, typed


def page(drive: Drive, clock: str) -> AfterView:
    return after_page(drive.moment(clock), practice_by_key())


def care(drive: Drive, clock: str, pour: str = "P1") -> CareRow:
    return next(row for row in page(drive, clock).care if row.id == pour)


def checks(drive: Drive, clock: str, name: str, pour: str = "P1") -> list[CheckRow]:
    return [row for row in page(drive, clock).checks if (row.pour, row.name) == (pour, name)]


# care


def test_a_day_without_a_bag_has_nothing_to_care_for() -> None:
    found = page(Drive(library()), "08:00:00")
    assert found.care == ()
    assert {row.name for row in found.checks} == {"readiness"}


def test_cure_cover_and_first_night_are_those_of_the_engine() -> None:
    drive = filled().do("09:25:00", i.SoakPour("P1"), i.CoverPour("P1", "sheet"))
    moment = drive.moment("09:40:00")
    pour = moment.day.pour("P1")
    row, cure, after = care(drive, "09:40:00"), cure_of(moment, pour), aftercare(moment, pour)
    assert cure is not None
    assert after is not None
    assert (row.wet_at, row.wet_next, row.wet_until) == (cure.wet_at, cure.next_at, cure.until)
    assert (row.cover, row.cover_since) == ("sheet", drive.at("09:25:00"))
    assert row.last_stroke == max(stroke.at for stroke in drive.batch("P1.1").strokes)
    assert row.night == night_said(after.night)
    assert row.strong_at == after.night.reached_at
    assert row.lift is None


def test_a_blanket_says_whether_it_may_come_off_and_bare_is_said() -> None:
    drive = filled().do("09:25:00", i.CoverPour("P1", "blanket"))
    row = care(drive, "09:30:00")
    assert row.lift is not None
    assert row.lift.key == "blanket.too_green"
    drive.do("09:35:00", i.UncoverPour("P1"))
    bare = care(drive, "09:40:00")
    assert (bare.cover, bare.cover_since, bare.lift) == ("bare", drive.at("09:35:00"), None)


def test_openings_are_the_engines_and_never_before_the_labels_time_from_the_tip() -> None:
    drive = filled()
    moment = drive.moment("09:30:00")
    opens, label = openings(moment, moment.day.pour("P1")), moment.card("P1").opening
    feet, wheels = care(drive, "09:30:00").opens
    assert (feet.at, wheels.at) == (opens.feet, opens.wheels)
    assert (feet.label_s, wheels.label_s) == (label.feet_s, label.wheels_s)
    assert feet.label_at == drive.at("09:02:00") + label.feet_s
    for one in (feet, wheels):
        assert one.at is not None
        assert one.early is not None
        assert one.late is not None
        assert one.label_at <= one.early <= one.at <= one.late


def test_the_spread_of_an_opening_is_that_of_todays_rate_on_the_time_still_to_go() -> None:
    """At one temperature all day the time still to go is inverse to the rate, and the label's own time goes first."""
    drive = Drive(mild())
    drive.do("09:00:00", i.AddWater("N2", "A"))
    drive.do("09:02:00", i.StampMixed("N2.1"), i.StampTipped("N2.1"))
    while moment_left(drive, "N2.1"):
        drive.do("09:20:00", i.StampStroke(moment_left(drive, "N2.1"), "N2", "B"))  # type: ignore[arg-type]
    moment = drive.moment("09:25:00")
    factor, batch = moment.factor, drive.batch("N2.1")
    assert factor.low < factor.value < factor.high
    for one in after_page(moment, practice_by_key()).care[0].opens:
        set_at = moment.trajectory(batch).time_of(one.label_s)
        assert set_at is not None
        late = moment.at + (set_at - moment.at) * factor.value / factor.low
        early = moment.at + (set_at - moment.at) * factor.value / factor.high
        assert one.late == pytest.approx(max(late, one.label_at), abs=2.0)
        assert one.early == pytest.approx(max(early, one.label_at), abs=2.0)


def moment_left(drive: Drive, batch: str) -> str:
    """The stroke still ahead of a batch; empty once there is none."""
    return next_stroke(drive.moment("09:20:00"), drive.batch(batch)) or ""


def test_what_is_still_worked_on_has_no_cure_and_stands_last() -> None:
    drive = filled()
    drive.do("09:22:00", i.AddWater("P2", "MA"))
    drive.do("09:24:00", i.StampMixed("P2.1"), i.StampTipped("P2.1"))
    rows = page(drive, "09:25:00").care
    assert [row.id for row in rows] == ["P1", "P2"]
    assert (rows[1].last_stroke, rows[1].wet_until, rows[1].opens) == (None, None, ())


def test_pours_stand_in_the_order_of_their_next_wetting() -> None:
    drive = filled()
    drive.do("09:30:00", i.SoakPour("P1"))
    drive.do("09:30:00", i.AddWater("P3", "MA"))
    drive.do("09:32:00", i.StampMixed("P3.1"), i.StampTipped("P3.1"))
    for clock, stroke in (("09:33:00", "float"), ("09:42:00", "first_trowel"), ("09:46:00", "second_trowel")):
        drive.do(clock, i.StampStroke(stroke, "P3", "F"))  # type: ignore[arg-type]
    if library().times.edge_s is not None:
        drive.do("09:47:00", i.StampStroke("edge", "P3", "F"))
    drive.do("09:48:00", i.CoverPour("P3", "sheet"))
    moment = drive.moment("09:50:00")
    cures = [cure for pour in moment.day.pours if (cure := cure_of(moment, pour))]
    cured = [row.id for row in page(drive, "09:50:00").care if row.wet_until is not None]
    assert cured == [cure.pour for cure in cure_list(cures, moment.at)]


def test_opened_pours_say_to_whom_and_when() -> None:
    drive = filled().do("11:00:00", i.OpenPour("P1", "feet", "Lead"))
    row = care(drive, "11:10:00")
    assert (row.state, row.opened, row.opened_at) == ("open", "feet", drive.at("11:00:00"))


def test_the_coating_gate_is_told_as_it_was_read() -> None:
    drive = filled()
    assert care(drive, "10:00:00").coat is None
    assert care(drive, "10:00:00").coat_from == drive.at("09:02:00") + library().practice["coating.least_age"]
    typed(drive, "10:00:00", "coat P1 sealer label 10 d sheet damp")
    moment = drive.moment("10:05:00")
    found = coating(moment, moment.day.pour("P1"))
    row = care(drive, "10:05:00")
    assert found is not None
    assert row.coat_from == old_enough_at(moment, moment.day.pour("P1")) == found.old_enough_at
    assert row.coat is not None
    assert "sheet test" in dict(row.coat.values)["against"]


# checks


def test_each_reading_stands_with_verdict_limit_and_source() -> None:
    drive = filled()
    typed(drive, "11:00:00", "slope P1 before run 6 at top")
    typed(drive, "11:00:00", "slope P1 run 5.4 at top")
    (row,) = checks(drive, "11:05:00", "running slope")
    (line,) = [
        one
        for one in hand_over(drive.moment("11:05:00"), drive.job.pour("P1")).lines
        if one.name == "running slope"
    ]
    assert line.verdict is not None
    assert (row.word, row.value, row.limit) == ("over", line.verdict.value, 1 / 20)
    assert row.before == pytest.approx(0.06)
    assert row.source is not None
    assert (row.source.title, row.source.clause) == ("ADA Standards for Accessible Design", "403.3")
    assert (row.entry, row.tail) == ("slope P1 run ", " at top")


def test_what_nobody_read_says_what_is_asked_for() -> None:
    drive = filled()
    (lip,) = checks(drive, "11:00:00", "lip")
    assert (lip.word, lip.sense, lip.limit) == ("not read", "at most", pytest.approx(0.25 * 0.0254))
    assert lip.source is not None
    assert lip.source.clause == "303.2"
    (sound,) = checks(drive, "11:00:00", "sounding")
    assert (sound.word, sound.wanted, sound.limit) == ("not read", "clear", None)
    missing = {
        row.name
        for row in page(drive, "11:00:00").checks
        if row.pour == "P1" and row.word == "not read" and row.asked
    }
    assert missing == set(hand_over(drive.moment("11:00:00"), drive.job.pour("P1")).missing)


def test_a_limit_that_the_job_says_itself_is_not_put_on_a_standard() -> None:
    numbers = tuple(
        (key, 0.01 if key == "surface.upright_change" else value) for key, value in library().practice.values
    )
    drive = Drive(replace(library(), practice=Practice(numbers)))
    drive.do("09:00:00", i.AddWater("P1", "MA"))
    drive.do("09:02:00", i.StampMixed("P1.1"), i.StampTipped("P1.1"))
    (lip,) = checks(drive, "09:05:00", "lip")
    (gap,) = checks(drive, "09:05:00", "straightedge")
    assert (lip.limit, lip.source) == (0.01, None)
    assert gap.source is not None


def test_points_of_readiness_are_ticked_before_the_bag_and_kept_after_it() -> None:
    drive = Drive(library())
    typed(drive, "08:00:00", "tick P1 sound square")
    (row,) = checks(drive, "08:05:00", "readiness")
    assert row.done == ("sound", "square")
    assert row.missing == ("clean", "deep", "joint")
    assert row.entry == "tick P1 "
    drive.do("09:00:00", i.AddWater("P1", "MA"))
    (row,) = checks(drive, "09:05:00", "readiness")
    assert (row.missing, row.entry) == (("clean", "deep", "joint"), "")


NUMBERS = {
    "running slope": "7.6",
    "cross slope": "1.4",
    "lip": "1/8",
    "straightedge": "3/16",
    "sounding": "clear",
    "wet feel": "grips",
    "risers": "7 7",
    "treads": "11 11",
    "nosing": "1/2 out 1",
    "size of the run": "24 width 38 landing 60",
    "readiness": "sound",
}


@pytest.mark.parametrize("pour", ["P1", "P4", "P6"])
def test_every_line_begun_for_a_check_reads_once_its_number_is_typed(pour: str) -> None:
    drive = filled() if pour == "P1" else Drive(library())
    if pour != "P1":
        drive.do("09:30:00", i.AddWater(pour, "MA"))
        drive.do("09:32:00", i.StampMixed(f"{pour}.1"), i.StampTipped(f"{pour}.1"))
    place = Place("us", tuple(one.id for one in drive.journal.day.pours), drive.job.practice)
    rows = [row for row in page(drive, "11:00:00").checks if row.entry]
    assert {row.name for row in rows if row.pour == pour} >= {"running slope", "lip", "sounding"}
    for row in rows:
        line = f"{row.entry}{NUMBERS[row.name]}{row.tail}"
        assert first_word(line) in ENTRIES
        assert getattr(read_entry(line, place), "pour", "") == row.pour


# change orders


def test_orders_come_first_with_their_sums_then_the_holes_that_are_still_open() -> None:
    drive = filled()
    typed(drive, "09:30:00", "change P2 depths 3.5 3.5 price 60 because it went deeper")
    typed(drive, "09:31:00", "change P3 depths 2.5 price 25.5 by AB because soft spot")
    found = page(drive, "09:32:00")
    assert [(row.pour, row.initials) for row in found.changes if row.at is not None] == [
        ("P2", ""),
        ("P3", "AB"),
    ]
    assert [row.pour for row in found.changes if row.at is None] == ["P2", "P3", "P4", "P5", "P6", "P7"]
    assert (found.sums.agreed, found.sums.open) == (25.5, 60.0)
    moment = drive.moment("09:32:00")
    assert all(extra == rescoped(moment, mix) for mix, extra in found.sums.bags)


def test_an_open_order_said_again_with_initials_is_one_agreed_order() -> None:
    drive = filled()
    typed(drive, "09:30:00", "change P2 depths 3.5 3 1/3 price 60 because it went deeper")
    (order,) = [row for row in page(drive, "09:31:00").changes if row.at is not None]
    typed(drive, "09:35:00", f"{order.entry}AB{order.tail}")
    found = page(drive, "09:36:00")
    (agreed,) = [row for row in found.changes if row.at is not None]
    assert (agreed.initials, agreed.price, agreed.reason) == ("AB", 60.0, "it went deeper")
    assert agreed.depths_before_m == order.depths_before_m == library().pour("P2").depths_m
    assert agreed.bags == order.bags
    assert (found.sums.agreed, found.sums.open) == (60.0, 0.0)
    assert agreed.entry == ""


def test_a_filled_hole_takes_no_more_orders() -> None:
    assert "P1" not in [row.pour for row in page(filled(), "09:30:00").changes]


# visits


def test_visits_are_those_still_due_with_their_lines() -> None:
    drive = filled().do("09:30:00", i.SkipNext("P5"))
    found = page(drive, "09:40:00").visits
    due = visits_due(drive.moment("09:40:00"))
    assert [(one.kind, one.day, one.pours) for one in found] == [
        (one.kind, one.day, one.pours) for one in due
    ]
    place = Place("us", ("P1",), drive.job.practice)
    for one in found:
        line = f"{one.entry}2026-12-03" if one.kind == "later pours" else one.entry
        drive.do("09:45:00", i.WriteDown(read_entry(line, place)))
    left = page(drive, "09:46:00").visits
    assert [(one.kind, one.day) for one in left] == [("later pours", datetime.date(2026, 12, 3))]


def test_the_date_is_that_of_the_site() -> None:
    drive = filled()
    assert page(drive, "23:59:59").today.isoformat() == library().date
