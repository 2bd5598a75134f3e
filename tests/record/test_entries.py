"""Entries as they are typed: what each one says, and the sentence for one that cannot stand.

Slopes from level and rule: 24 in at 1:12 rise 2.00 in, at 1:48 0.50 in (geometry). Lengths by NIST SP 811: 1 in is 25.4 mm.
"""

from __future__ import annotations

from dataclasses import replace

import pytest

from engine.pour import measured as m
from engine.record.entries import ENTRIES, Place, first_word, read_entry
from tests.pour.driving import library

IN = 0.0254
HERE = Place("us", ("P1", "P2", "P4", "P5"), library().practice)
METRIC = replace(HERE, units="metric")


@pytest.mark.parametrize(
    ("text", "running"),
    [("7.6", 0.076), ("7.6 %", 0.076), ("1:12", 1 / 12), ("2 in over 24 in", 2 / 24), ("-1.5", -0.015)],
)
def test_a_slope_is_read_in_per_cent_as_a_ratio_or_off_a_rule(text: str, running: float) -> None:
    read = read_entry(f"slope P4 after run {text} cross 1.4", HERE)
    assert isinstance(read, m.SlopeRead)
    assert read.running == pytest.approx(running)
    assert read.cross == pytest.approx(0.014)


def test_before_and_spot_are_kept() -> None:
    read = read_entry("slope p4 before cross 2.0 at by the door", HERE)
    assert read == m.SlopeRead("P4", "before", None, 0.02, 0.0, 0.001, "by the door")


@pytest.mark.parametrize(
    ("line", "sizes_in"),
    [
        ("depths P2 2.0 1.75 2 1/4", (2.0, 1.75, 2.25)),
        ("depths P2 2, 1 3/4, 2.25", (2.0, 1.75, 2.25)),
        ("depths P2 50 mm 1.5 in", (50 / 25.4, 1.5)),
    ],
)
def test_depths_are_read_one_after_the_other(line: str, sizes_in: tuple[float, ...]) -> None:
    read = read_entry(line, HERE)
    assert isinstance(read, m.DepthsRead)
    assert read.depths_m == pytest.approx([size * IN for size in sizes_in])


def test_plain_numbers_are_millimetres_in_a_metric_job() -> None:
    assert read_entry("gap P4 5", METRIC) == m.GapRead("P4", "after", pytest.approx(0.005))  # type: ignore[arg-type]


def test_a_lip_that_is_not_all_upright_has_a_bevel() -> None:
    read = read_entry("lip P4 3/8 upright 1/4 bevel 1/4", HERE)
    assert isinstance(read, m.LipRead)
    assert (read.height_m, read.upright_m, read.bevel_run_m) == pytest.approx(
        (0.375 * IN, 0.25 * IN, 0.25 * IN)
    )
    assert read_entry("lip P4 1/4", HERE) == m.LipRead("P4", "after", 0.25 * IN, 0.25 * IN)


@pytest.mark.parametrize(
    ("line", "read"),
    [
        ("tick P2 sound square clean", m.Ticked("P2", ("sound", "square", "clean"))),
        ("tick P2 clean 20 h ago", m.Ticked("P2", ("clean",), 20 * 3600.0)),
        ("lot A-123", m.LotNoted("A-123")),
        ("lot A-123 P2.1", m.LotNoted("A-123", "P2.1")),
        ("lot A-123 sanded", m.LotNoted("A-123", "", "sanded")),
        ("sound P4 hollow", m.Sounded("P4", "hollow")),
        ("feel P4 slick", m.WetFelt("P4", "slick")),
        ("visit 2 on 2026-12-03", m.VisitAgreed(2, "2026-12-03")),
        ("looked next day", m.LookMade("next day")),
    ],
)
def test_short_entries_say_what_they_say(line: str, read: m.Body) -> None:
    assert read_entry(line, HERE) == read


def test_a_change_order_takes_everything_behind_because_as_its_reason() -> None:
    read = read_entry("change P2 depths 2.5 2.75 price 85 by AB because rot by the drain, price of it", HERE)
    assert isinstance(read, m.ChangeOrdered)
    assert (read.price, read.initials, read.reason) == (85.0, "AB", "rot by the drain, price of it")
    assert read.depths_m == pytest.approx((2.5 * IN, 2.75 * IN))


def test_an_entry_typed_on_a_pour_needs_no_name() -> None:
    assert read_entry("sound clear", replace(HERE, pour="P5")) == m.Sounded("P5", "clear")


@pytest.mark.parametrize(
    ("line", "why"),
    [
        ("slope P4 run", "run or cross is missing"),
        ("slope P4 run 200", "steeper than 1:1"),
        ("slope run 7", "name the pour"),
        ("lip P4 3/8 upright 1/4", "bevel"),
        ("lip P4 1/4 upright 3/8", "bevel"),
        ("depths P2 deep", "lengths are needed"),
        ("depths P2 400", "out of reach"),
        ("tick P2 shiny", "one or more of sound"),
        ("used P2 4.5", "name the batch"),
        ("used P2.1 4.5 lb", "water"),
        ("change P2 depths 2", "because is missing"),
        ("change P2 depths 2 price much because it rained", "price is a number"),
        ("coat P4 sheet wet", "sheet dry"),
        ("visit 2 on tomorrow", "2026-12-03"),
        ("sound P4 loud", "one of clear, hollow"),
        ("ramp P4 rise 24", "width is missing"),
        ("lot", "lot printed on the bag"),
    ],
)
def test_an_entry_that_cannot_stand_is_answered_with_the_reason_and_an_example(line: str, why: str) -> None:
    with pytest.raises(ValueError, match=why) as refused:
        read_entry(line, HERE)
    assert ENTRIES[first_word(line)].example in str(refused.value)


@pytest.mark.parametrize("word", ENTRIES)
def test_the_example_of_an_entry_is_one(word: str) -> None:
    example = ENTRIES[word].example.split(",")[0].split(" for all")[0].replace("P3", "P5")
    assert read_entry(example, HERE)


@pytest.mark.parametrize("word", ENTRIES)
def test_no_entry_begins_like_a_reading(word: str) -> None:
    assert word not in (
        "air",
        "slab",
        "surface",
        "bags",
        "bag",
        "water",
        "mix",
        "wind",
        "station",
        "humidity",
        "ice",
    )
