"""A job from its TOML table: every field within physical limits; what only the whole shows is in `agreement`."""

from __future__ import annotations

import datetime
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from functools import partial
from pathlib import PurePosixPath
from typing import Any
from zoneinfo import ZoneInfo, available_timezones

from engine import tables, units
from engine.errors import Problem
from engine.job import agreement
from engine.job.drawn import is_simple, without_return
from engine.job.model import Deadline, Job, Person, Pour, Practice, Station, Stock, Target, Times
from engine.job.outline import area_m2
from engine.job.practice import Value, as_practice, take_changes
from engine.mix.card import MixCard
from engine.site.coating import ExpectedDay
from engine.site.conditions import ForecastRow, Materials
from engine.tables import (
    Fault,
    Page,
    Reader,
    Schema,
    choice,
    flag,
    many,
    mapped,
    may,
    need,
    number,
    quantity,
    record,
    rows,
    simple,
    text,
    whole,
    word,
)

FIRST_DAY, LAST_DAY = datetime.date(2000, 1, 1), datetime.date(2100, 12, 31)
LONGEST_ID, MOST_POURS, MOST_PEOPLE, MOST_POINTS = 12, 100, 20, 60
SMALLEST_M2, LARGEST_M2 = 0.0005, 500.0
WARMEST = datetime.time(14)
MACHINE_ZONES = ("localtime", "posixrules")  # mean another place on another machine


@dataclass(frozen=True)
class Day:
    """The date and zone that the job's times of day are on."""

    date: datetime.date
    zone: str


def mix_key(entry: str) -> str:
    """The key of a mix: its file's name without the ending."""
    return PurePosixPath(entry).stem


def read_job_table(
    table: Mapping[str, Any],
    file: str,
    cards: Mapping[str, MixCard | None],
    values: Sequence[Value],
    today: datetime.date,
) -> tuple[Job | None, tuple[Problem, ...]]:
    """The job, and every problem of its table; no job where there is one.

    `cards` holds the mixes by key, None for one with problems of its own; `values` is the shipped practice;
    `today` stands for a date left out.
    """
    page = Page(file)
    head = tables.fields(HEAD, table.get("job", {}), "job", page)
    head.setdefault("date", today)
    day = Day(head["date"] or today, head.get("zone", "UTC"))
    body = tables.fields(_body(day, values, list(cards)), table, "", page)
    if "start" in head:
        head["start"] = _start(head["start"], day, page)
    agreement.check(agreement.Parts(table, head, body, cards), page)
    if page.all() or None in cards.values():
        return None, page.all()
    return _job(head, body, day, cards), page.all()


def _job(head: dict[str, Any], body: dict[str, Any], day: Day, cards: Mapping[str, MixCard | None]) -> Job:
    body.pop("head")
    mixes = tuple(card for key in head["mixes"] if (card := cards[key]) is not None)
    body["conditions"] = _at_work(body["conditions"], body["practice"])
    start = body["conditions"][0].at if head["start"] is None else head["start"]
    return Job(
        name=head["name"],
        date=day.date.isoformat(),
        zone=day.zone,
        units=head["units"],
        currency=head["currency"],
        start=start,
        mixes=mixes,
        **body,
    )


def _at_work(rows: Sequence[ForecastRow], practice: Practice) -> tuple[ForecastRow, ...]:
    """Rows that state a weather station's wind get the share of it that reaches the work."""
    share = practice["evaporation.station_share"]
    return tuple(
        row if row.station_ms is None else replace(row, wind_ms=row.station_ms * share) for row in rows
    )


def _one_wind(values: dict[str, Any]) -> Iterator[Fault]:
    """Wind is stated once: at the work, or by a station."""
    if (values["wind_ms"] is None) == (values["station_ms"] is None):
        yield "wind", "either the wind at the work, or station_wind"


def _row(values: dict[str, Any]) -> ForecastRow:
    return ForecastRow(**values | {"wind_ms": values["wind_ms"] or 0.0})


def _expected(values: dict[str, Any], zone: str) -> ExpectedDay:
    """A day of the season left, at the time of day at which it is warmest."""
    warmest = datetime.datetime.combine(values.pop("day"), WARMEST, ZoneInfo(zone))
    return ExpectedDay(at=warmest.timestamp(), **values)


def _start(given: str | None, day: Day, page: Page) -> Any:
    return None if given is None else _clock(day).take(given, "job.start", page)


def _clock(day: Day) -> Reader:
    """A time of day on the job's date, as seconds since 1970 UTC."""

    def read(value: Any) -> float:
        if not isinstance(value, str):
            raise ValueError
        return units.moment(value, day.date, day.zone)

    return simple(units.CLOCK_ACCEPTED, read)


