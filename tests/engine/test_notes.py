"""A day's notes: rows of a CSV checked against the job."""

from __future__ import annotations

import datetime
import tomllib
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest
from bad_cases import DATA, LIBRARY
from hypothesis import given
from hypothesis import strategies as st

from engine.errors import Problem
from engine.job.files import read_job, read_text
from engine.job.model import Job
from engine.record.notes import COLUMNS, FORMS, NoteRow, parse_notes

TODAY = datetime.date(2026, 7, 2)
JOB = read_job(LIBRARY / "job.toml", TODAY)
HEADER = ",".join(COLUMNS)
NINE = datetime.datetime(2026, 11, 5, 15, tzinfo=datetime.UTC).timestamp()  # 09:00 in Chicago
CASES = tomllib.loads((DATA / "bad" / "notes.toml").read_text(encoding="utf-8"))["case"]


def read_notes(path: Path, job: Job) -> tuple[NoteRow, ...]:
    """The rows of a file without faults."""
    rows, problems = parse_notes(read_text(path), job, str(path))
    assert problems == ()
    return rows


def _parse(*lines: str) -> tuple[tuple[NoteRow, ...], tuple[Problem, ...]]:
    return parse_notes("\n".join([HEADER, *lines]), JOB, "notes.csv")


def _row(line: str) -> NoteRow:
    rows, problems = _parse(line)
    assert [p.sentence() for p in problems] == []
    return rows[0]


def test_the_notes_of_the_library_are_read_whole() -> None:
    rows = read_notes(LIBRARY / "notes.csv", JOB)
    assert len(rows) == 112
    assert rows[9] == NoteRow(11, NINE + 690, "mixed", "P1.1", "", "")
    assert {row.what for row in rows} <= FORMS.keys()


@pytest.mark.parametrize("folder", ["40F", "55F", "70F", "90F"])
def test_the_notes_of_the_closed_form_days_are_read(folder: str) -> None:
    day = DATA / "scenarios" / "isothermal" / folder
    assert len(read_notes(day / "notes.csv", read_job(day / "job.toml", TODAY))) == 9


@pytest.mark.parametrize(
    ("cells", "value"),
    [
        ("reading,P6,,slab=66 degF; sun=yes", {"slab_c": pytest.approx(170 / 9), "sun": True}),
        ("reading,,,humidity=75; wind=3 mph", {"humidity": 0.75, "wind_ms": pytest.approx(1.34112)}),
        ("reading,,,humidity=75 %;ice=2 lb", {"humidity": 0.75, "ice_kg": pytest.approx(0.90718474)}),
        ("reading,,,surface = 50 degF ; sun = no", {"surface_c": pytest.approx(10), "sun": False}),
        ("reading,,,mix=63 degF; air=41 degF", {"mix_c": pytest.approx(155 / 9), "air_c": pytest.approx(5)}),
        ("reading,,,bags=58 degF; water=7 degC", {"bags_c": pytest.approx(130 / 9), "water_c": 7.0}),
        ("trial,,,0", 0.0),
        ("trial,small-stone,,", None),
        ("trial stiff,,,", ""),
        ("water,P1,MA,", None),
        ("water,P1,MA,1.5", 1.5),
        ("packets,P1.1,,0.5", 0.5),
        ("tipped,P3,,from P1.2", "P1.2"),
        ("split,P2,,0.73", 0.73),
        ("split,P2,,73 %", pytest.approx(0.73)),
        ("covered,P2,,blanket", "blanket"),
        ("opened,P4,Lead,wheels", "wheels"),
        ("rejected,,,lumpy bag", "lumpy bag"),
        ("vessel lost,S1,,split", "split"),
        ("note,P2.1,,\"commas, and 'quotes'\"", "commas, and 'quotes'"),
        ("away,,F,", ""),
        ("undo,,,", ""),
    ],
)
def test_values_are_read_in_si_units(cells: str, value: Any) -> None:
    row = _row(f"09:00,{cells}")
    assert (row.at, row.value) == (NINE, value)


def test_cells_left_off_at_the_end_are_empty_and_spaces_do_not_count() -> None:
    assert _row(" 09:00:30 , undo ") == NoteRow(2, NINE + 30, "undo", "", "", "")


def test_a_byte_order_mark_and_line_ends_of_any_kind_are_read(tmp_path: Path) -> None:
    path = tmp_path / "notes.csv"
    path.write_bytes(b"\xef\xbb\xbf" + f"{HEADER}\r\n09:00,undo,,,\r\n\r\n,,,,\r\n09:00,undo,,,\r\n".encode())
    assert [row.line for row in read_notes(path, JOB)] == [2, 5]


def test_hours_from_24_on_are_the_next_day() -> None:
    assert _row("27:30,note,,,blankets still on").at == NINE + 18.5 * 3600


def test_times_go_on_through_the_hour_that_comes_twice() -> None:
    job = replace(JOB, date="2026-11-01")
    rows, problems = parse_notes(f"{HEADER}\n01:50,undo,,,\n01:10,undo,,,\n02:05,undo,,,", job, "notes.csv")
    assert problems == ()
    assert [row.at - rows[0].at for row in rows] == [0, 20 * 60, 75 * 60]


def test_a_split_makes_pours_that_later_lines_may_name() -> None:
    rows, problems = _parse(
        "09:00,split,P2,,0.5", "09:01,water,P2b,MA,", "09:02,mixed,P2b.1,,", "09:03,split,P2b,,"
    )
    assert problems == ()
    assert len(rows) == 4


def test_all_faults_of_a_file_are_found_in_one_go_and_good_rows_remain() -> None:
    rows, problems = _parse("x,water,P9,MC,7.7", "09:00,undo,,,", "09:01,waters,P1,MA,")
    assert [row.line for row in rows] == [3]
    assert [p.where for p in problems] == ["line 2", "line 2", "line 2", "line 2", "line 4"]


@pytest.mark.parametrize(
    "header", ["", "time;what;which;who;value", "what,time,which,who,value", "09:00,undo,,,"]
)
def test_another_header_is_refused_with_the_columns(header: str) -> None:
    problems = parse_notes(f"{header}\n09:00,undo,,,", JOB, "notes.csv")[1]
    assert [(p.where, p.accepted) for p in problems] == [("line 1", "the columns time,what,which,who,value")]


@pytest.mark.parametrize("case", CASES, ids=lambda case: f"{case['lines'][0]}: {case['says']}")
def test_a_fault_of_the_notes_is_named_with_its_line(case: dict[str, Any]) -> None:
    problems = _parse(*case["lines"])[1]
    found = [p.sentence() for p in problems if p.where == case["where"] and case["says"] in p.sentence()]
    assert found, [p.sentence() for p in problems]


CELLS = st.sampled_from(
    ["09:00", "9", "water", "tipped", "reading", "split", "P1", "P1.1", "MA", "air=4 degF", "73 %"]
)


@given(st.lists(st.lists(CELLS | st.text(max_size=8), max_size=6).map(",".join), max_size=5))
def test_any_text_is_rows_or_problems(lines: list[str]) -> None:
    rows, problems = _parse(*lines)
    assert all(row.what in FORMS for row in rows)
    assert all(p.sentence().isprintable() for p in problems)
