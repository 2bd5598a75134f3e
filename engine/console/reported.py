"""The report of a day's log, in the form that the ending of its file names."""

from __future__ import annotations

import json
from collections.abc import Callable
from pathlib import Path
from typing import Any

from engine.console.ground import make_way, read_day
from engine.errors import BadInput, Problem
from engine.record.folded import folded, reckoned
from engine.record.moments import moment_named
from engine.record.report.client import for_client
from engine.record.report.figures import figures
from engine.record.report.markdown import markdown
from engine.record.report.page import page
from engine.record.report.rows import rows_text
from engine.record.report.sheet import document
from engine.words import Words

Written = Callable[[dict[str, Any], Words], str]


def _page(table: dict[str, Any], said: Words) -> str:
    return page(document(table, said))


def _markdown(table: dict[str, Any], said: Words) -> str:
    return markdown(document(table, said))


def _rows(table: dict[str, Any], _said: Words) -> str:
    return rows_text(table)


def _json(table: dict[str, Any], _said: Words) -> str:
    return json.dumps(table, indent=2, ensure_ascii=False, allow_nan=False) + "\n"


FORMS: dict[str, Written] = {".html": _page, ".md": _markdown, ".csv": _rows, ".json": _json}


def report(log: Path, at: str | None, said: Words, *, client: bool = False) -> dict[str, Any]:
    """The table of a log's report at a moment (left out: its last line), as plain JSON values.

    `client` leaves out what is the crew's own affair, and says so. Raises `BadInput`, `LogDamaged`, `OSError`.
    """
    job, events, torn = read_day(log)
    when = moment_named(at, job, log) if at else max(event.at for event in events)
    folded(job, (event for event in events if event.at <= when), str(log))
    with reckoned(str(log), events[-1].seq):
        table = figures(job, events, when, said) | ({"torn_tail": True} if torn else {})
    return for_client(table, said) if client else table


def write_report(log: Path, out: Path, at: str | None, said: Words, *, client: bool = False) -> None:
    """Write a report to a new file; its ending picks the form. Raises as `report` does."""
    form = FORMS.get(out.suffix.lower())
    if form is None:
        known = ", ".join(FORMS)
        raise BadInput(
            [Problem(str(out), "-o", out.suffix or out.name, f"a file name ending in one of {known}")]
        )
    text = form(report(log, at, said, client=client), said)
    make_way(out)
    out.write_text(text, encoding="utf-8", newline="")
