"""What is written on the sheet types straight into `enter`: the grid of its page, filled, is a notes file.

The filling follows the corner of the sheet and nothing else: what is the head of the column, which the bold name in the
cell (a value may follow it) or else the batch of the row.
"""

from __future__ import annotations

import datetime
import re
from collections.abc import Iterator
from pathlib import Path

import pytest

from engine import console
from engine.console.ground import at_start
from engine.job.files import read_job
from engine.pour.journal import fold
from engine.pour.planning import day_plan
from engine.pour.reckoning import Moment
from engine.pour.stages import pour_state
from engine.record.entered import enter
from engine.record.notes import COLUMNS, FORMS, parse_notes
from engine.record.paper.figures import paper_table
from engine.record.paper.parts import READ, SIGN_COLUMNS, SIGNS
from engine.record.paper.sheet import sheet
from tests.pour.test_shared_bag import job as shared_job
from tests.record.paper_read import JOBS, WORDS, Cell, Cells, Table, page_of, table_of

TIMES = {"stroke": 20, "mixed": 0, "tipped": 0, "water": 0}  # a stroke is stamped when it ends


def clock(seconds: int) -> str:
    return f"{seconds // 3600:02}:{seconds // 60 % 60:02}:{seconds % 60:02}"


def seconds_of(text: str) -> int:
    first, last = text.split(":")
    return int(first) * 60 + int(last)


def stamps(page: str) -> Iterator[tuple[int, str]]:
    """Seconds of the day and the rest of the line, of every cell that asks for a stamp."""
    for grid in Cells(page).under("batch", "water"):
        head, water_s = [cell.text for cell in grid[0]], 0  # a portion stands under the batch it comes from
        for row in grid[1:]:
            for what, cell in list(zip(head, row, strict=True))[1:]:
                told = cell.text.split()
                if not told or told[0] in ("–", "↓"):
                    continue
                if what == "water":
                    water_s = seconds_of(told[0]) * 60
                at_s = 0 if what == "water" else seconds_of(told[0]) + TIMES.get(what, TIMES["stroke"])
                which, _, value = (cell.bold or row[0].text).partition(" ")
                yield water_s + at_s, f"{what},{which},{told[1]},{value}"


def notes(page: str, more: tuple[tuple[int, str], ...] = ()) -> str:
    lines = sorted([*stamps(page), *more], key=lambda line: line[0])
    return "\n".join([",".join(COLUMNS), *(f"{clock(at)},{rest}" for at, rest in lines)]) + "\n"


def entered(job: Path, text: str, folder: Path) -> tuple[int, Table]:
    """Lines written, and how the day stands at its end."""
    path, log = folder / "notes.csv", folder / "day.jsonl"
    path.write_text(text, encoding="utf-8")
    lines = console.enter(job, path, log, WORDS)
    date = read_job(job, datetime.date.today()).date
    return lines, console.status(log, f"{date}T23:59:00Z", WORDS)


@pytest.mark.parametrize("job", JOBS)
def test_the_filled_grid_is_accepted_and_finishes_every_batch(job: str, tmp_path: Path) -> None:
    text = notes(page_of(job))
    lines, status = entered(JOBS[job], text, tmp_path)
    assert lines >= len(text.splitlines())
    stages = {batch["id"]: batch["stage"] for batch in status["batches"]}
    assert stages == {batch["id"]: "curing" for batch in table_of(job)["batches"]}


def test_readings_and_signs_written_on_the_sheet_are_accepted_with_it(tmp_path: Path) -> None:
    cells = Cells(page_of("hall"))
    (readings,) = cells.under("time", "air")
    (signs,) = cells.under(*SIGN_COLUMNS)
    assert [cell.text for cell in readings[0][1:]] == list(READ)
    values = [f"{cell.text}={row.small}" for cell, row in zip(readings[0], readings[1], strict=True)][1:]
    said = ((110, "still moves"), (180, "not yet"), (300, "ready"), (310, "stiff"))
    assert {word for _, word in said} == set(SIGNS)
    start = 8 * 3600 + 30 * 60
    more = (
        (start - 600, f"reading,,,{'; '.join(values)}"),
        *((start + at, f"{word},R1.1,,") for at, word in said),
    )
    _, status = entered(JOBS["hall"], notes(page_of("hall"), more), tmp_path)
    assert status["rate_factor"]["observations"] == 4
    assert len(signs) > 2


@pytest.mark.parametrize("job", JOBS)
def test_every_word_over_a_blank_cell_is_one_of_the_notes(job: str) -> None:
    for grid in Cells(page_of(job)).under("batch", "water"):
        assert {cell.text for cell in grid[0][1:]} <= FORMS.keys()
    assert set(SIGNS) <= FORMS.keys()


def test_a_shared_bag_has_a_row_of_its_own_whose_value_is_typed_too() -> None:
    """Two small pours of one bag, as the tests of shared bags have them."""
    job = shared_job()
    moment = at_start(job)
    table = paper_table(moment, day_plan(moment), WORDS)
    assert [(batch["id"], batch["source"]) for batch in table["batches"]] == [("P1.1", None), ("P2", "P1.1")]
    assert table["queue"][1]["shared_from"] == "P1.1"
    text = notes(sheet(table, WORDS, "a4"))
    assert re.search("tipped,P2,[^,]+,from P1.1\n", text)
    rows, problems = parse_notes(text, job, "notes.csv")
    assert not problems
    events = enter(job, rows, "notes.csv", WORDS, "test")
    end = Moment(fold(job, events).day, events[-1].at)
    assert {pour_state(end, pour) for pour in end.day.pours} == {"curing"}


def test_a_cell_of_a_pour_finished_as_a_whole_points_to_the_row_it_is_written_in() -> None:
    """In the hall's plan the two bags of R2 are finished together."""
    (grid,) = Cells(page_of("hall")).under("batch", "water")
    rows = {row[0].text: row for row in grid[1:]}
    below: list[Cell] = [cell for cell in rows["R2.1"] if cell.text.startswith("↓")]
    assert [cell.text for cell in below] == ["↓ R2.2"] * len(below)
    assert sum(cell.bold == "R2" for cell in rows["R2.2"]) == len(below) + 1  # and the water
