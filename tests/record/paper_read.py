"""A day on paper as the tests read it: sheets of jobs, and the page's cells with what is bold in them told apart."""

from __future__ import annotations

from dataclasses import dataclass, field
from functools import cache
from pathlib import Path
from typing import Any

from engine import console
from engine.job.files import configs_folder
from engine.record.paper.room import Paper
from engine.record.paper.sheet import sheet
from tests.record.report.read import Page
from tests.scenarios.expected import DATA

WORDS = console.words()
JOBS = {
    "hall": configs_folder() / "jobs" / "community-hall.toml",
    "club": configs_folder() / "jobs" / "rowing-club.toml",
    "library": DATA / "library" / "job.toml",
}
Table = dict[str, Any]


@cache
def table_of(job: str) -> Table:
    return console.paper(JOBS[job], WORDS)


@cache
def page_of(job: str, paper: Paper = "letter") -> str:
    return sheet(table_of(job), WORDS, paper)


def table_from(text: str, folder: Path) -> Table:
    """Of a job file written into a folder, its mixes in `mixes` beside it."""
    path = folder / "job.toml"
    path.write_text(text, encoding="utf-8")
    return console.paper(path, WORDS)


@dataclass
class Cell:
    """What stands in a cell, what of it is bold, and what is in small print."""

    text: str = ""
    bold: str = ""
    small: str = ""


@dataclass
class Cells(Page):
    """The page's tables as rows of cells."""

    text: str
    grids: list[list[list[Cell]]] = field(default_factory=list)

    def __post_init__(self) -> None:
        super().__init__(self.text)

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        super().handle_starttag(tag, attrs)
        if tag == "table":
            self.grids.append([])
        elif tag == "tr":
            self.grids[-1].append([])
        elif tag in ("td", "th"):
            self.grids[-1][-1].append(Cell())

    def handle_data(self, data: str) -> None:
        super().handle_data(data)
        if {"td", "th"} & set(self.open):
            cell = self.grids[-1][-1][-1]
            kind = {"b": "bold", "small": "small"}.get(self.open[-1], "text")
            setattr(cell, kind, getattr(cell, kind) + data)

    def under(self, *head: str) -> list[list[list[Cell]]]:
        """All tables whose head begins with these cells."""
        return [g for g in self.grids if tuple(cell.text for cell in g[0][: len(head)]) == head]
