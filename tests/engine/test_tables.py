"""A TOML table against a declared schema."""

from __future__ import annotations

import datetime
import math
from dataclasses import dataclass
from typing import Any

import pytest

from engine import tables as t

INCH_M = 0.0254


@dataclass(frozen=True)
class Hole:
    id: str
    depth_m: float
    use: str = "walk"


HOLE = {
    "id": t.need("id", t.word(12)),
    "depth": t.need("depth_m", t.quantity("length", 0.5 * INCH_M, 12 * INCH_M)),
    "use": t.may("use", t.choice("walk", "ramp"), "walk"),
}


def _read(reader: t.Reader, value: Any) -> tuple[Any, tuple[Any, ...]]:
    page = t.Page("job.toml")
    return reader.take(value, "pours[2].key", page), page.all()


GOOD = [
    (t.quantity("length", 0.0, 1.0), "10 in", 0.254),
    (t.quantity("length", INCH_M, 1.0), "1 in", INCH_M),
    (t.number(0, 100), 75, 75.0),
    (t.number(0, 10, step=0.5), 1.5, 1.5),
    (t.whole(1, 5), 1, 1),
    (t.text(10), "ten signs!", "ten signs!"),
    (t.word(12), "P1", "P1"),
    (t.choice("a", "b"), "b", "b"),
    (t.flag(), False, False),
    (
        t.day(datetime.date(2000, 1, 1), datetime.date(2100, 1, 1)),
        datetime.date(2026, 11, 5),
        datetime.date(2026, 11, 5),
    ),
    (t.many(t.whole(1, 5), 1, 3), [1, 2], (1, 2)),
    (t.record(Hole, HOLE), {"id": "P1", "depth": "2 in"}, Hole("P1", 2 * INCH_M)),
]


@pytest.mark.parametrize(("reader", "value", "read"), GOOD)
def test_good_values_are_taken(reader: t.Reader, value: Any, read: Any) -> None:
    assert _read(reader, value) == (read, ())


HUGE = 10**4000
BAD: list[tuple[t.Reader, Any, str, str]] = [
    (t.quantity("length", 0.0, 1.0), 10, "10", "a length needs a unit: in, ft, yd, mm, cm, m"),
    (t.quantity("length", 0.0, 1.0), "10", '"10"', "a length needs a unit"),
    (t.quantity("length", 0.0, 1.0), True, "true", "a length such as"),
    (t.quantity("length", 0.0, 1.0), "10 lb", '"10 lb"', "a length such as"),
    (t.quantity("length", 0.0, 1.0), "-1 in", '"-1 in"', "a length from 0 in to 39 3/8 in (0 mm to 1000 mm)"),
    (t.quantity("length", 0.0, 1.0), "9999 ft", '"9999 ft"', "a length from 0 in"),
    (
        t.quantity("temperature", 0, 50),
        "200 degF",
        '"200 degF"',
        "a temperature from 32 °F to 122 °F (0 °C to 50 °C)",
    ),
    (
        t.quantity("energy", 0, 2e5),
        "300 kJ/mol",
        '"300 kJ/mol"',
        "an activation energy from 0 J/mol to 200000 J/mol",
    ),
    (t.number(0, 100), math.nan, "nan", "a number from 0 to 100"),
    (t.number(0, 100), math.inf, "inf", "a number from 0 to 100"),
    (t.number(0, 100), True, "true", "a number from 0 to 100"),
    (t.number(0, 100), "75", '"75"', "a number from 0 to 100"),
    (t.number(0, 100), HUGE, "a very large number", "a number from 0 to 100"),
    (t.number(0, 10, step=0.5), 0.3, "0.3", "a number from 0 to 10 in steps of 0.5"),
    (t.whole(1, 5), 2.0, "2.0", "a whole number from 1 to 5"),
    (t.whole(1, 5), 0, "0", "a whole number from 1 to 5"),
    (t.text(10), "eleven sign", '"eleven sign"', "one line of 1 to 10 characters"),
    (t.text(10), "  ", '"  "', "one line of 1 to 10 characters"),
    (t.text(10), "a\nb", '"a\\nb"', "one line of 1 to 10 characters"),
    (t.text(10), "\x1b[2J", '"\\u001b[2J"', "one line of 1 to 10 characters"),
    (t.word(12), "P 1", '"P 1"', "without spaces or dots"),
    (t.word(12), "P.1", '"P.1"', "without spaces or dots"),
    (t.word(12), "thirteensigns", '"thirteensigns"', "at most 12 characters"),
    (t.word(12), "", '""', "at most 12 characters"),
    (t.word(12), "P\u202e1", '"P\\u202e1"', "a short word"),
    (t.choice("walk", "ramp"), "rampe", '"rampe"', 'one of "walk", "ramp"'),
    (t.flag(), 1, "1", "true or false"),
    (
        t.day(datetime.date(2000, 1, 1), datetime.date(2100, 1, 1)),
        "2026-11-05",
        '"2026-11-05"',
        "without quotes",
    ),
    (
        t.day(datetime.date(2000, 1, 1), datetime.date(2100, 1, 1)),
        datetime.date(1999, 1, 1),
        "1999-01-01",
        "a date from",
    ),
    (t.many(t.whole(1, 5), 1, 3), [], "a list of 0", "a list of 1 to 3 values, each a whole number"),
    (t.many(t.whole(1, 5), 1, 3), [1, 2, 3, 4], "a list of 4", "a list of 1 to 3 values"),
    (t.many(t.whole(1, 5), 1, 3), 1, "1", "a list of 1 to 3 values"),
    (
        t.rows(t.record(Hole, HOLE), 1, 3),
        {},
        "a table of 0",
        "1 to 3 tables, each written under its own [[…]]",
    ),
    (t.record(Hole, HOLE), 1, "1", "a table of id, depth, use"),
]