def _take_zone(value: Any, where: str, page: Page) -> Any:
    try:
        if isinstance(value, str) and 0 < len(value) < 64 and value not in MACHINE_ZONES:
            return ZoneInfo(value).key
    except (KeyError, ValueError, OSError):
        pass
    given = value if isinstance(value, str) else ""
    return page.fault(where, tables.shown(value), ZONE.accepts, sorted(available_timezones()), given)


def _shape(values: dict[str, Any]) -> Iterator[Fault]:
    """One way of saying how large a pour is, and that one whole."""
    rectangle = [key for key in ("length_m", "width_m") if values[key] is not None]
    ways = bool(rectangle) + (values["area_m2"] is not None) + bool(values["outline_m"])
    if ways != 1:
        yield "", "either length and width, or area, or outline"
    elif len(rectangle) == 1:
        missing = "width" if rectangle == ["length_m"] else "length"
        yield missing, "length and width, both"
    elif values["outline_m"] and not is_simple(without_return(values["outline_m"])):
        yield (
            "outline",
            "at least three corners in order along the edge, so that the line does not cross or touch itself",
        )
    elif not SMALLEST_M2 <= _area_m2(values) <= LARGEST_M2:
        yield "", units.between("area", SMALLEST_M2, LARGEST_M2)


def _area_m2(values: dict[str, Any]) -> float:
    if values["outline_m"]:
        return area_m2(without_return(values["outline_m"]))
    if values["area_m2"] is not None:
        return float(values["area_m2"])
    return float(values["length_m"] * values["width_m"])


def _pour(values: dict[str, Any]) -> Pour:
    outline = without_return(values["outline_m"])
    return Pour(**values | {"area_m2": _area_m2(values), "outline_m": outline})


def _bags(keys: Sequence[str]) -> Reader:
    """A number of the job's one mix, or a table by mix; nothing is said of a job whose mixes are not known."""
    one = number(0, 10_000)

    def take(value: Any, where: str, page: Page) -> Any:
        if not keys:
            return ()
        if not isinstance(value, dict):
            if len(keys) > 1:
                return page.fault(
                    where, tables.shown(value), "a table by mix: the job has " + ", ".join(keys)
                )
            return ((keys[0], one.take(value, where, page)),)
        for key in value:
            if key not in keys:
                page.fault(tables.joined(where, key), tables.shown(value[key]), "a mix of the job", keys, key)
        taken = [(key, one.take(n, tables.joined(where, key), page)) for key, n in value.items()]
        return tuple(taken)

    return Reader("a number of bags, or a table of them by mix", take)


def _body(day: Day, values: Sequence[Value], keys: Sequence[str]) -> Schema:
    """Everything but the head, whose date and zone the times need."""
    shipped = as_practice({value.key: value.number for value in values})
    clock, zone = _clock(day), day.zone
    return {
        "job": may("head", simple("a table", lambda value: value)),
        "conditions": need(
            "conditions",
            rows(mapped(record(dict, {"at": need("at", clock), **ROW}, _one_wind), _row), 1, 200),
        ),
        "materials": may("materials", record(Materials, MATERIALS), Materials()),
        "people": need("people", rows(record(Person, PERSON), 1, MOST_PEOPLE)),
        "stations": need("stations", rows(record(Station, STATION), 1, MOST_PEOPLE)),
        "times": need("times", record(Times, TIMES)),
        "stock": need("stock", record(Stock, {"bags": need("bags", _bags(keys)), **STOCK})),
        "pours": need("pours", rows(mapped(record(dict, POUR, _shape), _pour), 1, MOST_POURS)),
        "practice": may("practice", take_changes(values), shipped),
        "targets": may(
            "targets", rows(record(Target, {**TARGET, "by": need("by", clock)}), 0, MOST_POURS), ()
        ),
        "deadlines": may(
            "deadlines", rows(record(Deadline, {**DEADLINE, "at": need("at", clock)}), 0, 20), ()
        ),
        "expected": may(
            "expected", rows(mapped(record(dict, EXPECTED), lambda day: _expected(day, zone)), 0, 400), ()
        ),
    }


ZONE = Reader('an IANA time zone such as "America/Chicago"', _take_zone)
length = partial(quantity, "length")
duration = partial(quantity, "duration", 0.0, 3600.0)
stroke = partial(quantity, "stroke", 1.0, 20_000.0)
ident = partial(word, LONGEST_ID)
path = partial(text, 200)

