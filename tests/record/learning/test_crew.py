"""The crew's own times come from two stamps or from none: mixing, carry, and strokes bounded from above.

Spans worked out by hand from the stamps; areas from the library's job: P1 is 20 in by 16 in, filled by one bag.
"""

from __future__ import annotations

import statistics
from dataclasses import replace

import pytest

from engine.pour import events as e
from engine.record.learning.crew import Span, crew_findings, mixing_finding, spans_of
from engine.record.learning.findings import spread_of
from engine.record.learning.table import duration_text
from tests.pour.driving import library
from tests.record.learning.simulated import Writer, job_at

P1_M2 = 20 * 16 * 0.0254**2
TIMES = library().times


def _day(carrier: str = "F", early: float | None = None) -> Writer:
    """A batch of P1: water at 600, mixed at 700, tipped at 740, floated at 800 and trowelled at 1000 by F."""
    day = Writer(job_at(20.0, 0))
    day.at(600.0, e.WaterAdded("P1.1", "P1", 1.0), "MA")
    day.at(700.0, e.Mixed("P1.1"), "MA")
    if early is not None:
        day.at(early, e.Soaked("P2"), carrier)
    day.at(740.0, e.Tipped("P1.1"), carrier)
    day.at(800.0, e.StrokeDone("float", ("P1.1",)), "F")
    day.at(1000.0, e.StrokeDone("first_trowel", ("P1.1",)), "F")
    return day


def _spans(day: Writer) -> dict[str, float]:
    return {span.key: span.length for span in spans_of(day.day("log"), 0)}


def test_mixing_and_carry_with_its_tip_lie_between_their_stamps() -> None:
    spans = _spans(_day())
    assert (spans["mixing_time"], spans["carry"]) == (100.0, 40.0)


def test_a_carry_is_left_out_where_the_carrier_was_stamped_elsewhere_meanwhile() -> None:
    assert "carry" not in _spans(_day(early=720.0))
    assert "carry" in _spans(_day(early=650.0))


def test_a_stroke_cannot_have_begun_before_the_stamp_before_it() -> None:
    """The float after the tip, the trowel after F's float; each over the whole of P1."""
    spans = _spans(_day(carrier="MB"))
    assert spans["float"] == pytest.approx(60.0 / P1_M2, rel=1e-3)
    assert spans["first_trowel"] == pytest.approx(200.0 / P1_M2, rel=1e-3)


def test_a_persons_work_elsewhere_brings_the_bound_nearer() -> None:
    day = _day()
    day.events.insert(-1, replace(day.events[-1], at=day.job.start + 960.0, body=e.Soaked("P2"), seq=90))
    assert _spans(day)["first_trowel"] == pytest.approx(40.0 / P1_M2, rel=1e-3)


def test_work_the_program_assigned_bounds_no_other_work() -> None:
    day = _day()
    soaked = replace(day.events[-1], at=day.job.start + 960.0, body=e.Soaked("P2"), seq=90, assumed=True)
    day.events.insert(-1, soaked)
    assert _spans(day)["first_trowel"] == pytest.approx(200.0 / P1_M2, rel=1e-3)


def test_a_time_that_was_assumed_is_no_stamp() -> None:
    day = _day()
    day.events[2] = replace(day.events[2], how="assumed")
    assert "mixing_time" not in _spans(day)


def test_a_line_taken_back_is_no_stamp_and_a_shifted_one_counts_where_it_was_shifted_to() -> None:
    shifted = _day()
    shifted.events = shifted.events[:3]
    shifted.at(705.0, e.StampShifted(3, 10.0))
    assert _spans(shifted) == {"mixing_time": 110.0}
    undone = _day()
    undone.events = undone.events[:3]
    undone.at(705.0, e.Undone(3))
    assert _spans(undone) == {}


def test_lines_caught_up_in_one_go_are_no_spans() -> None:
    day = Writer(job_at(20.0, 0))
    day.at(600.0, e.WaterAdded("P1.1", "P1", 1.0), "MA")
    day.at(601.0, e.Mixed("P1.1"), "MA")
    day.at(602.0, e.Tipped("P1.1"), "F")
    assert _spans(day) == {}


def test_a_stroke_over_two_batches_is_spread_over_both() -> None:
    day = _day()
    day.at(800.0, e.WaterAdded("P1.2", "P1", 1.0), "MA")
    day.at(940.0, e.Tipped("P1.2"), "MB")
    day.at(1200.0, e.StrokeDone("second_trowel", ("P1.1", "P1.2")), "F")
    spans = _spans(day)
    assert spans["second_trowel"] == pytest.approx(200.0 / P1_M2, rel=1e-3)
    assert spans["first_trowel"] == pytest.approx(200.0 / (P1_M2 / 2.0), rel=1e-3)


def _many(key: str, lengths: list[float], of: str = "") -> list[Span]:
    return [Span(n % 3, of, key, length) for n, length in enumerate(lengths)]


def test_bounds_are_told_only_under_what_the_job_says() -> None:
    below, above = (_many("float", [TIMES.float_s_m2 * share] * 6) for share in (0.7, 1.3))
    (told,), (not_told,) = crew_findings(below, [TIMES]), crew_findings(above, [TIMES])
    assert told.at_most
    assert told.learned is not None
    assert told.value == pytest.approx(0.7 * TIMES.float_s_m2)
    assert not_told.why is not None
    assert not_told.why.key == "learned.only_bound"


def test_median_spread_and_number_are_those_of_the_standard_library() -> None:
    lengths = [31.0, 35.0, 28.0, 40.0, 33.0, 36.0, 30.0]
    (carry,) = crew_findings(_many("carry", [TIMES.tip_s + length for length in lengths]), [TIMES])
    tenths = statistics.quantiles(lengths, n=10, method="inclusive")
    assert carry.value == pytest.approx(statistics.median(lengths))
    assert (carry.low, carry.high) == (
        pytest.approx(tenths[0], rel=0.01),
        pytest.approx(tenths[-1], rel=0.01),
    )
    assert (carry.observations, carry.days, carry.apart) == (7, 3, 0)


def test_a_job_with_another_tip_is_not_learned_from_together_with_this_one() -> None:
    slower = replace(TIMES, tip_s=TIMES.tip_s + 20.0)
    (carry,) = crew_findings(_many("carry", [50.0] * 8), [TIMES, slower])
    assert carry.learned is None


def test_one_stamp_far_out_is_set_apart_and_counted() -> None:
    spread = spread_of([30.0, 33.0, 36.0, 31.0, 34.0, 35.0, 900.0])
    assert (spread.count, spread.apart) == (6, 1)
    assert spread.high < 37.0


def test_too_few_stamps_tell_nothing() -> None:
    mixing = mixing_finding(_many("mixing_time", [90.0] * 4, "small-stone"), "small-stone", 90.0)
    assert mixing is not None
    assert mixing.why is not None
    assert mixing.why.key == "learned.few_stamps"


def test_jobs_that_state_different_times_are_not_learned_from_together() -> None:
    farther = replace(TIMES, carry_s=TIMES.carry_s + 60.0)
    (carry,) = crew_findings(_many("carry", [50.0] * 8), [TIMES, farther])
    assert carry.why is not None
    assert carry.why.key == "learned.jobs_differ"


@pytest.mark.parametrize(
    ("seconds", "text"),
    [(0.0, "0 s"), (8.25, "8.25 s"), (59.999, "1 min"), (90.0, "1 min 30 s"), (3600.0, "60 min")],
)
def test_durations_are_written_as_the_files_have_them(seconds: float, text: str) -> None:
    assert duration_text(seconds) == text