@pytest.mark.parametrize(("reader", "value", "given", "accepted"), BAD)
def test_bad_values_are_reported_with_place_given_and_accepted(
    reader: t.Reader, value: Any, given: str, accepted: str
) -> None:
    read, problems = _read(reader, value)
    assert read is t.BAD
    assert [(p.file, p.where, p.given) for p in problems] == [("job.toml", "pours[2].key", given)]
    assert accepted in problems[0].accepted


def test_every_fault_of_a_table_is_found_in_one_go() -> None:
    table = {"holes": [{"id": "P1", "dpeth": "2 in", "use": "romp"}, {"id": "P 2", "depth": "0 in"}, 7]}
    page = t.Page("job.toml")
    read = t.fields({"holes": t.need("holes", t.rows(t.record(Hole, HOLE), 1, 9))}, table, "", page)
    found = [(p.where, p.given, p.nearest) for p in page.all()]
    assert read == {"holes": (t.BAD, t.BAD, t.BAD)}
    assert found == [
        ("holes[0].dpeth", '"2 in"', "depth"),
        ("holes[0].depth", "", ""),
        ("holes[0].use", '"romp"', "ramp"),
        ("holes[1].id", '"P 2"', ""),
        ("holes[1].depth", '"0 in"', ""),
        ("holes[2]", "7", ""),
    ]


def test_the_place_of_an_item_counts_from_nought_as_toml_readers_do() -> None:
    page = t.Page("job.toml")
    t.many(t.many(t.whole(1, 5), 1, 9), 1, 9).take([[1], [1, 2, 9]], "pours", page)
    assert [p.where for p in page.all()] == ["pours[1][2]"]


def test_a_check_of_the_whole_speaks_once_the_parts_are_good() -> None:
    reader = t.record(Hole, HOLE, lambda hole: [("depth", "deeper")] if hole.depth_m < 0.05 else [])
    assert _read(reader, {"id": "P1", "depth": "1 in"})[1][0].sentence() == (
        'job.toml: pours[2].key.depth: "1 in" given, deeper'
    )
    assert _read(reader, {"id": "P1", "depth": "2 in"})[1] == ()
    assert [p.where for p in _read(reader, {"id": "P1"})[1]] == ["pours[2].key.depth"]


def test_strange_keys_are_quoted_and_cannot_reach_the_terminal() -> None:
    page = t.Page("job\x1b.toml")
    t.fields(HOLE, {"id": "P1", "depth": "2 in", "a b\x1b": 1, "x" * 200: 1}, "pours[0]", page)
    wheres = [p.where for p in page.all()]
    assert wheres == ['pours[0]."a b\\u001b"', 'pours[0]."' + "x" * 40 + '…"']
    assert page.all()[0].file == "job\\u001b.toml"


def test_a_flood_of_problems_is_counted_and_not_listed() -> None:
    page = t.Page("job.toml")
    t.fields(HOLE, {"id": "P1", "depth": "2 in"} | {f"depht{n}": n for n in range(20_000)}, "", page)
    assert len(page.all()) == t.MOST_PROBLEMS + 1
    assert page.all()[-1].accepted == f"{20_000 - t.MOST_PROBLEMS} more problems, not listed"


def test_dotted_and_nested_keys_are_the_same() -> None:
    dotted = {"heat.sun": 1, "learning": {"prior_sd": {"value": 2}}}
    nested = {"heat": {"sun": 1}, "learning": {"prior_sd": {"value": 2}}}
    assert t.flat(dotted, {"heat", "learning"}.__contains__) == t.flat(
        nested, {"heat", "learning"}.__contains__
    )


def test_a_schema_lists_its_dotted_keys() -> None:
    assert t.paths({"hole": t.need("hole", t.record(Hole, HOLE))}) == (
        "hole",
        "hole.id",
        "hole.depth",
        "hole.use",
    )


def test_the_nearest_word_is_named_only_where_it_is_near() -> None:
    assert t.nearest("finsh", ["finish", "use"]) == "finish"
    assert t.nearest("zzz", ["finish", "use"]) == ""
    assert t.nearest("f" * 10**6, ["finish"]) == ""
