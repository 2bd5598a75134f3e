"""Published rules against the shipped practice values, and what every table of published values says of its sources.

GEO-1, -2, -7, -10 to -15, -18, -19, QTY-10, -13, SAFE-13, -14, STR-6, -10, -12, CURE-3: source, edition, clause and
status in each row of rule_limits.csv.
"""

from __future__ import annotations

import itertools
from pathlib import Path

import pytest
from measured_jobs import DATA, FT2, FT3, GAL, IN, LB, QT, table
from site_days import SHIPPED, TO_SI

from engine.job.files import shipped_practice
from engine.sources import SOURCES
from engine.tables import BAD, Page

ROWS = table("rule_limits.csv")
TABLES = sorted((DATA / "tables").glob("*.csv"))
SI = TO_SI | {
    "-": float,
    "lb": lambda value: value * LB,
    "%": lambda value: value / 100,
    "in": lambda value: value * IN,
    "qt": lambda value: value * QT,
    "lb/ft^3": lambda value: value * LB / FT3,
    "gal/ft^2": lambda value: value * GAL / FT2,
}
# How a source was seen, beside the status of the table it is checked with
SEEN = {"READ": "read", "READ-2": "reproduction", "MEM-H": "memory"}


@pytest.mark.parametrize("path", TABLES, ids=lambda path: path.name)
def test_every_table_names_source_edition_clause_and_status_above_its_rows(path: Path) -> None:
    text = path.read_text(encoding="utf-8")
    head = "".join(itertools.takewhile(lambda line: line.startswith("#"), text.splitlines(keepends=True)))
    assert [word for word in ("source", "edition", "table/clause", "status") if word not in head] == []
    assert "MEM-L" not in text


@pytest.mark.parametrize("row", ROWS, ids=lambda row: f"{row['id']} {row['key']} {row['source']}")
def test_a_rule_is_the_published_one(row: dict[str, str]) -> None:
    assert SHIPPED[row["key"]] == pytest.approx(SI[row["unit"]](float(row["value"])), rel=1e-9)


@pytest.mark.parametrize("row", ROWS, ids=lambda row: f"{row['id']} {row['key']} {row['source']}")
def test_a_rule_names_its_source_and_never_claims_to_have_seen_more_of_it(row: dict[str, str]) -> None:
    (value,) = (value for value in shipped_practice() if value.key == row["key"])
    assert all(row[column] for column in ("source", "edition", "clause"))
    assert SOURCES[value.source].seen == SEEN[row["status"]]


def test_the_saw_may_run_as_far_out_as_each_agency_prints_and_no_nearer() -> None:
    """GEO-2, READ: UFC 2 to 3 in, FHWA 3 to 4 in, UFGS 1 in (GEO-7: at least 1 in outside)."""
    (value,) = (value for value in shipped_practice() if value.key == "geometry.saw_beyond")
    page = Page("job.toml")
    for inches in (1, 2, 3, 4):
        assert value.reader.take(f"{inches} in", "practice", page) == pytest.approx(inches * IN)
    assert page.all() == ()
    assert value.reader.take("3/4 in", "practice", page) is BAD
