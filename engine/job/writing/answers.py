"""Answers in lines to a form, every line by itself, and a form back to its lines."""

from __future__ import annotations

import datetime
from collections.abc import Callable, Sequence
from dataclasses import dataclass, field
from typing import Any, TypeVar

from engine.job.model import UnitSystem
from engine.job.writing import lines
from engine.job.writing.form import JobForm
from engine.job.writing.patches import patch_line, read_patch_line
from engine.job.writing.questions import JOB_PAGES, Answers, Fault, missing, one, told
from engine.tables import nearest
from engine.units import SYSTEMS

T = TypeVar("T")
TEXTS = ("name", "time_zone", "start", "currency")


@dataclass
class Heard:
    """What is being read: the answers, their faults, and which line each thing came from."""

    answers: Answers
    faults: list[Fault] = field(default_factory=list)
    places: dict[tuple[str, int], int] = field(default_factory=dict)

    def one(self, key: str, read: Callable[[str], T], nothing: T) -> T:
        """A single answer, or what stands for none."""
        number, text = next(told(self.answers, key), (0, ""))
        return self._read(key, number, text, read, nothing) if text else nothing

    def many(self, key: str, read: Callable[[str], T]) -> tuple[T, ...]:
        """The things of an answer's lines; a line with a fault tells of none."""
        found: list[T] = []
        for number, text in told(self.answers, key):
            if (thing := self._read(key, number, text, read, None)) is not None:
                self.places[key, len(found)] = number
                found.append(thing)
        return tuple(found)

    def _read(self, key: str, number: int, text: str, read: Callable[[str], T], nothing: Any) -> Any:
        try:
            return read(text)
        except ValueError as wrong:
            self.faults.append(Fault(key, number, str(wrong)))
            return nothing


@dataclass(frozen=True)
class Filled:
    """A form as far as its answers could be read, their faults, and the line of each thing."""

    form: JobForm
    faults: tuple[Fault, ...]
    places: dict[tuple[str, int], int]


def read_answers(answers: Answers, mixes: Sequence[str]) -> Filled:
    """The form that answers give; `mixes`: the keys of those within reach."""
    heard = Heard(answers, list(missing(JOB_PAGES, answers)))
    units: UnitSystem = "metric" if one(answers, "units").casefold() == "metric" else "us"
    form = JobForm(
        units=heard.one("units", _units, ""),
        date=heard.one("date", _date, ""),
        mixes=heard.one("mixes", lines.read_keys, ()),
        weather=heard.many("weather", lambda line: lines.read_weather(line, units)),
        bags_temperature=lines.with_unit(one(answers, "bags_temperature"), "temperature", units),
        water_temperature=lines.with_unit(one(answers, "water_temperature"), "temperature", units),
        people=heard.many("people", lines.read_person),
        stations=heard.many("stations", lines.read_station),
        times=heard.many("times", lambda line: lines.read_time(line, units)),
        bags=heard.one("bags", lines.read_bags, ()),
        packets=heard.one("packets", lines.number, None),
        vessels=heard.one("vessels", lines.number, None),
        patches=heard.many("patches", lambda line: read_patch_line(line, units, mixes)),
        promises=heard.many("promises", lines.read_promise),
        **{key: one(answers, key) for key in TEXTS},
    )
    _told_once(form, heard)
    return Filled(form, tuple(heard.faults), heard.places)


def _told_once(form: JobForm, heard: Heard) -> None:
    for n, (key, _) in enumerate(form.times):
        if key in dict(form.times[:n]):
            heard.faults.append(Fault("times", heard.places["times", n], f"{key} is told twice"))


def _units(text: str) -> str:
    if text.casefold() not in SYSTEMS:
        near = nearest(text.casefold(), SYSTEMS)
        raise ValueError("us or metric" + (f"; nearest: {near}" if near else ""))
    return text.casefold()


def _date(text: str) -> str:
    try:
        return datetime.date.fromisoformat(text).isoformat()
    except ValueError:
        raise ValueError("a date as year-month-day, such as 2026-11-05") from None


def answers_of(form: JobForm) -> dict[str, tuple[str, ...]]:
    """The lines that read as this form; questions without an answer are left out."""
    units: UnitSystem = "metric" if form.units == "metric" else "us"
    counts = {key: getattr(form, key) for key in ("packets", "vessels")}
    found: dict[str, tuple[str, ...]] = {
        **{key: (getattr(form, key),) for key in (*TEXTS, "units", "date")},
        "mixes": (" ".join(form.mixes),),
        "bags": (lines.bags_line(form.bags),),
        "bags_temperature": (form.bags_temperature,),
        "water_temperature": (form.water_temperature,),
        **{key: ("" if count is None else f"{count:.12g}",) for key, count in counts.items()},
        "weather": tuple(map(lines.weather_line, form.weather)),
        "people": tuple(map(lines.person_line, form.people)),
        "stations": tuple(map(lines.station_line, form.stations)),
        "times": tuple(map(lines.time_line, form.times)),
        "patches": tuple(patch_line(patch, units) for patch in form.patches),
        "promises": tuple(map(lines.promise_line, form.promises)),
    }
    return {key: texts for key, texts in found.items() if any(texts)}
