"""A form as the table of a job file: what was answered as answered, the rest assumed and each of it told.

Assumed values are those of the shipped demo job and of `configs/practice.toml`, or what the format itself lets stand.
"""

from __future__ import annotations

import datetime
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from engine.job.model import Person, UnitSystem
from engine.job.patch_line import Patch
from engine.job.writing.form import JobForm, Place, Promise, Weather
from engine.job.writing.patches import names, patch_row
from engine.job.writing.questions import Assumed
from engine.mix.card import MixCard
from engine.words import say

Table = dict[str, Any]
FINISH = "broom"  # of most patches of the demo job, and never slippery


@dataclass(frozen=True)
class Offer:
    """A mix a job may name: its key, how the job file names its file, its card; `shipped`: an example, copied along."""

    key: str
    entry: str
    card: MixCard
    shipped: bool = False


@dataclass(frozen=True)
class Ground:
    """What a form stands on: the demo job's table, the least vessels of the practice, the mixes within reach.

    `zone` is the machine's, empty where it is not known; `broken` says of cards within reach why they cannot be read.
    """

    demo: Mapping[str, Any]
    least_vessels: int
    offers: tuple[Offer, ...]
    zone: str = ""
    broken: tuple[tuple[str, str], ...] = ()

    def offered(self, keys: tuple[str, ...]) -> tuple[Offer, ...]:
        """The mixes named, as far as there are any such; where none is named: one's own, or the examples."""
        if keys:
            return tuple(offer for key in dict.fromkeys(keys) for offer in self.offers if offer.key == key)
        own = tuple(offer for offer in self.offers if not offer.shipped)
        return own or self.offers


@dataclass
class Made:
    """A table being made, and what was assumed for it."""

    form: JobForm
    ground: Ground
    assumed: list[Assumed]

    @property
    def units(self) -> UnitSystem:
        return "metric" if self.form.units == "metric" else "us"

    def assume(self, where: str, sentence: str, **values: object) -> None:
        self.assumed.append(Assumed(where, say(f"form.assumed.{sentence}", **values)))


def job_table(form: JobForm, ground: Ground) -> tuple[Table, tuple[Assumed, ...]]:
    """The table of a form, and every value in it that the form does not give, in the order of the file.

    What nothing can stand for (name, zone, weather, patches) is left out where it is missing.
    """
    made = Made(form, ground, [])
    table: Table = {
        "job": _head(made),
        "conditions": [_weather(made, n, row) for n, row in enumerate(form.weather)],
        "materials": _materials(made),
        "people": [_person(made, n, person) for n, person in enumerate(_people(made))],
    }
    table["stations"] = [_station(made, n, place) for n, place in enumerate(_stations(made, table["people"]))]
    table |= {"times": _times(made), "stock": _stock(made, len(table["stations"]))}
    table["pours"] = _pours(made)
    table["targets"] = [_target(made, n, promise, table["pours"]) for n, promise in enumerate(form.promises)]
    return {key: value for key, value in table.items() if value}, tuple(made.assumed)


def _head(made: Made) -> Table:
    form = made.form
    if made.ground.zone and not form.time_zone:
        made.assume("job.time_zone", "time_zone", zone=made.ground.zone)
    if not form.units:
        made.assume("job.units", "units", units=made.units)
    if not form.date:
        made.assume("job.date", "date")
    if not form.start and form.weather:
        made.assume("job.start", "start")
    date = datetime.date.fromisoformat(form.date) if form.date else None
    head: Table = {"name": form.name, "date": date, "start": form.start}
    head |= {"time_zone": form.time_zone or made.ground.zone}
    head |= {"units": made.units, "mixes": _mixes(made), "currency": form.currency}
    return {key: value for key, value in head.items() if value}


def _mixes(made: Made) -> list[str]:
    offers = made.ground.offered(made.form.mixes)
    if not made.form.mixes:
        shipped = all(offer.shipped for offer in offers)
        keys = ", ".join(offer.key for offer in offers)
        made.assume("job.mixes", "examples" if shipped else "mixes", mixes=keys)
    return [offer.entry for offer in offers]


def _weather(made: Made, n: int, row: Weather) -> Table:
    """What a row does not say is that of the demo job at the same time of day; an unsaid slab is as warm as the air."""
    at = row.at or made.form.start or made.ground.demo["job"]["start"]
    like = _in_force(made.ground.demo["conditions"], at)
    wind = {"station_wind": row.station_wind} if row.station_wind else {"wind": row.wind or like["wind"]}
    wind |= {"wind": row.wind} if row.wind else {}
    humidity = _plain(like["humidity"] if row.humidity is None else row.humidity)
    sun = like["sun"] if row.sun is None else row.sun
    unsaid = {"at": not row.at, "slab": not row.slab, "humidity": row.humidity is None}
    unsaid |= {"wind": not (row.wind or row.station_wind), "sun": row.sun is None}
    values = {"at": at, "humidity": humidity, "wind": like["wind"]}
    for key in (key for key, is_so in unsaid.items() if is_so):
        sentence = ("sun" if sun else "shade") if key == "sun" else key
        made.assume(f"conditions[{n}].{key}", sentence, time=at, value=values.get(key, ""))
    measured = {"at": at, "air": row.air, "slab": row.slab, "humidity": humidity, **wind, "sun": sun}
    return {key: value for key, value in measured.items() if value != ""}


