"""The trade's numbers: the shipped values with kind, limits and source, and what a job changes of them."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from engine import tables
from engine.errors import Problem
from engine.job.model import Practice
from engine.sources import SOURCES, Source
from engine.tables import BAD, Page, Reader, choice, may, need
from engine.units import KINDS, Dimension

DAY_S = 86400.0

# Lowest and highest of a kind, in the unit of `units.KINDS`; an entry may state narrower ones.
LIMITS: dict[Dimension, tuple[float, float]] = {
    "share": (0.0, 1.0),
    "length": (0.0, 100.0),
    "water": (0.0, 1000.0),
    "cover": (0.0, 1000.0),
    "mass": (0.0, 1000.0),
    "temperature": (-50.0, 100.0),
    "difference": (0.0, 100.0),
    "duration": (0.0, 400 * DAY_S),
    "speed": (0.0, 50.0),
    "pressure": (0.0, 200e6),
    "conductivity": (0.05, 20.0),
    "density": (100.0, 10_000.0),
    "specific heat": (100.0, 10_000.0),
    "film": (0.0, 1000.0),
    "film per wind": (0.0, 100.0),
    "flux": (0.0, 1500.0),
    "latent heat": (0.0, 1e7),
    "evaporation": (0.0, 10.0),
}
SMALLEST_NUMBER, LARGEST_NUMBER, LARGEST_COUNT = 1e-3, 1e4, 10_000


@dataclass(frozen=True)
class Value:
    """One number of the trade, in the unit of its kind; `reader` takes what a job says instead."""

    key: str
    number: float
    source: str
    reader: Reader


def read_practice(table: Mapping[str, Any], file: str) -> tuple[tuple[Value, ...], tuple[Problem, ...]]:
    """The values of `practice.toml` in its order, and every problem of it."""
    page = Page(file)
    entries = tables.flat(table, lambda key: "." not in key)
    values = [_value(key, entry, page) for key, entry in entries.items()]
    return tuple(value for value in values if value is not None), page.all()


def _value(key: str, entry: Any, page: Page) -> Value | None:
    fields = tables.fields(ENTRY, entry, key, page)
    if len(fields) < len(ENTRY):
        return None
    reader = _reader(fields["kind"], fields["within"], f"{key}.within", page)
    number = reader.take(fields["value"], f"{key}.value", page)
    return None if number is BAD else Value(key, float(number), fields["source"], reader)


def _reader(kind: str, within: list[Any] | None, where: str, page: Page) -> Reader:
    """Takes values of a kind, inside its own limits or the entry's narrower ones."""
    reader = _reader_of(kind)
    if within is None:
        return reader
    ends = tables.many(reader if kind in KINDS else tables.number(0, LARGEST_NUMBER), 2, 2).take(
        within, where, page
    )
    return reader if ends is BAD else _reader_of(kind, *ends)


def _reader_of(kind: str, *within: float) -> Reader:
    if kind == "number":
        return tables.number(*(within or (SMALLEST_NUMBER, LARGEST_NUMBER)))
    if kind == "count":
        return tables.whole(*(int(end) for end in within or (0, LARGEST_COUNT)))
    low, high = within or LIMITS[_dimension(kind)]
    return tables.quantity(_dimension(kind), low, high)


def _dimension(kind: str) -> Dimension:
    return next(dimension for dimension in LIMITS if dimension == kind)


def take_changes(values: Sequence[Value]) -> Reader:
    """Reads a job's `[practice]`, dotted or nested: the shipped values with its own put in, as `Practice`."""
    shipped = {value.key: value for value in values}
    groups = {key.split(".")[0] for key in shipped}

    def take(table: Any, where: str, page: Page) -> Any:
        if not isinstance(table, dict):
            return page.fault(where, tables.shown(table), "a table of practice values")
        numbers: dict[str, Any] = {key: value.number for key, value in shipped.items()}
        for key, given in tables.flat(table, groups.__contains__).items():
            place = tables.joined(where, key)
            if key in shipped:
                numbers[key] = shipped[key].reader.take(given, place, page)
            else:
                page.fault(place, tables.shown(given), "unknown practice value", shipped, key)
        return BAD if BAD in numbers.values() else as_practice(numbers)

    return Reader("a table of practice values", take)


def source_of(key: str, practice: Practice, shipped: Mapping[str, Value]) -> Source | None:
    """Where a value comes from; None where the job says another one itself."""
    value = shipped.get(key)
    same = value is not None and math.isclose(value.number, practice[key], rel_tol=1e-9)
    return SOURCES[value.source] if value is not None and same else None


def as_practice(numbers: Mapping[str, float]) -> Practice:
    """Values by dotted key as the job carries them."""
    return Practice(tuple((key, float(number)) for key, number in numbers.items()))


ENTRY = {
    "value": need("value", tables.simple("a number or a text", lambda value: value)),
    "kind": need("kind", choice("number", "count", *LIMITS)),
    "within": may("within", tables.simple("two values", lambda value: value)),
    "source": need("source", choice(*SOURCES)),
}
