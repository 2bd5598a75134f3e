"""The unit library, and our reading on top of it, against the published factors of tests/data/tables/unit_factors.csv."""

from __future__ import annotations

import functools

import pint
import pytest
from measured_jobs import table

from engine.units import KINDS, Dimension, parse

ROWS = table("unit_factors.csv")
READ_AS: dict[str, Dimension] = {  # units that job files are written in
    "psi": "pressure",
    "lb/ft^3": "density",
    "lb": "mass",
    "gal": "water",
    "qt": "water",
    "pt": "water",
    "floz": "water",
    "ft^3": "volume",
    "yd^3": "volume",
    "ft^2": "area",
    "mph": "speed",
    "lb/ft^2/h": "evaporation",
    "delta_degF": "difference",
}


@functools.cache
def library() -> pint.UnitRegistry:
    return pint.UnitRegistry()


@pytest.mark.parametrize("row", ROWS, ids=lambda row: f"{row['id']} {row['from']} {row['to']}")
def test_the_library_has_the_published_factor(row: dict[str, str]) -> None:
    found = library().Quantity(1.0, row["from"]).to(row["to"]).magnitude
    assert found == pytest.approx(float(row["factor"]), rel=float(row["tolerance"]))


@pytest.mark.parametrize(
    "row", [row for row in ROWS if row["from"] in READ_AS], ids=lambda row: f"{row['id']} {row['to']}"
)
def test_a_unit_of_a_job_file_is_read_as_the_library_knows_it(row: dict[str, str]) -> None:
    dimension = READ_AS[row["from"]]
    expected = library().Quantity(float(row["factor"]), row["to"]).to(KINDS[dimension].unit).magnitude
    assert parse(f"1 {row['from']}", dimension) == pytest.approx(expected, rel=float(row["tolerance"]))


@pytest.mark.parametrize(
    ("value", "unit", "to", "expected"),
    [(70.0, "degF", "degC", 190 / 9), (0.0, "degC", "kelvin", 273.15), (0.0, "degF", "degR", 459.67)],
)
def test_points_of_temperature_are_the_published_ones(
    value: float, unit: str, to: str, expected: float
) -> None:
    """UNIT-17, derived; UNIT-19, NIST SP 811 (2008) B.8, READ-2. The library's own rounding is 1e-12."""
    assert library().Quantity(value, unit).to(to).magnitude == pytest.approx(expected, rel=1e-12)


def test_every_unit_entry_of_the_table_is_there_once_a_pair() -> None:
    ids = {int(row["id"].removeprefix("UNIT-")) for row in ROWS}
    assert ids == set(range(1, 17)) | {18}
    pairs = [(row["from"], row["to"], row["factor"]) for row in ROWS]
    assert len(pairs) == len(set(pairs))
