"""A day before its first bag on one sheet of paper, for the tailgate while the laptop stays in the truck."""

from __future__ import annotations

from pathlib import Path
from typing import Any

from engine.clock import Clock
from engine.console.ahead import SEARCHED
from engine.console.ground import at_start, date_on_site, make_way
from engine.errors import BadInput, Problem
from engine.job.files import read_job
from engine.pour.planning import day_plan
from engine.record.paper.figures import paper_table
from engine.record.paper.room import Paper
from engine.record.paper.sheet import sheet
from engine.words import Words

ENDING = ".html"


def paper(job_path: Path, said: Words, clock: Clock | None = None) -> dict[str, Any]:
    """The figures of the sheet as plain JSON values, of the plan that `check` shows. Raises `BadInput`."""
    moment = at_start(read_job(job_path, date_on_site(clock)))
    return paper_table(moment, day_plan(moment, rounds=3, search=SEARCHED), said)


def write_paper(table: dict[str, Any], out: Path, said: Words, size: Paper | None = None) -> None:
    """Write the sheet of such figures to a new HTML file; the size left out is letter for US units, else A4.

    Raises `BadInput` for a name that does not end in .html and where something stands already.
    """
    if out.suffix.lower() != ENDING:
        raise BadInput([Problem(str(out), "-o", out.suffix or out.name, f"a file name ending in {ENDING}")])
    text = sheet(table, said, size or ("letter" if table["units"] == "us" else "a4"))
    make_way(out)
    out.write_text(text, encoding="utf-8", newline="")
