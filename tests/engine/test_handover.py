"""The finished surface against its limits.

ADA-1 to -19: source, edition, clause and status in each row of ada_limits.csv. ADA-20: geometry, derived. ADA-21: US Access
Board, guide to the ADA Standards, chapter 4, read.
"""

from __future__ import annotations

import dataclasses
import math

import pytest
from hypothesis import given
from hypothesis import strategies as st
from measured_jobs import IN, PRACTICE, rectangle, table

from engine.job.handover import (
    SLOPE_KEYS,
    Direction,
    Lip,
    Spot,
    checks_for,
    existing_site_note,
    lip_verdict,
    ramp_size_verdicts,
    recorded,
    slope_table,
    slope_verdict,
    straightedge_verdict,
    worst,
)
from engine.job.limits import LIMITS, check
from engine.job.slopes import Slope, read_slope
from engine.job.steps import (
    flight_verdict,
    neighbour_verdict,
    nosing_verdicts,
    riser_verdicts,
    tread_verdicts,
)

ROWS = table("ada_limits.csv")


def reading(text: str) -> float:
    """A reading of the table: a ratio, per cent, or inches with a fraction."""
    if ":" in text:
        return 1 / float(text.split(":")[1])
    if text.endswith("%"):
        return float(text.removesuffix("%")) / 100
    top, _, bottom = text.partition("/")
    return float(top) / float(bottom or 1) * IN


@pytest.mark.parametrize("row", ROWS, ids=[f"{row['id']} {row['key']} {row['reading']}" for row in ROWS])
def test_a_limit_lets_through_what_is_on_it_and_not_what_is_past_it(row: dict[str, str]) -> None:
    verdict = check(row["key"], reading(row["reading"]), PRACTICE)
    assert verdict.word == row["word"]
    assert verdict.key == row["key"]


def test_every_limit_is_tested_on_both_sides_and_names_its_source() -> None:
    words: dict[str, set[str]] = {key: set() for key in LIMITS}
    for row in ROWS:
        words[row["key"]].add(row["word"])
        assert all(row[column] for column in ("source", "edition", "clause"))
        assert row["status"] in ("READ", "READ-2", "MEM-H")
    past = {key: "under" if sense == "at least" else "over" for key, sense in LIMITS.items()}
    assert {key: found for key, found in words.items() if found != {"within", past[key]}} == {}


@pytest.mark.parametrize(
    ("key", "per_cent", "degrees"),
    [
        ("surface.walk_running", 5.000, 2.862),
        ("surface.walk_cross", 2.0833, 1.1935),
        ("surface.ramp_running", 8.3333, 4.7636),
        ("surface.existing_first", 10.0, 5.7106),
        ("surface.existing_second", 12.5, 7.1250),
        ("surface.bevel", 50.0, 26.57),
    ],
)
def test_ratios_are_the_slopes_that_the_standards_print(key: str, per_cent: float, degrees: float) -> None:
    """ADA-2, -4, -5, -6 of the 2010 ADA Standards, printed in per cent and degrees (READ)."""
    limit = check(key, 0.0, PRACTICE).limit
    assert limit * 100 == pytest.approx(per_cent, abs=1e-4)
    assert math.degrees(math.atan(limit)) == pytest.approx(degrees, abs=5e-3)


@pytest.mark.parametrize(
    ("key", "rise_in"),
    [("surface.ramp_cross", 0.50), ("surface.walk_running", 1.20), ("surface.ramp_running", 2.0)],
)
def test_a_two_foot_level_rises_by_the_limit_times_its_length(key: str, rise_in: float) -> None:
    """ADA-20, derived: 24 in at 1:48, 1:20, 1:12 rises 0.50, 1.20, 2.00 in, ±0.1 mm."""
    assert check(key, 0.0, PRACTICE).limit * 24 * IN == pytest.approx(rise_in * IN, abs=1e-4)


def test_the_greatest_rise_of_a_run_takes_thirty_feet_at_the_steepest() -> None:
    """ADA-8, derived: 30 in at 1:12 needs 30.0 ft."""
    length_m = (
        check("surface.run_rise", 0.0, PRACTICE).limit / check("surface.ramp_running", 0.0, PRACTICE).limit
    )
    assert length_m / 0.3048 == pytest.approx(30.0)


