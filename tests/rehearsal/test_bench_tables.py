"""How the bench reads the study's figures and sets ours beside them. Expected values by hand."""

from __future__ import annotations

import pytest

from tests.bench.rehearse import NAMES, Point, at_clean, at_length, better, frontier, study, table, verdicts

LINE = [Point(0.5, 1.0), Point(0.7, 1.1), Point(0.9, 1.5)]


def test_a_frontier_leaves_out_what_another_point_beats_in_both() -> None:
    points = [Point(0.7, 1.1), Point(0.6, 1.2), Point(0.9, 1.5), Point(0.5, 1.0), Point(0.9, 1.6)]
    assert frontier(points) == LINE


@pytest.mark.parametrize(
    ("length", "clean"), [(1.0, 0.5), (1.05, 0.6), (1.3, 0.8), (1.5, 0.9), (9.0, 0.9), (0.99, None)]
)
def test_between_its_points_a_frontier_is_straight(length: float, clean: float | None) -> None:
    assert at_length(LINE, length) == (clean if clean is None else pytest.approx(clean))


@pytest.mark.parametrize(("clean", "length"), [(0.1, 1.0), (0.6, 1.05), (0.9, 1.5), (0.95, None)])
def test_a_share_of_clean_days_has_its_shortest_length(clean: float, length: float | None) -> None:
    assert at_clean(LINE, clean) == (length if length is None else pytest.approx(length))


def test_better_is_cleaner_at_equal_length_or_as_clean_sooner() -> None:
    assert better(LINE, Point(0.65, 1.1))
    assert better(LINE, Point(0.9, 1.6))
    assert not better(LINE, Point(0.7, 1.1))
    assert not better(LINE, Point(0.75, 1.1))
    assert not better(LINE, Point(0.1, 0.9))


def test_the_studys_table_is_whole() -> None:
    figures = study()
    assert tuple(figures) == NAMES
    assert figures["S2"]["20 % learns waits"] == Point(0.99, 1.13)
    assert figures["X1"]["20 %"] == Point(0.67, 1.17)
    assert all({"naive", "10 %", "20 %", "20 % learns"} <= set(columns) for columns in figures.values())


def test_the_verdict_counts_pours() -> None:
    points = [Point(0.0, 1.0), *LINE]
    lines = list(verdicts({"S1": points, "S2": points}, study()))
    assert lines[-1] == "better than the study at equal length in 1 of 2 pours"
    rows = list(table({"S1": points}, study()))
    assert "0.50 @1.00" in rows[2]
    assert "0.03 @1.04" in rows[3]
