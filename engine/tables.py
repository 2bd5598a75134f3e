"""A TOML table against a declared schema: every fault of it in one go, each with place, given and accepted.

A schema maps the keys of a table to `Field`s; a `Field` names the argument it becomes and the `Reader` of its
value. Readers report to the `Page` they are handed and return `BAD` for a value that cannot be used.
"""

from __future__ import annotations

import datetime
import difflib
import json
import re
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import Any, Final

from engine import units
from engine.errors import Problem

MOST_PROBLEMS = 300
LONGEST_SHOWN = 40
LARGEST_SHOWN = 10**15


class _Bad:
    """The type of `BAD`."""

    def __repr__(self) -> str:
        return "BAD"


BAD: Final = _Bad()


class Page:
    """One file under check: its name and the problems found so far, in order."""

    def __init__(self, file: str) -> None:
        self.file = printable(file)
        self.problems: list[Problem] = []
        self._more = 0

    def fault(self, where: str, given: str, accepted: str, known: Iterable[str] = (), word: str = "") -> _Bad:
        """Note a problem; `known` are the words of which the one nearest to `word` is named."""
        if len(self.problems) < MOST_PROBLEMS:
            self.problems.append(Problem(self.file, where, given, accepted, nearest(word, known)))
        else:
            self._more += 1
        return BAD

    def all(self) -> tuple[Problem, ...]:
        """The problems; beyond `MOST_PROBLEMS` only their number."""
        if not self._more:
            return tuple(self.problems)
        rest = Problem(self.file, "further down", "", f"{self._more} more problems, not listed")
        return (*self.problems, rest)


@dataclass(frozen=True)
class Reader:
    """What a value must look like, in words, how to take it, and of a table its schema."""

    accepts: str
    take: Callable[[Any, str, Page], Any]
    schema: Mapping[str, Field] | None = None


@dataclass(frozen=True)
class Field:
    """One key of a table: the argument it becomes, its reader, and what stands where it is left out."""

    into: str
    reader: Reader
    needed: bool = True
    default: Any = None


Schema = Mapping[str, Field]


def need(into: str, reader: Reader) -> Field:
    """A key that must be there."""
    return Field(into, reader)


def may(into: str, reader: Reader, default: Any = None) -> Field:
    """A key that may be left out."""
    return Field(into, reader, needed=False, default=default)


def fields(schema: Schema, table: Any, where: str, page: Page) -> dict[str, Any]:
    """The good values of a table by argument; unknown, missing and bad ones are reported and absent."""
    if not isinstance(table, dict):
        page.fault(where, shown(table), "a table of " + ", ".join(schema))
        return {}
    for key in table:
        if key not in schema:
            page.fault(joined(where, key), shown(table[key]), "unknown key", schema, key)
    read = {field.into: _field(key, field, table, where, page) for key, field in schema.items()}
    return {into: value for into, value in read.items() if value is not BAD}


def _field(key: str, field: Field, table: Mapping[str, Any], where: str, page: Page) -> Any:
    if key in table:
        return field.reader.take(table[key], joined(where, key), page)
    if field.needed:
        return page.fault(joined(where, key), "", f"missing; it must be {field.reader.accepts}")
    return field.default


Fault = tuple[str, str]  # key, as far as it is dotted from the table; what is accepted there
Check = Callable[[Any], Iterable[Fault]]


def record(build: Callable[..., Any], schema: Schema, check: Check | None = None) -> Reader:
    """A table that becomes `build(**values)`, once all its values are good, and then stands up to `check`."""

    def take(value: Any, where: str, page: Page) -> Any:
        values = fields(schema, value, where, page)
        if len(values) < len(schema):
            return BAD
        built = build(**values)
        faults = list(check(built)) if check else []
        report(faults, value, where, page)
        return BAD if faults else built

    return Reader("a table of " + ", ".join(schema), take, schema)


def report(faults: Iterable[Fault], table: Mapping[str, Any], where: str, page: Page) -> None:
    """Note faults of a table whose values are good one by one."""
    for key, accepted in faults:
        place = ".".join(part for part in (where, key) if part)
        page.fault(place, shown(_inside(table, key)) if key else "", accepted)


def _inside(table: Any, key: str) -> Any:
    """What stands at a dotted key; an empty table where it was left out."""
    for part in key.split("."):
        table = table.get(part, {})
    return table


def paths(schema: Schema, above: str = "") -> tuple[str, ...]:
    """Every dotted key of a schema, tables before what is in them."""
    found: list[str] = []
    for key, field in schema.items():
        found.append(joined(above, key))
        found += paths(field.reader.schema or {}, joined(above, key))
    return tuple(found)


def many(item: Reader, least: int, most: int) -> Reader:
    """A list; becomes a tuple once all its values are good."""
    accepts = f"a list of {least} to {most} values, each {item.accepts}"

    def take(value: Any, where: str, page: Page) -> Any:
        if not isinstance(value, list) or not least <= len(value) <= most:
            return page.fault(where, shown(value), accepts)
        taken = tuple(item.take(one, f"{where}[{n}]", page) for n, one in enumerate(value))
        return BAD if BAD in taken else taken

    return Reader(accepts, take)


def rows(item: Reader, least: int, most: int) -> Reader:
    """A list of tables; becomes a tuple with `BAD` in the places of bad ones, so that the others can be checked."""
    accepts = f"{least} to {most} tables, each written under its own [[…]]"

    def take(value: Any, where: str, page: Page) -> Any:
        if not isinstance(value, list) or not least <= len(value) <= most:
            return page.fault(where, shown(value), accepts)
        return tuple(item.take(one, f"{where}[{n}]", page) for n, one in enumerate(value))

    return Reader(accepts, take)


