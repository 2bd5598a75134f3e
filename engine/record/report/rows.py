"""A report as rows for the office: one a batch, then one for each of its passes; SI units in the names of the columns."""

from __future__ import annotations

import csv
import io
from collections.abc import Iterator

from engine.record.report.harmless import in_cell
from engine.record.report.shown import Table

DIGITS = 3
COLUMNS = (
    "row",
    "job",
    "date",
    "rehearsal",
    "pour",
    "where",
    "batch",
    "stage",
    "mix",
    "lot",
    "bags",
    "packets_per_bag",
    "station",
    "who",
    "water_contact",
    "mixed",
    "tipped",
    "workable_until",
    "water_used_l",
    "water_used",
    "air_c",
    "slab_c",
    "bags_c",
    "water_c",
    "mix_c",
    "why_lost",
    "pass",
    "done",
    "skipped",
    "open",
    "due",
    "late",
    "lost",
    "state",
    "outside_s",
    "age_from_water_s",
    "set_age_min",
    "gap_from",
    "gap_s",
    "due_age_from_water_s",
    "due_gap_s",
)


def rows_text(table: Table) -> str:
    """CSV as in RFC 4180, UTF-8. A text that a sheet would take for a formula has an apostrophe before it."""
    out = io.StringIO()
    writer = csv.DictWriter(out, COLUMNS, restval="", extrasaction="ignore", lineterminator="\r\n")
    writer.writeheader()
    for row in _rows(table):
        writer.writerow({name: _cell(value) for name, value in row.items()})
    return out.getvalue()


def _cell(value: object) -> object:
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, float):
        return round(value, DIGITS)
    return "" if value is None else in_cell(value)


def _rows(table: Table) -> Iterator[Table]:
    places = {pour["id"]: pour["where"] for pour in table["pours"]}
    day = {key: table[key] for key in ("job", "date", "rehearsal")}
    for batch in table["batches"]:
        place = {"pour": batch["pour"], "where": places.get(batch["pour"], ""), "batch": batch["id"]}
        yield day | batch | place | {"row": "batch", "packets_per_bag": batch["packets"], "set_age_min": None}
        for done in batch["passes"]:
            window = done["window"] or {}
            yield day | place | window | done | {"row": "pass"}