def _in_force(rows: list[Table], at: str) -> Table:
    """The last row at or before a time of day, else the first."""
    return next((row for row in reversed(rows) if _padded(row["at"]) <= _padded(at)), rows[0])


def _padded(at: str) -> str:
    return at.rjust(5, "0") if ":" in at[:2] else at


def _materials(made: Made) -> Table:
    form = made.form
    given = {"bags": form.bags_temperature, "water": form.water_temperature}
    for key in (key for key, value in given.items() if not value):
        made.assume(f"materials.{key}", f"{key}_temperature")
    return {key: value for key, value in given.items() if value}


def _people(made: Made) -> tuple[Person, ...]:
    if made.form.people:
        return made.form.people
    crew = tuple(Person(row["id"], tuple(row["does"])) for row in made.ground.demo["people"])
    told = "; ".join(f"{one.id} {' '.join(one.does)}" for one in crew)
    made.assume("people", "people", count=len(crew), people=told)
    return crew


def _person(made: Made, n: int, person: Person) -> Table:
    if not person.does:
        made.assume(f"people[{n}].does", "does", who=person.id)
    return {"id": person.id, "does": list(person.does or ("mix", "place", "finish"))}


def _stations(made: Made, people: list[Table]) -> tuple[Place, ...]:
    """Those told; else as many of the demo job's as there are people to mix."""
    if made.form.stations:
        return made.form.stations
    mixers = sum("mix" in person["does"] for person in people)
    rows = made.ground.demo["stations"][: max(1, mixers)]
    places = tuple(Place(row["id"], row["vessel"], float(row["bags_per_batch"])) for row in rows)
    made.assume("stations", "stations", count=len(places), vessel=places[0].vessel)
    return places


def _station(made: Made, n: int, place: Place) -> Table:
    vessel = place.vessel or made.ground.demo["stations"][0]["vessel"]
    if not place.vessel:
        made.assume(f"stations[{n}].vessel", "vessel", station=place.id, vessel=vessel)
    if place.bags_per_batch is None:
        made.assume(f"stations[{n}].bags_per_batch", "bags_per_batch", station=place.id)
    row: Table = {"id": place.id, "vessel": vessel}
    row |= {} if place.bags_per_batch is None else {"bags_per_batch": _plain(place.bags_per_batch)}
    return row | ({} if place.hands is None else {"hands": place.hands})


def _times(made: Made) -> Table:
    told, shipped = dict(made.form.times), made.ground.demo["times"]
    for key in shipped:
        if key not in told:
            made.assume(f"times.{key}", "time", what=say(f"form.time.{key}"), value=shipped[key])
    return {**shipped, **told}


def _stock(made: Made, stations: int) -> Table:
    form = made.form
    vessels = made.ground.least_vessels + stations if form.vessels is None else form.vessels
    unsaid = {"bags": not form.bags, "packets": form.packets is None, "vessels": form.vessels is None}
    for key in (key for key, is_so in unsaid.items() if is_so):
        made.assume(f"stock.{key}", f"stock_{key}", value=_plain(vessels))
    return {"bags": _bags(made), "packets": _plain(form.packets or 0.0), "vessels": _plain(vessels)}


def _bags(made: Made) -> Any:
    """A table by mix, or the number that was said."""
    bags = made.form.bags
    if bags and not bags[0][0]:
        return _plain(bags[0][1])
    keys = [offer.key for offer in made.ground.offered(made.form.mixes)]
    return {key: _plain(count) for key, count in bags} if bags else dict.fromkeys(keys, 0)


def _pours(made: Made) -> list[Table]:
    patches = made.form.patches
    named = names(patches)
    if any((patch.edges, patch.use) == ("sawn", "walk") for patch in patches):
        made.assume("pours", "patches")
    return [_pour(made, n, patch, name) for n, (patch, name) in enumerate(zip(patches, named, strict=True))]


def _pour(made: Made, n: int, patch: Patch, name: str) -> Table:
    if patch.finish is None:
        made.assume(f"pours[{n}].finish", "finish", pour=name)
    return patch_row(patch, name, patch.finish or FINISH, made.units)


def _target(made: Made, n: int, promise: Promise, pours: list[Table]) -> Table:
    if not promise.pours:
        made.assume(
            f"targets[{n}].pours", "all_pours", open_to=say(f"form.open_to.{promise.open_to}"), by=promise.by
        )
    ids = list(promise.pours) or [pour["id"] for pour in pours]
    return {"pours": ids, "open_to": promise.open_to, "by": promise.by}


def _plain(value: float) -> float | int:
    """A whole number without its point."""
    return int(value) if value == int(value) else value