PACKETS = number(0, 20, step=0.5)
MEASURED: dict[str, Reader] = {  # what is forecast or read on site
    "air": quantity("temperature", -50.0, 60.0),
    "slab": quantity("temperature", -50.0, 90.0),
    "surface": quantity("temperature", -50.0, 90.0),
    "bags": quantity("temperature", -50.0, 90.0),
    "water": quantity("temperature", 0.0, 100.0),
    "mix": quantity("temperature", -10.0, 100.0),
    "ice": quantity("mass", 0.0, 50.0),
    "humidity": number(0, 100, scale=0.01),
    "wind": quantity("speed", 0.0, 50.0),
    "station": quantity("speed", 0.0, 50.0),
    "sun": flag(),
}

HEAD: Schema = {
    "name": need("name", text(80)),
    "date": may("date", tables.day(FIRST_DAY, LAST_DAY)),
    "start": may("start", simple(units.CLOCK_ACCEPTED, lambda value: value)),
    "time_zone": need("zone", ZONE),
    "units": need("units", choice(*units.SYSTEMS)),
    "mixes": need("mixes", mapped(many(path(), 1, 20), lambda entries: tuple(map(mix_key, entries)))),
    "learned": may("learned", many(path(), 0, 20), ()),
    "currency": may("currency", word(8), ""),
}
ROW: Schema = {
    "air": need("air_c", MEASURED["air"]),
    "slab": may("slab_c", MEASURED["slab"]),
    "humidity": need("humidity", MEASURED["humidity"]),
    "wind": may("wind_ms", MEASURED["wind"]),
    "station_wind": may("station_ms", MEASURED["station"]),
    "sun": need("sun", MEASURED["sun"]),
}
DEADLINE: Schema = {"what": need("what", choice("rain", "shade", "dark", "quitting"))}
EXPECTED: Schema = {
    "day": need("day", tables.day(FIRST_DAY, LAST_DAY)),
    "surface": need("surface_c", MEASURED["surface"]),
    "humidity": need("humidity", MEASURED["humidity"]),
    "rain": need("rain", flag()),
}
MATERIALS: Schema = {
    "bags": may("bags_c", MEASURED["bags"]),
    "water": may("water_c", MEASURED["water"]),
    "ice": may("ice_kg", MEASURED["ice"], 0.0),
}
PERSON: Schema = {
    "id": need("id", ident()),
    "does": need("does", many(choice("mix", "place", "finish"), 1, 3)),
}
STATION: Schema = {
    "id": need("id", ident()),
    "vessel": need("vessel", text(40)),
    "bags_per_batch": may("bags_per_batch", number(0.5, 20, step=0.5), 1.0),
    "hands": may("hands", whole(1, MOST_PEOPLE), 1),
}
TIMES: Schema = {
    **{key: need(f"{key}_s", duration()) for key in ("load", "carry", "tip", "rinse", "walk", "strike_off")},
    **{key: need(f"{key}_s_m2", stroke()) for key in ("float", "first_trowel", "second_trowel", "broom")},
    "edge": may("edge_s", duration()),
}
STOCK: Schema = {
    "packets": need("packets", number(0, 10_000, step=0.5)),
    "vessels": need("vessels", whole(0, 1000)),
}
POUR: Schema = {
    "id": need("id", ident()),
    "where": may("where", text(80), ""),
    "length": may("length_m", length(0.01, 100.0)),
    "width": may("width_m", length(0.01, 100.0)),
    "area": may("area_m2", quantity("area", SMALLEST_M2, LARGEST_M2)),
    "outline": may("outline_m", many(many(length(-100.0, 100.0), 2, 2), 3, MOST_POINTS), ()),
    "depths": need("depths_m", many(length(0.001, 1.0), 1, MOST_POINTS)),
    "edges": may("edges", choice("sawn", "chipped"), "sawn"),
    "finish": need("finish", choice("trowel", "broom", "float")),
    "use": may("use", choice("walk", "ramp", "landing", "step", "floor"), "walk"),
    "mix": may("mix", text(80), ""),
    "packets": may("packets", PACKETS),
    "after": may("after", many(ident(), 0, MOST_POURS), ()),
    "visit": may("visit", whole(1, 20), 1),
    "shares": may("shares", ident(), ""),
    "slab": may("slab_m", length(0.01, 10.0)),
    "carried": may("carried", choice("ground", "suspended"), "ground"),
    "steel_bare": may("steel_bare", quantity("share", 0.0, 1.0)),
}
TARGET: Schema = {
    "pours": need("pours", many(ident(), 1, MOST_POURS)),
    "open_to": need("open_to", choice("feet", "wheels")),
}
