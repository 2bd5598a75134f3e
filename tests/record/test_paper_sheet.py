"""The sheet: one side for a crew's usual day, whole in itself, everything escaped, the same bytes for the same job."""

from __future__ import annotations

import json
import re
from html import unescape
from pathlib import Path
from typing import Any

import pytest

from engine.record.paper import room
from engine.record.paper.room import PAPERS, Paper
from engine.record.paper.sheet import sheet
from tests.record.paper_read import JOBS, WORDS, Cells, page_of, table_of
from tests.record.report.given import EVIL
from tests.record.report.read import Page
from tests.record.report.test_page import OUTSIDE
from tui.cli import main

SIDES = re.compile(r'<section class="side">')


def many(times: int) -> dict[str, Any]:
    """The hall's day with its queue and its batches so many times over."""
    table = table_of("hall")
    return table | {"queue": table["queue"] * times, "batches": table["batches"] * times}


@pytest.mark.parametrize("paper", PAPERS)
@pytest.mark.parametrize("job", JOBS)
def test_a_day_of_a_dozen_batches_stands_on_one_side(job: str, paper: Paper) -> None:
    text = page_of(job, paper)
    assert len(SIDES.findall(text)) == 1
    assert "side 1 of" not in text
    width, height = PAPERS[paper]
    assert f"size: {width:g}mm {height:g}mm" in text


@pytest.mark.parametrize("paper", PAPERS)
@pytest.mark.parametrize(("times", "sides"), [(2, 2), (5, 4), (9, 6)])
def test_a_queue_too_long_goes_on_overleaf_and_says_so(times: int, sides: int, paper: Paper) -> None:
    text = sheet(many(times), WORDS, paper)
    assert len(SIDES.findall(text)) in (sides, sides + 1)
    of = len(SIDES.findall(text))
    assert all(f"side {n} of {of}" in text for n in range(1, of + 1))
    rows = [row[0].text for grid in Cells(text).under("batch", "water") for row in grid[1:]]
    assert rows == [batch["id"] for batch in table_of("hall")["batches"]] * times


@pytest.mark.parametrize("paper", PAPERS)
@pytest.mark.parametrize("times", [1, 2, 3, 6])
def test_cells_to_write_in_are_seven_millimetres_high_and_no_side_is_overfull(
    times: int, paper: Paper
) -> None:
    text = sheet(many(times), WORDS, paper)
    heights = [float(mm) for mm in re.findall(r'<tr style="height: ([\d.]+)mm">', text)]
    assert min(*heights, room.LINE_MM) >= 7.0
    for side in text.split('<section class="side">')[1:]:
        used = room.TITLE_MM + sum(map(float, re.findall(r'<tr style="height: ([\d.]+)mm">', side)))
        grids = Cells(f"<html>{side.split('</section>')[0]}</html>").grids
        used += sum(room.QUEUE_MM * len(grid) for grid in grids if grid[0][0].text == "pour")
        used += sum(room.WINDOW_MM * len(grid) for grid in grids if grid[0][0].text == "°F")
        assert used <= room.page_mm(paper)


@pytest.mark.parametrize("job", JOBS)
def test_the_page_is_well_formed_and_needs_nothing_else(job: str) -> None:
    text = page_of(job)
    read = Page(text)
    assert not OUTSIDE.search(text)
    assert not {tag for tag, _ in read.tags} & {"script", "link", "img", "iframe", "object", "a", "form"}
    assert not [name for _, attributes in read.tags for name in attributes if name.startswith("on")]


def test_the_same_figures_give_the_same_bytes() -> None:
    copy = json.loads(json.dumps(table_of("hall")))
    assert sheet(copy, WORDS, "letter") == page_of("hall")


def evil(value: Any) -> Any:
    """A table with every text of the job made hostile, times and words of the program left."""
    if isinstance(value, dict):
        kept = ("units", "time_zone", "date", "what", "finish")
        return {key: one if key in kept or str(one)[:2] == "20" else evil(one) for key, one in value.items()}
    if isinstance(value, list):
        return [evil(one) for one in value]
    return (
        EVIL if isinstance(value, str) and value not in ("first_trowel", "second_trowel", "broom") else value
    )


