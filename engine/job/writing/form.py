"""A job as somebody fills it in: frozen, everything but the patches as written; empty or None: not answered."""

from __future__ import annotations

from dataclasses import dataclass

from engine.job.model import OpenTo, Person
from engine.job.patch_line import Patch


@dataclass(frozen=True)
class Weather:
    """Read or forecast at a time of day. `humidity` in per cent."""

    at: str = ""
    air: str = ""
    slab: str = ""
    humidity: float | None = None
    wind: str = ""
    station_wind: str = ""
    sun: bool | None = None


@dataclass(frozen=True)
class Place:
    """Where is mixed, and in what."""

    id: str
    vessel: str = ""
    bags_per_batch: float | None = None
    hands: int | None = None


@dataclass(frozen=True)
class Promise:
    """Patches open by a time; without ids: all of them."""

    open_to: OpenTo
    by: str
    pours: tuple[str, ...] = ()


@dataclass(frozen=True)
class JobForm:
    """Site, day, weather, crew, trailer, patches and promises. Bags by mix key, "" for those of the one mix."""

    name: str = ""
    units: str = ""
    time_zone: str = ""
    date: str = ""
    start: str = ""
    currency: str = ""
    mixes: tuple[str, ...] = ()
    weather: tuple[Weather, ...] = ()
    bags_temperature: str = ""
    water_temperature: str = ""
    people: tuple[Person, ...] = ()
    stations: tuple[Place, ...] = ()
    times: tuple[tuple[str, str], ...] = ()
    bags: tuple[tuple[str, float], ...] = ()
    packets: float | None = None
    vessels: float | None = None
    patches: tuple[Patch, ...] = ()
    promises: tuple[Promise, ...] = ()