@pytest.mark.parametrize(
    ("per_cent", "word"), [(1.9, "within"), (2.0, "cannot tell"), (2.1, "cannot tell"), (2.2, "over")]
)
def test_a_reading_within_the_level_s_accuracy_of_the_limit_cannot_tell(per_cent: float, word: str) -> None:
    """ADA-20: a digital level reading 2.1 ± 0.1 % against 1:48 = 2.083 % is neither pass nor fail."""
    verdict = slope_verdict(Slope(per_cent / 100, 0.001), "ramp", "cross", PRACTICE)
    assert verdict.word == word


@pytest.mark.parametrize(
    ("value", "word"), [(0.912, "cannot tell"), (0.9174, "within"), (0.9114, "under"), (0.916, "cannot tell")]
)
def test_a_width_within_the_tape_s_accuracy_of_the_least_cannot_tell(value: float, word: str) -> None:
    assert check("surface.clear_width", value, PRACTICE, 0.0025).word == word


@given(st.floats(-0.3, 0.3), st.floats(0, 0.01))
def test_which_way_a_slope_falls_does_not_matter(ratio: float, accuracy: float) -> None:
    down = slope_verdict(Slope(-ratio, accuracy), "walk", "cross", PRACTICE)
    assert slope_verdict(Slope(ratio, accuracy), "walk", "cross", PRACTICE) == down


@given(st.sampled_from(sorted(LIMITS)), st.floats(0.001, 2), st.floats(0, 0.5))
def test_less_accuracy_never_turns_one_certain_word_into_the_other(
    key: str, value: float, accuracy: float
) -> None:
    exact, rough = check(key, value, PRACTICE).word, check(key, value, PRACTICE, accuracy).word
    assert exact != "cannot tell"
    assert rough in (exact, "cannot tell")


@given(st.sampled_from(sorted(LIMITS)), st.floats(0.001, 2))
def test_inches_and_millimetres_give_the_same_word(key: str, inches: float) -> None:
    """The same reading by two ways of reckoning; on a limit both are within."""
    by_inch, by_mm = inches * IN, inches * 25.4 / 1000
    limit = check(key, 0.0, PRACTICE).limit
    if not math.isclose(by_inch, limit, rel_tol=1e-8):
        assert check(key, by_inch, PRACTICE).word == check(key, by_mm, PRACTICE).word
    assert check(key, limit * (1 + 1e-13), PRACTICE).word == "within"


def spots(**per_cents: float) -> list[Spot]:
    return [Spot(name, Slope(value / 100)) for name, value in per_cents.items()]


def test_the_ramp_of_the_library_is_within_after_as_the_notes_say() -> None:
    """Notes of the day: run 7.6 7.7 7.6, cross 1.4 1.5. The before readings are invented."""
    running = slope_table(
        spots(head=7.9, middle=8.6, toe=7.8),
        spots(head=7.6, middle=7.7, toe=7.6),
        "ramp",
        "running",
        PRACTICE,
    )
    assert [row.after.word for row in running] == ["within"] * 3
    assert [row.before for row in running] == pytest.approx([0.079, 0.086, 0.078])
    assert [row.past_aim for row in running] == [True] * 3
    cross = slope_table([], spots(head=1.4, toe=1.5), "ramp", "cross", PRACTICE)
    assert [(row.before, row.after.word, row.past_aim) for row in cross] == [(None, "within", False)] * 2


def test_the_worst_spot_is_reported_though_the_mean_is_within() -> None:
    """ADA-21: even along the run; a short break trips wheels although the mean passes. READ."""
    rows = slope_table([], spots(head=7.0, break_=9.0, toe=7.0), "ramp", "running", PRACTICE)
    assert sum(row.after.value for row in rows) / 3 < 1 / 12
    assert (worst(rows).spot, worst(rows).after.word) == ("break_", "over")


def test_there_is_no_worst_of_nothing() -> None:
    with pytest.raises(ValueError, match="empty"):
        worst(())


def test_the_advice_to_build_flatter_speaks_of_ramps_only() -> None:
    rows = slope_table([], spots(a=1.8), "walk", "cross", PRACTICE)
    assert rows[0].past_aim is False


@pytest.mark.parametrize(
    ("use", "direction", "denominator"),
    [
        ("ramp", "running", 12),
        ("ramp", "cross", 48),
        ("walk", "running", 20),
        ("walk", "cross", 48),
        ("landing", "running", 48),
        ("landing", "cross", 48),
        ("step", "running", 48),
        ("floor", "cross", 48),
    ],
)
def test_each_use_has_its_slope_limits(use: str, direction: Direction, denominator: int) -> None:
    """ADA 2010: 405.2, 405.3, 403.3, 405.7.1, 504.4."""
    verdict = slope_verdict(Slope(0.0), use, direction, PRACTICE)  # type: ignore[arg-type]
    assert verdict.limit == 1 / denominator
    assert verdict.key == SLOPE_KEYS[use, direction]  # type: ignore[index]


