"""What was foretold and what went wrong, on a mix without heat at its reference temperature and no packets.

Source of the seconds: the card's own limits. There set age is the time since water contact (ASTM C1074: at the reference
temperature equivalent age is clock time), so that windows can be read off the card by hand: workable until 270 s, first
trowel open 240, due 285, late 360, second due 540.
"""

from __future__ import annotations

import csv
import math
from collections import Counter
from dataclasses import replace
from pathlib import Path

import pytest

from engine import PROGRAM, console
from engine.clock import HandClock, Stamp
from engine.job.model import Job
from engine.pour import events as e
from engine.pour.body import Body
from engine.record.replaying.incidents import Incident, Incidents
from engine.record.replaying.past import Past, past_of
from engine.record.replaying.places import place_named
from engine.record.replaying.predicted import Foretold, predicted, predicted_table
from tests.pour.driving import library, mild
from tests.rehearsal.jobs import WORDS
from tests.scenarios.expected import DATA

LIBRARY = DATA / "library"
BATCH = (
    (0.0, e.WaterAdded("N0.1", "N0", 1.0, 0.0, "S1")),
    (90.0, e.Mixed("N0.1")),
    (120.0, e.Tipped("N0.1")),
    (140.0, e.StrokeDone("float", ("N0.1",))),
)


def events_at(*told: tuple[float, Body], job: Job | None = None) -> tuple[e.Event, ...]:
    """Lines written so many seconds after the start, each as it happened."""
    job = job or mild()
    lines = [(0.0, e.DayOpened(job, PROGRAM)), *told]
    return tuple(
        e.Event(seq, job.start + at, body, Stamp(job.start + at, 1000.0 + at, "boot"), "A")
        for seq, (at, body) in enumerate(lines, start=1)
    )


def past_at(*told: tuple[float, Body]) -> Past:
    return past_of(mild(), events_at(*told))


def incidents_of(past: Past) -> tuple[Incident, ...]:
    found = Incidents(past, Foretold(past))
    for line in range(1, past.lines + 1):
        found.look(line)
    return found.all()


def test_windows_stand_as_the_card_says_and_the_stamp_beside_them() -> None:
    past = past_at(*BATCH, (300.0, e.StrokeDone("first_trowel", ("N0.1",))))
    start = mild().start
    rows = {row.name: row for row in predicted(past, past.lines, start + 310.0)}
    trowel = rows["first_trowel"]
    assert trowel.at_tip.open - start == pytest.approx(240.0, abs=0.01)
    assert trowel.at_tip.due - start == pytest.approx(285.0, abs=0.01)
    assert trowel.latest.late - start == pytest.approx(360.0, abs=0.01)
    assert trowel.off_s == pytest.approx(15.0, abs=0.01)
    assert rows["second_trowel"].stroke is None
    assert rows["second_trowel"].at_tip.due - start == pytest.approx(540.0, abs=0.01)


def test_a_sign_moves_the_later_window_and_leaves_what_was_foretold_at_the_tip() -> None:
    sign = e.SignSeen("ready", "N0.1", "first_trowel")
    stroke = e.StrokeDone("first_trowel", ("N0.1",))
    past = past_at(*BATCH, (250.0, sign), (270.0, stroke))
    rows = {row.name: row for row in predicted(past, past.lines, mild().start + 280.0)}
    assert rows["first_trowel"].at_tip.due - mild().start == pytest.approx(285.0, abs=0.01)
    k = math.exp(
        math.log(285.0 / 250.0) * 0.04 / (0.04 + 0.0225)
    )  # two normals: spreads 0.20 and 0.15 in ln k
    assert rows["first_trowel"].moved_s == pytest.approx(35.0 / k - 35.0, abs=0.02)
    assert rows["second_trowel"].moved_s == pytest.approx(290.0 / k - 290.0, abs=0.05)


def test_as_known_then_leaves_out_what_came_later() -> None:
    told = (*BATCH, (250.0, e.SignSeen("ready", "N0.1", "first_trowel")))
    whole = past_at(*told)
    short = past_at(*BATCH)
    at = mild().start + 200.0
    assert predicted(whole, short.lines, at) == predicted(short, short.lines, at)


def test_a_stamp_taken_back_is_none_and_the_next_one_counts() -> None:
    stroke = e.StrokeDone("first_trowel", ("N0.1",))
    past = past_at(*BATCH, (300.0, stroke), (302.0, e.Undone(6)), (305.0, stroke))
    row = next(r for r in predicted(past, past.lines, mild().start + 310.0) if r.name == "first_trowel")
    assert row.stroke is not None
    assert row.stroke.seq == 8
    assert row.off_s == pytest.approx(20.0, abs=0.01)
    undone = next(r for r in predicted(past, 7, mild().start + 303.0) if r.name == "first_trowel")
    assert undone.stroke is None


