"""The sheet printed by a browser, where one is on the machine: the pages and the paper that its style asks for."""

from __future__ import annotations

import re
import shutil
import subprocess
from pathlib import Path

import pytest

from engine.record.paper.room import PAPERS, Paper
from engine.record.paper.sheet import sheet
from tests.record.paper_read import WORDS
from tests.record.test_paper_sheet import SIDES, many

BROWSER = shutil.which("chromium")
FLAGS = ("--headless", "--no-sandbox", "--disable-gpu", "--no-first-run", "--disable-background-networking")
POINTS_A_MM = 72.0 / 25.4


def printed(text: str, folder: Path) -> bytes:
    page, out = folder / "day.html", folder / "day.pdf"
    page.write_text(text, encoding="utf-8")
    named = (f"--user-data-dir={folder / 'browser'}", "--no-pdf-header-footer", f"--print-to-pdf={out}")
    subprocess.run([str(BROWSER), *FLAGS, *named, page.as_uri()], check=True, capture_output=True, timeout=90)
    return out.read_bytes()


@pytest.mark.skipif(BROWSER is None, reason="no browser on this machine")
@pytest.mark.parametrize("paper", PAPERS)
@pytest.mark.parametrize("times", [1, 3])
def test_it_prints_on_as_many_pages_as_it_has_sides(times: int, paper: Paper, tmp_path: Path) -> None:
    text = sheet(many(times), WORDS, paper)
    found = printed(text, tmp_path)
    assert len(re.findall(rb"/Type\s*/Page\b(?!s)", found)) == len(SIDES.findall(text))
    boxes = re.findall(rb"/MediaBox\s*\[0 0 ([\d.]+) ([\d.]+)\]", found)
    assert boxes
    for width, height in boxes:
        size = float(width) / POINTS_A_MM, float(height) / POINTS_A_MM
        assert size == pytest.approx(PAPERS[paper], abs=0.6)