@pytest.mark.parametrize(
    ("ratio", "rise_in", "note"),
    [
        (1 / 12, 30, None),
        (0.09, 6, "note.existing_first"),
        (0.10, 6, "note.existing_first"),
        (0.09, 6.5, "note.existing_rise"),
        (0.11, 3, "note.existing_second"),
        (0.125, 3, "note.existing_second"),
        (0.125, 3.5, "note.existing_rise"),
        (0.13, 1, "note.existing_none"),
        (-0.11, 3, "note.existing_second"),
    ],
)
def test_what_an_existing_site_may_keep_is_a_note_and_the_slope_stays_over(
    ratio: float, rise_in: float, note: str | None
) -> None:
    """ADA-6: table 405.2, READ."""
    said = existing_site_note(ratio, rise_in * IN, PRACTICE)
    assert (said.key if said else None) == note
    over = slope_verdict(Slope(ratio), "ramp", "running", PRACTICE).word == "over"
    assert over is (note is not None)


@pytest.mark.parametrize(
    ("height_in", "upright_in", "bevel_in", "word", "key"),
    [
        (0.25, 0.25, 0.0, "within", "surface.upright_change"),
        (0.26, 0.26, 0.0, "over", "surface.upright_change"),
        (0.50, 0.25, 0.5, "within", "surface.bevel"),  # a quarter upright, a quarter bevelled 1:2
        (0.50, 0.0, 1.0, "within", "surface.bevel"),  # all bevelled 1:2
        (0.50, 0.0, 0.9, "over", "surface.bevel"),
        (0.50, 0.30, 2.0, "over", "surface.upright_change"),
        (0.51, 0.25, 2.0, "over", "surface.bevelled_change"),
    ],
)
def test_a_lip_may_be_a_quarter_inch_upright_and_half_an_inch_bevelled(
    height_in: float, upright_in: float, bevel_in: float, word: str, key: str
) -> None:
    """ADA-1, -2, -3: 303.2 READ-2, 303.3 and its advisory READ, 303.4 READ."""
    verdict = lip_verdict(Lip(height_in * IN, upright_in * IN, bevel_in * IN), PRACTICE)
    assert (verdict.word, verdict.key) == (word, key)


def test_a_lip_read_too_roughly_cannot_be_told() -> None:
    assert lip_verdict(Lip(0.25 * IN, 0.25 * IN), PRACTICE, 0.0005).word == "cannot tell"


def test_a_bevel_without_its_length_is_refused() -> None:
    with pytest.raises(ValueError, match="length of its bevel"):
        lip_verdict(Lip(0.4 * IN, 0.1 * IN), PRACTICE)


def test_a_gap_under_the_straightedge_is_judged_by_its_widest() -> None:
    assert straightedge_verdict(0.125 * IN, PRACTICE).word == "within"
    assert straightedge_verdict(0.3 * IN, PRACTICE).word == "over"


def test_a_run_s_sizes_are_judged_together() -> None:
    words = [v.word for v in ramp_size_verdicts(24 * IN, 35 * IN, 60 * IN, PRACTICE)]
    assert words == ["within", "over", "under", "within"]


def inches(*sizes: float) -> list[float]:
    return [size * IN for size in sizes]


def test_one_raised_tread_makes_two_risers_uneven() -> None:
    """A 40 mm overlay on the second of four 6 in steps: the riser below grows, the one above shrinks."""
    before, lift_in = [6.0, 6.0, 6.0, 6.0], 40 / 25.4
    after = [before[0], before[1] + lift_in, before[2] - lift_in, before[3]]
    assert neighbour_verdict(inches(*before), PRACTICE).word == "within"
    assert neighbour_verdict(inches(*after), PRACTICE).word == "over"
    assert [v.word for v in riser_verdicts(inches(*after), PRACTICE)] == [
        "within",
        "over",
        "within",
        "within",
    ]


def test_small_steps_from_riser_to_riser_can_add_up_over_the_flight() -> None:
    flight = inches(6.0, 6.18, 6.36, 6.5)
    assert neighbour_verdict(flight, PRACTICE).word == "within"
    assert flight_verdict(flight, PRACTICE).word == "over"


