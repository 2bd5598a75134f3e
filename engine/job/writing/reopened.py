"""A job file back to the form that writes it; what the form would lose of it is found before anything is written."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import replace
from typing import Any

from engine.job.model import Job, Person
from engine.job.reader import mix_key
from engine.job.writing.form import JobForm, Place, Promise, Weather
from engine.job.writing.patches import patch_of
from engine.job.writing.table import Ground, job_table
from engine.mix.card import MixCard
from engine.plain import to_plain

Table = Mapping[str, Any]
SAME = 1e-9  # what a length loses on its way through inches and back


def form_of(table: Table, job: Job, assumed: Iterable[str], ground: Ground) -> JobForm:
    """The form of a job file that reads without a problem; `assumed`: key paths that its head says nobody gave.

    A value said to be assumed is no answer as long as it is still what would be assumed.
    """
    form, whole = _all_told(table, job), None
    for where in assumed:
        whole = whole or job_table(form, ground)[0]
        fewer = _without(form, where)
        if fewer != form and job_table(fewer, ground)[0] == whole:
            form = fewer
    return form


def _all_told(table: Table, job: Job) -> JobForm:
    head, materials, stock = table["job"], table.get("materials", {}), table["stock"]
    bags = stock["bags"]
    return JobForm(
        name=head["name"],
        units=head["units"],
        time_zone=head["time_zone"],
        date=str(head.get("date", "")),
        start=head.get("start", ""),
        currency=head.get("currency", ""),
        mixes=tuple(map(mix_key, head["mixes"])),
        weather=tuple(map(_weather, table["conditions"])),
        bags_temperature=materials.get("bags", ""),
        water_temperature=materials.get("water", ""),
        people=tuple(Person(row["id"], tuple(row["does"])) for row in table["people"]),
        stations=tuple(map(_place, table["stations"])),
        times=tuple(table["times"].items()),
        bags=tuple((k, float(n)) for k, n in bags.items())
        if isinstance(bags, dict)
        else (("", float(bags)),),
        packets=float(stock["packets"]),
        vessels=float(stock["vessels"]),
        patches=tuple(map(patch_of, job.pours)),
        promises=tuple(
            Promise(row["open_to"], row["by"], tuple(row["pours"])) for row in table.get("targets", ())
        ),
    )


def _weather(row: Table) -> Weather:
    texts = {key: row.get(key, "") for key in ("at", "air", "slab", "wind", "station_wind")}
    return Weather(humidity=float(row["humidity"]), sun=row["sun"], **texts)


def _place(row: Table) -> Place:
    bags = row.get("bags_per_batch")
    return Place(row["id"], row["vessel"], None if bags is None else float(bags), row.get("hands"))


FIELDS: dict[str, tuple[str, Any]] = {
    "job.units": ("units", ""),
    "job.time_zone": ("time_zone", ""),
    "job.mixes": ("mixes", ()),
    "people": ("people", ()),
    "stations": ("stations", ()),
    "stock.bags": ("bags", ()),
    "stock.packets": ("packets", None),
    "stock.vessels": ("vessels", None),
}
ROWS: dict[str, tuple[str, str, Any]] = {
    "conditions.at": ("weather", "at", ""),
    "conditions.humidity": ("weather", "humidity", None),
    "conditions.wind": ("weather", "wind", ""),
    "conditions.sun": ("weather", "sun", None),
    "people.does": ("people", "does", ()),
    "stations.vessel": ("stations", "vessel", ""),
    "pours.finish": ("patches", "finish", None),
    "targets.pours": ("promises", "pours", ()),
}


def _without(form: JobForm, where: str) -> JobForm:
    """The form without its answer to a key path of the file."""
    table, _, key = where.partition(".")
    name, _, number = table.rstrip("]").partition("[")
    if where in FIELDS:
        field, nothing = FIELDS[where]
        return replace(form, **{field: nothing})
    if name == "times":
        return replace(form, times=tuple(time for time in form.times if time[0] != key))
    if f"{name}.{key}" in ROWS and number.isdecimal():
        field, part, nothing = ROWS[f"{name}.{key}"]
        rows = [
            replace(row, **{part: nothing}) if n == int(number) else row
            for n, row in enumerate(getattr(form, field))
        ]
        changed: dict[str, Any] = {field: tuple(rows)}
        return replace(form, **changed)
    return form


def lost(before: Job | MixCard, after: Job | MixCard) -> tuple[str, ...]:
    """Where two jobs, or two cards, differ: key paths of the facts that writing the one over the other would lose or change."""
    return tuple(dict.fromkeys(_differing(to_plain(before), to_plain(after), "")))


def _differing(one: Any, other: Any, where: str) -> Iterator[str]:
    if isinstance(one, dict) and isinstance(other, dict):
        for key in {**one, **other}:
            place = f"{where}.{key}" if where else key
            yield from _differing(one.get(key), other.get(key), place)
    elif isinstance(one, list) and isinstance(other, list) and len(one) == len(other):
        for n, (left, right) in enumerate(zip(one, other, strict=True)):
            yield from _differing(left, right, f"{where}[{n}]")
    elif not _same(one, other):
        yield where


def _same(one: Any, other: Any) -> bool:
    if isinstance(one, float) and isinstance(other, float):
        return math.isclose(one, other, rel_tol=SAME, abs_tol=SAME)
    return bool(one == other)
