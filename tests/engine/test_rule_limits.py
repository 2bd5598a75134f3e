"""Published rules against the shipped practice values."""

from __future__ import annotations

import pytest
from measured_jobs import FT2, FT3, GAL, IN, LB, QT, table
from site_days import SHIPPED, TO_SI

from engine.job.files import shipped_practice
from engine.sources import SOURCES
from engine.tables import BAD, Page

ROWS = table("rule_limits.csv")
SI = TO_SI | {
    "-": float,
    "%": lambda value: value / 100,
    "in": lambda value: value * IN,
    "qt": lambda value: value * QT,
    "lb/ft^3": lambda value: value * LB / FT3,
    "gal/ft^2": lambda value: value * GAL / FT2,
}
# How a source was seen, beside the status of the table it is checked with
SEEN = {"READ": "read", "READ-2": "reproduction", "MEM-H": "memory"}


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