def test_the_table_is_plain_and_says_the_state_of_each_stamp() -> None:
    events = events_at(*BATCH, (370.0, e.StrokeDone("first_trowel", ("N0.1",))))
    rows = {row["pass"]: row for row in predicted_table(mild(), events)}
    assert rows["first_trowel"]["state"] == "late"
    assert rows["first_trowel"]["off_s"] == pytest.approx(85.0, abs=0.01)
    assert rows["second_trowel"]["done"] is None
    assert rows["float"]["moved_s"] == pytest.approx(0.0, abs=0.01)


@pytest.mark.parametrize(("after_s", "late"), [(359.0, False), (361.0, True)])
def test_a_stroke_is_late_after_its_window_and_not_before(after_s: float, late: bool) -> None:
    found = incidents_of(past_at(*BATCH, (after_s, e.StrokeDone("first_trowel", ("N0.1",)))))
    assert [one.kind for one in found] == (["late"] if late else [])


@pytest.mark.parametrize(("after_s", "joint"), [(269.0, False), (271.0, True)])
def test_a_bag_tipped_against_a_dead_edge_is_a_joint(after_s: float, joint: bool) -> None:
    second = ((150.0, e.WaterAdded("N0.2", "N0", 1.0, 0.0, "S1")), (240.0, e.Mixed("N0.2")))
    found = incidents_of(past_at(*BATCH, *second, (after_s, e.Tipped("N0.2"))))
    assert [one.kind for one in found] == (["joint"] if joint else [])


@pytest.mark.parametrize(
    ("body", "kind"),
    [
        (e.BatchLost("N0.1", "dropped"), "lost"),
        (e.VesselLost("S1", "split"), "vessel"),
        (e.WentAway("B"), "away"),
        (e.BagRejected("no-heat", "N0", "lumps"), "rejected"),
        (e.ClockJumped(30.0), "clock"),
        (e.ReadingTaken(air_c=20.0), "reading"),
    ],
)
def test_each_kind_of_incident_is_found_and_taken_back_is_none(body: Body, kind: str) -> None:
    assert [one.kind for one in incidents_of(past_at(*BATCH, (150.0, body)))] == [kind]
    if kind != "clock":  # nobody can take back a clock
        assert incidents_of(past_at(*BATCH, (150.0, body), (160.0, e.Undone(6)))) == ()


def test_the_incidents_of_the_library_day_are_those_of_its_notes(tmp_path: Path) -> None:
    console.enter(LIBRARY / "job.toml", LIBRARY / "notes.csv", tmp_path / "day.jsonl", WORDS)
    replay = console.open_replay(tmp_path / "day.jsonl", HandClock(0.0))
    replay.prepare()
    with (LIBRARY / "notes.csv").open(encoding="utf-8", newline="") as stream:
        noted = Counter(row["what"] for row in csv.DictReader(stream))
    found = Counter(one.kind for one in replay.incidents)
    for kind, what in (("lost", "lost"), ("rejected", "rejected"), ("away", "away"), ("reading", "reading")):
        assert found[kind] == noted[what], kind  # type: ignore[index]
    late = [one.line for one in replay.incidents if one.kind == "late"]
    by_table = {
        row["done"]
        for row in predicted_table(replay.job, replay.past.events)
        if row["state"] in ("late", "lost")
    }
    assert len(late) == len(by_table) > 0


def test_lines_count_from_when_they_were_written_whatever_they_speak_of() -> None:
    first, *rest = events_at(*BATCH)
    spoken_of = [replace(event, at=event.at - 60.0) for event in rest]
    past = past_of(mild(), [first, *spoken_of])
    assert past.line_at(mild().start + 89.0) == 2
    assert past.line_at(mild().start + 90.0) == 3
    assert past.line_at(mild().start - 1.0) == 0


def test_a_wall_clock_set_back_does_not_make_the_past_run_backwards() -> None:
    events = [*events_at(*BATCH)]
    events[3] = replace(events[3], stamp=Stamp(events[3].stamp.wall - 3600.0, 5.0, "another boot"))
    past = past_of(mild(), events)
    written = [past.written(line) for line in range(1, past.lines + 1)]
    assert written == sorted(written)


PLACES = [
    ("N0", 2),
    ("n0.1", 2),
    ("line 3", 3),
    ("line 99", None),
    ("line 0", None),
    ("N9", None),
    ("", None),
]


@pytest.mark.parametrize(("text", "place"), PLACES)
def test_a_place_is_a_pour_a_batch_or_a_line(text: str, place: int | None) -> None:
    assert place_named(past_at(*BATCH), text) == place


def test_a_place_may_be_a_time_of_day() -> None:
    past = past_of(library(), events_at(job=library()))
    found = place_named(past, "09:30")
    assert isinstance(found, float)
    assert found - library().start == pytest.approx((9.5 - _hour(library())) * 3600.0)


def _hour(job: Job) -> float:
    seven = place_named(past_of(job, events_at(job=job)), "07:00")
    assert isinstance(seven, float)
    return 7.0 + (job.start - seven) / 3600.0
