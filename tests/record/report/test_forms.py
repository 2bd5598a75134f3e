"""Markdown, CSV and JSON of the same table, and the command that writes them."""

from __future__ import annotations

import csv
import io
import json
import re
from pathlib import Path
from typing import Any

import pytest

from engine import console
from engine.record.report.harmless import clean, in_cell, in_markdown
from engine.record.report.markdown import markdown
from engine.record.report.rows import COLUMNS, rows_text
from engine.record.report.sheet import document
from tests.record.report.given import WORDS, crewed_table, hostile_table, library_table, made_up_table
from tests.scenarios.expected import DATA
from tui.cli import main


def rows_of(table: dict[str, Any]) -> list[dict[str, str]]:
    return list(csv.DictReader(io.StringIO(rows_text(table), newline="")))


def test_there_is_one_row_a_batch_and_one_a_pass_in_their_order() -> None:
    table = library_table()
    expected = [
        (kind, batch["id"], name)
        for batch in table["batches"]
        for kind, name in [("batch", ""), *(("pass", found["pass"]) for found in batch["passes"])]
    ]
    rows = rows_of(table)
    assert list(rows[0]) == list(COLUMNS)
    assert [(row["row"], row["batch"], row["pass"]) for row in rows] == expected


def test_rows_hold_the_figures_of_the_table() -> None:
    rows = {(row["batch"], row["pass"]): row for row in rows_of(library_table())}
    for batch in library_table()["batches"]:
        assert rows[batch["id"], ""]["water_contact"] == batch["water_contact"]
        for found in batch["passes"]:
            row = rows[batch["id"], found["pass"]]
            assert row["done"] == (found["done"] or "")
            assert float(row["age_from_water_s"]) == pytest.approx(found["age_from_water_s"], abs=1e-3)


def test_every_row_has_all_columns_and_rfc_4180_line_ends() -> None:
    text = rows_text(hostile_table())
    assert text.endswith("\r\n")
    assert "\n" not in text.replace("\r\n", "")
    assert {len(row) for row in csv.reader(io.StringIO(text, newline=""))} == {len(COLUMNS)}


# A sheet takes a cell for a formula by its first sign (common practice: = + - @, and what hides before them).
FORMULAS = ["=1+1", "+1", "-1", "@SUM(A1)", "\t=1", "\r=1", " =1", "\u200b=1", "\u202e=1"]


@pytest.mark.parametrize("text", FORMULAS)
def test_no_text_is_taken_for_a_formula(text: str) -> None:
    assert str(in_cell(text)).startswith("'")


def test_numbers_stay_numbers_below_nothing() -> None:
    assert in_cell(-3.5) == -3.5


@pytest.mark.parametrize(
    ("text", "shown"),
    [
        ("a\u0000b", "a?b"),
        ("a\u202eb\u2066c", "abc"),
        ("a\r\nb\u2028c", "a  b c"),
        ("\ud800", "?"),
        ("7 °C", "7 °C"),
    ],
)
def test_text_is_made_one_harmless_line(text: str, shown: str) -> None:
    assert clean(text) == shown


def test_markdown_keeps_every_table_in_its_columns_whatever_stands_in_it() -> None:
    text = markdown(document(hostile_table(), WORDS))
    tables = [line for line in text.splitlines() if line.startswith("|")]
    bars = [len(re.findall(r"(?<!\\)\|", line)) for line in tables]
    heads = [n for n, line in enumerate(tables) if set(line) <= set("|- ")]
    for first, following in zip(heads, [*(n - 1 for n in heads[1:]), len(tables)], strict=True):
        assert len(set(bars[first - 1 : following])) == 1
    assert "<" not in text
    assert "REHEARSAL" in markdown(document(made_up_table(), WORDS))


@pytest.mark.parametrize(
    ("text", "shown"),
    [
        ("<b>", "&lt;b&gt;"),
        ("a|b", r"a\|b"),
        ("[a](http://x)", r"\[a\](http\://x)"),
        ("*a* _b_ `c`", r"\*a\* \_b\_ \`c\`"),
        ("- a", r"\- a"),
    ],
)
def test_no_mark_of_a_text_acts_in_markdown(text: str, shown: str) -> None:
    assert in_markdown(text) == shown


@pytest.fixture
def log(tmp_path: Path) -> Path:
    out = tmp_path / "day.jsonl"
    console.enter(DATA / "library" / "job.toml", DATA / "library" / "notes.csv", out, WORDS)
    return out


def test_the_ending_of_the_file_picks_the_form(log: Path, capsys: pytest.CaptureFixture[str]) -> None:
    begins = {".html": "<!DOCTYPE html>", ".md": "# Branch library", ".csv": "row,job,date", ".json": "{"}
    for ending, beginning in begins.items():
        out = log.with_suffix(ending)
        assert main(["report", str(log), "-o", str(out)]) == 0
        assert out.read_text(encoding="utf-8").startswith(beginning)
    assert json.loads(log.with_suffix(".json").read_text(encoding="utf-8")) == library_table()
    assert str(log.with_suffix(".html")) in capsys.readouterr().out


def test_a_report_at_a_moment_knows_nothing_of_later(log: Path) -> None:
    table = console.report(log, "09:20", WORDS)
    stamps = [batch["water_contact"] for batch in table["batches"]]
    assert len(stamps) == 3
    assert table["at"] == "2026-11-05T15:20:00Z"
    assert max(line["at"] for line in table["lines"]) <= table["at"]


def test_what_stands_there_already_is_never_written_over(
    log: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    out = log.with_suffix(".md")
    out.write_text("mine", encoding="utf-8")
    assert main(["report", str(log), "-o", str(out)]) == 2
    assert out.read_text(encoding="utf-8") == "mine"
    assert "something here already" in capsys.readouterr().err


def test_an_unknown_ending_is_refused_with_those_that_are_known(
    log: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(["report", str(log), "-o", str(log.with_suffix(".doc"))]) == 2
    assert ".html, .md, .csv, .json" in capsys.readouterr().err
    assert not log.with_suffix(".doc").exists()


def test_the_offices_rows_of_the_clients_version_name_nobody(log: Path) -> None:
    out = log.with_suffix(".csv")
    assert main(["report", str(log), "--client", "-o", str(out)]) == 0
    rows = list(csv.DictReader(io.StringIO(out.read_text(encoding="utf-8"))))
    assert rows
    assert {row["who"] for row in rows} == {""}
    assert {row["who"] for row in rows_of(crewed_table())} != {""}