def test_hostile_text_stands_on_the_sheet_as_text() -> None:
    text = sheet(evil(table_of("hall")), WORDS, "letter")
    assert EVIL not in text
    assert not {tag for tag, _ in Page(text).tags} & {"script", "a"}
    assert text.count("&lt;script&gt;") > 50


def test_the_queue_says_where_how_deep_with_what_and_when() -> None:
    """By hand: 4.25 qt is the card's water for a bag; the first row of the job file is 1.75 to 2.25 in deep, mean 2."""
    (grid,) = Cells(page_of("hall")).under("pour", "where")
    assert [cell.text for cell in grid[1]] == [
        "R1",
        "ramp, lower run",
        "2 in",
        "small-stone",
        "3 × 1",
        "4.25 qt (3.75–4.75)",
        "0",
        "broom",
        "08:30",
    ]
    assert [row[0].text for row in grid[1:]] == ["R1", "R2", "L1", "L2", "W1", "W2", "T1", "T2"]


def test_a_batch_says_who_and_when_after_its_water() -> None:
    """By hand: mixing 90 s, carry 25 s, tip 20 s, strike-off 20 s."""
    stamps = {stamp["what"]: stamp for stamp in table_of("club")["batches"][0]["stamps"]}
    assert stamps["mixed"]["end_s"] == 90
    assert stamps["tipped"]["end_s"] == 90 + 25 + 20
    assert stamps["floated"]["start_s"] == 90 + 25 + 20 + 20
    assert stamps["edged"]["end_s"] - stamps["edged"]["start_s"] == pytest.approx(30)
    assert stamps["edged"]["start_s"] == stamps["first trowel"]["end_s"] < stamps["broomed"]["start_s"]
    assert {stamp["who"] for stamp in stamps.values()} <= {"Lead", "F", "M"}


@pytest.mark.parametrize("job", JOBS)
def test_cautions_of_the_start_of_day_stand_on_it(job: str) -> None:
    text = unescape(page_of(job))
    assert table_of(job)["cautions"]
    assert all(caution in text for caution in table_of(job)["cautions"])
    assert WORDS("paper.label_first") in text


def test_a_plan_that_does_not_hold_says_so_on_the_sheet() -> None:
    table = table_of("hall") | {"feasible": False, "reasons": ["R1: too slow"]}
    assert f"{WORDS('paper.not_feasible')} R1: too slow" in sheet(table, WORDS, "a4")


def test_without_a_plan_the_sheet_still_prints_its_windows() -> None:
    table = table_of("hall") | {"feasible": False, "batches": []}
    assert Cells(sheet(table, WORDS, "a4")).under("°F")


def test_a_metric_job_speaks_metric_and_takes_a4(tmp_path: Path) -> None:
    text = JOBS["library"].read_text(encoding="utf-8").replace('units = "us"', 'units = "metric"')
    (tmp_path / "small-stone.toml").write_bytes((JOBS["library"].parent / "small-stone.toml").read_bytes())
    job, out = tmp_path / "job.toml", tmp_path / "day.html"
    job.write_text(text, encoding="utf-8")
    assert main(["paper", str(job), "-o", str(out)]) in (0, 1)
    page = out.read_text(encoding="utf-8")
    assert "size: 210mm 297mm" in page
    degrees = [row[0].text for row in Cells(page).under("°C")[0][2:]]
    assert degrees == ["-5", "0", "5", "10"] or all(int(value) % 5 == 0 for value in degrees)
    assert "degF" not in page


def test_the_verb_writes_the_sheet_once_and_tells_its_figures(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    out = tmp_path / "day.html"
    asked = ["paper", str(JOBS["library"]), "-o", str(out), "--paper", "a4", "--json"]
    assert main(asked) == 0
    assert json.loads(capsys.readouterr().out) == json.loads(json.dumps(table_of("library")))
    assert out.read_text(encoding="utf-8") == page_of("library", "a4")
    assert main(asked) == 2
    assert "name another file" in capsys.readouterr().err
    assert main([*asked[:3], str(tmp_path / "day.pdf")]) == 2
    assert ".html" in capsys.readouterr().err


def test_figures_are_plain_json() -> None:
    assert json.loads(json.dumps(table_of("club"), allow_nan=False)) == table_of("club")