def mapped(reader: Reader, build: Callable[[Any], Any]) -> Reader:
    """What a reader took, made into something else."""

    def take(value: Any, where: str, page: Page) -> Any:
        taken = reader.take(value, where, page)
        return BAD if taken is BAD else build(taken)

    return Reader(reader.accepts, take, reader.schema)


def simple(accepts: str, read: Callable[[Any], Any], known: Sequence[str] = ()) -> Reader:
    """A single value; `read` raises `ValueError`, empty or with a better sentence, for what it cannot use."""

    def take(value: Any, where: str, page: Page) -> Any:
        try:
            return read(value)
        except ValueError as refused:
            word = value if isinstance(value, str) else ""
            return page.fault(where, shown(value), str(refused) or accepts, known, word)

    return Reader(accepts, take)


def quantity(dimension: units.Dimension, low: float, high: float) -> Reader:
    """A text with a unit, within limits (included) in the unit of `units.KINDS`."""
    limits = units.between(dimension, low, high)

    def read(value: Any) -> float:
        if isinstance(value, int | float) and not isinstance(value, bool):
            raise ValueError(units.needs_unit(dimension))
        if not isinstance(value, str):
            raise ValueError
        number = units.parse(value, dimension)
        if not low <= number <= high:
            raise ValueError(limits)
        return number

    return simple(units.accepted(dimension), read)


def number(low: float, high: float, step: float = 0.0, scale: float = 1.0) -> Reader:
    """A plain number within limits (included); with a step: a multiple of it. It is taken times `scale`."""
    accepts = f"a number from {low:g} to {high:g}" + (f" in steps of {step:g}" if step else "")

    def read(value: Any) -> float:
        if isinstance(value, bool) or not isinstance(value, int | float) or not low <= value <= high:
            raise ValueError
        if step and value % step:
            raise ValueError
        return float(value) * scale

    return simple(accepts, read)


def whole(low: int, high: int) -> Reader:
    """A whole number within limits (included)."""

    def read(value: Any) -> int:
        if isinstance(value, bool) or not isinstance(value, int) or not low <= value <= high:
            raise ValueError
        return value

    return simple(f"a whole number from {low} to {high}", read)


def text(most: int) -> Reader:
    """One line of printable text."""

    def read(value: Any) -> str:
        if not isinstance(value, str) or not 0 < len(value.strip()) <= len(value) <= most:
            raise ValueError
        if not value.isprintable():
            raise ValueError
        return value

    return simple(f"a text in quotes, one line of 1 to {most} characters", read)


def word(most: int) -> Reader:
    """An id: batches are written `P2.1` and stand in tables, so it is short, without spaces or dots."""

    def read(value: Any) -> str:
        if not isinstance(value, str) or not value.isprintable() or not 0 < len(value) <= most:
            raise ValueError
        if any(sign.isspace() or sign == "." for sign in value):
            raise ValueError
        return value

    return simple(f"a short word in quotes, at most {most} characters without spaces or dots", read)


def choice(*options: str) -> Reader:
    """One of some words."""

    def read(value: Any) -> str:
        if not isinstance(value, str) or value not in options:
            raise ValueError
        return value

    return simple("one of " + ", ".join(f'"{option}"' for option in options), read, options)


def flag() -> Reader:
    """True or false."""

    def read(value: Any) -> bool:
        if not isinstance(value, bool):
            raise ValueError
        return value

    return simple("true or false", read)


def day(first: datetime.date, last: datetime.date) -> Reader:
    """A date, written without quotes."""

    def read(value: Any) -> datetime.date:
        if isinstance(value, datetime.datetime) or not isinstance(value, datetime.date):
            raise ValueError
        if not first <= value <= last:
            raise ValueError
        return value

    return simple(f"a date from {first} to {last}, without quotes", read)


def flat(table: Mapping[str, Any], inside: Callable[[str], bool]) -> dict[str, Any]:
    """Nested tables as dotted keys, as far as `inside(key)` says that a dotted key is a table."""
    result: dict[str, Any] = {}
    waiting = list(table.items())[::-1]
    while waiting:
        key, value = waiting.pop()
        if isinstance(value, dict) and inside(key):
            waiting += [(f"{key}.{below}", deeper) for below, deeper in value.items()][::-1]
        else:
            result[key] = value
    return result


def joined(where: str, key: str) -> str:
    """A key path; a key that TOML would want in quotes has them."""
    bare = re.fullmatch(r"[A-Za-z0-9_-]{1,40}", key)
    name = key if bare else shown(key)
    return f"{where}.{name}" if where else name


def shown(value: Any) -> str:
    """A value as written in the file, shortened; tables and lists only by name."""
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, str):
        short = value[:LONGEST_SHOWN] + ("…" if len(value) > LONGEST_SHOWN else "")
        return f'"{printable(short)}"'
    if isinstance(value, dict | list):
        return f"a table of {len(value)}" if isinstance(value, dict) else f"a list of {len(value)}"
    if isinstance(value, int) and abs(value) > LARGEST_SHOWN:
        return "a very large number"
    return str(value)


def printable(value: str) -> str:
    """Text that a terminal shows and never obeys."""
    return "".join(sign if sign.isprintable() else json.dumps(sign)[1:-1] for sign in value)


def nearest(given: str, known: Iterable[str]) -> str:
    """The known word most like the one given, or nothing."""
    if not given or len(given) > LONGEST_SHOWN:
        return ""
    close = difflib.get_close_matches(given, list(known), n=1, cutoff=0.5)
    return close[0] if close else ""