def test_a_flight_that_crews_use_has_the_narrower_limit() -> None:
    """ADA-18: IBC 3/8 in, OSHA 1/4 in, from memory (high)."""
    flight = inches(6.0, 6.15, 6.3)
    assert flight_verdict(flight, PRACTICE).word == "within"
    assert flight_verdict(flight, PRACTICE, in_use_by_crews=True).word == "over"


def test_a_difference_of_two_readings_is_off_by_both() -> None:
    flight = inches(6.0, 6.17)
    assert neighbour_verdict(flight, PRACTICE, 0.005 * IN).word == "within"
    assert neighbour_verdict(flight, PRACTICE, 0.01 * IN).word == "cannot tell"


def test_treads_and_nosings_are_judged_one_by_one() -> None:
    assert [v.word for v in tread_verdicts(inches(11.5, 10.75), PRACTICE)] == ["within", "under"]
    assert [v.word for v in nosing_verdicts(0.5 * IN, 1.75 * IN, PRACTICE)] == ["within", "over"]


def test_a_single_step_has_no_neighbour_to_differ_from() -> None:
    assert neighbour_verdict(inches(6.0), PRACTICE).value == 0.0
    assert flight_verdict([], PRACTICE).word == "within"


def test_steps_are_measured_and_ramps_are_not_asked_for_risers() -> None:
    ramp = rectangle("P1", 48, 20, [2], use="ramp", finish="broom")
    step = dataclasses.replace(ramp, use="step")
    assert {"running slope", "cross slope", "wet feel", "sounding", "lip"} <= set(checks_for(ramp))
    assert set(checks_for(step)) - set(checks_for(ramp)) == {"risers", "treads"}


def test_soundings_and_wet_feel_are_kept_as_the_words_for_them() -> None:
    assert recorded("sounding", "hollow") == "hollow"
    assert recorded("wet feel", "grips") == "grips"


@pytest.mark.parametrize(
    ("name", "word", "message"),
    [("sounding", "ok", "clear, hollow"), ("wet feel", "", "grips, slick"), ("lip", "clear", "measured")],
)
def test_other_words_are_refused_with_the_known_ones(name: str, word: str, message: str) -> None:
    with pytest.raises(ValueError, match=message):
        recorded(name, word)  # type: ignore[arg-type]


@pytest.mark.parametrize(
    ("text", "ratio", "accuracy"),
    [
        ("7.6 %", 0.076, 0.001),
        ("7.6%", 0.076, 0.001),
        ("-1.4 %", -0.014, 0.001),
        ("2.1 ± 0.1 %", 0.021, 0.001),
        ("2.1 % ± 0.2 %", 0.021, 0.002),
        ("2.1 % +/- 0.2 %", 0.021, 0.002),
        ("1:12", 1 / 12, 0.001),
        ("1 : 48", 1 / 48, 0.001),
        ("4.7636 deg", 1 / 12, 0.001),
        ("4.7636°", 1 / 12, 0.001),
        ("2 in over 24 in", 1 / 12, 1 / 32 / 24),
        ("1/2 in over 2 ft", 1 / 48, 1 / 32 / 24),
        ("50 mm over 1 m", 0.05, IN / 32),
    ],
)
def test_a_slope_is_read_as_the_crew_writes_it(text: str, ratio: float, accuracy: float) -> None:
    slope = read_slope(text, PRACTICE)
    assert slope.ratio == pytest.approx(ratio, rel=1e-5)
    assert slope.accuracy == pytest.approx(accuracy, rel=1e-9)


@pytest.mark.parametrize(
    "text",
    [
        "",
        "7.6",
        "1:0",
        "2:12",
        "steep",
        "2 in over 0 in",
        "2 in over",
        "150 %",
        "2 % ± 3 mm",
        "2 % ± 1 % ± 1 %",
    ],
)
def test_what_is_no_slope_is_refused_with_what_is_accepted(text: str) -> None:
    with pytest.raises(ValueError, match="a slope such as"):
        read_slope(text, PRACTICE)


def test_the_same_slope_by_level_and_by_rule_gets_the_same_word() -> None:
    """ADA-20: 24 in at 1:12 rises 2.00 in; in per cent 8.3333."""
    by_rule = read_slope("2.1 in over 24 in", PRACTICE)
    by_level = read_slope("8.75 %", PRACTICE)
    assert by_rule.ratio == pytest.approx(by_level.ratio)
    assert {slope_verdict(slope, "ramp", "running", PRACTICE).word for slope in (by_rule, by_level)} == {
        "over"
    }
