"""One line a thing, read and written back: weather, people, stations, times, bags, promises.

Plain numbers are in the units of the job. Every reader raises `ValueError` with what is wrong, where, and an example.
"""

from __future__ import annotations

import difflib
import math
import re
from collections.abc import Iterable, Sequence
from typing import get_args

from engine.job.model import OpenTo, Person, Skill, UnitSystem
from engine.job.reader import TIMES
from engine.job.writing.form import Place, Promise, Weather

LONGEST = 200
PLAIN: dict[UnitSystem, dict[str, str]] = {
    "us": {"temperature": "degF", "speed": "mph", "stroke": "s/ft^2", "duration": "s"},
    "metric": {"temperature": "degC", "speed": "km/h", "stroke": "s/m^2", "duration": "s"},
}
MEASURES = {"air": "temperature", "slab": "temperature", "wind": "speed", "station_wind": "speed"}
SAME = {"station": "station_wind", "humid": "humidity", "rh": "humidity"}
FLAGS = {"sun": True, "shade": False}
STROKES = ("float", "first_trowel", "second_trowel", "broom")
_NUMBER = r"-?(?:[0-9]+(?:\.[0-9]+)?|\.[0-9]+)"
_UNIT = re.compile(r"deg[FC]|°?[FCfc]|K|%|mph|km/h|m/s|ft/s")
_STATION = re.compile(
    rf"(\S+)(?: +(.*?))??(?: +({_NUMBER}) bags?(?: a batch)?)?(?: +({_NUMBER}) hands?)?", re.ASCII
)


def with_unit(text: str, kind: str, units: UnitSystem) -> str:
    """A quantity as the file wants it: a plain number gets the job's unit, `54F` its degrees in full."""
    text = " ".join(text.split())
    if re.fullmatch(_NUMBER, text):
        return f"{text} {PLAIN[units][kind]}"
    if kind == "temperature":
        return re.sub(r"(?<=[0-9]) ?°?([FCfc])$", lambda found: f" deg{found[1].upper()}", text)
    return text


def number(text: str) -> float:
    """A plain number of an answer."""
    if not re.fullmatch(_NUMBER, text.strip(), re.ASCII) or not math.isfinite(float(text)):
        raise ValueError(f'"{text}" is not a plain number, such as 12')
    return float(text)


def read_weather(line: str, units: UnitSystem) -> Weather:
    """Of `08:00 air 54 slab 57 humidity 68 wind 2 sun`; `station` in place of `wind` for a weather station's."""
    words = _words(line)
    given: dict[str, object] = {"at": words.pop(0)} if words and ":" in words[0] else {}
    while words:
        word = words.pop(0)
        key = SAME.get(word.casefold(), word.casefold())
        name = "sun" if key in FLAGS else key
        if name in given:
            raise ValueError(f'"{word}" is said twice')
        given[name] = FLAGS[key] if key in FLAGS else _measured(word, key, words, units)
    return Weather(**given)  # type: ignore[arg-type]


def _measured(word: str, key: str, words: list[str], units: UnitSystem) -> object:
    if key not in (*MEASURES, "humidity"):
        raise ValueError(_unknown(word, (*MEASURES, *SAME, "humidity", *FLAGS)))
    if not words or words[0].casefold() in (*MEASURES, *SAME, *FLAGS, "humidity"):
        raise ValueError(f'a number is missing after "{word}"')
    text = words.pop(0)
    if words and _UNIT.fullmatch(words[0]):
        text = f"{text} {words.pop(0)}"
    return number(text.rstrip("% ")) if key == "humidity" else with_unit(text, MEASURES[key], units)


def weather_line(row: Weather) -> str:
    """The line that reads as this row."""
    parts = [row.at, *_said("air", row.air), *_said("slab", row.slab)]
    parts += _said("humidity", "" if row.humidity is None else f"{row.humidity:.12g}")
    parts += [*_said("wind", row.wind), *_said("station", row.station_wind)]
    parts += [] if row.sun is None else ["sun" if row.sun else "shade"]
    return " ".join(part for part in parts if part)


def _said(word: str, value: str) -> tuple[str, ...]:
    return (word, value) if value else ()


def read_person(line: str) -> Person:
    """Of `Lead place finish`; without a word of work the person does all of it."""
    name, *words = _words(line)
    known: tuple[Skill, ...] = get_args(Skill)
    for word in words:
        if word not in known:
            raise ValueError(_unknown(word, known))
    return Person(name, tuple(skill for skill in known if skill in words))


def person_line(person: Person) -> str:
    return " ".join((person.id, *person.does))


def read_station(line: str) -> Place:
    """Of `S1 5 gal bucket, 1 bag, 2 hands`; all but the id may be left out."""
    found = _STATION.fullmatch(" ".join(_words(line)))
    if found is None:
        raise ValueError(
            "a station is an id, a vessel, bags a batch and hands: S1 5 gal bucket, 1 bag, 1 hand"
        )
    bags, hands = (None if text is None else number(text) for text in (found[3], found[4]))
    if hands is not None and hands != int(hands):
        raise ValueError("hands are a whole number of people")
    return Place(found[1], (found[2] or "").strip(), bags, None if hands is None else int(hands))


def station_line(place: Place) -> str:
    bags = "" if place.bags_per_batch is None else _counted(place.bags_per_batch, "bag")
    hands = "" if place.hands is None else _counted(place.hands, "hand")
    return ", ".join(part for part in (f"{place.id} {place.vessel}".strip(), bags, hands) if part)


def _counted(count: float, thing: str) -> str:
    return f"{count:.12g} {thing}" + ("" if count == 1 else "s")


def read_time(line: str, units: UnitSystem) -> tuple[str, str]:
    """Of `carry 30 s` or `first trowel 12`: seconds, for strokes seconds an area."""
    found = re.fullmatch(r"([A-Za-z_ ]+?) +([0-9.].*)", line)
    if found is None:
        raise ValueError("a time is what takes it and how long: carry 30 s")
    key = re.sub("[ _]+", "_", found[1].casefold())
    if key not in TIMES:
        raise ValueError(_unknown(key, tuple(TIMES)))
    return key, with_unit(found[2], "stroke" if key in STROKES else "duration", units)


def time_line(time: tuple[str, str]) -> str:
    return f"{time[0].replace('_', ' ')} {time[1]}"


def read_bags(line: str) -> tuple[tuple[str, float], ...]:
    """Of `16`, or `small-stone 16 sanded 5`."""
    words = _words(line)
    if len(words) == 1:
        return (("", number(words[0])),)
    if len(words) % 2:
        raise ValueError("bags are one number, or each mix with its number: small-stone 16 sanded 5")
    pairs = tuple((key, number(count)) for key, count in zip(words[::2], words[1::2], strict=True))
    if len({key for key, _ in pairs}) < len(pairs):
        raise ValueError("a mix is named twice")
    return pairs


def bags_line(bags: Iterable[tuple[str, float]]) -> str:
    return " ".join(f"{key} {count:.12g}".strip() for key, count in bags)


def read_promise(line: str) -> Promise:
    """Of `wheels by 15:00 P1 P2`; without ids: every patch."""
    kind, *words = _words(line)
    known: tuple[OpenTo, ...] = get_args(OpenTo)
    open_to = next((one for one in known if one == kind.casefold()), None)
    if open_to is None:
        raise ValueError(_unknown(kind, known))
    if words and words[0] == "by":
        words.pop(0)
    if not words:
        raise ValueError("the time is missing: wheels by 15:00 P1 P2")
    return Promise(open_to, words[0], tuple(words[1:]))


def promise_line(promise: Promise) -> str:
    return " ".join((promise.open_to, "by", promise.by, *promise.pours))


def read_keys(line: str) -> tuple[str, ...]:
    """Names, with spaces or commas between."""
    return tuple(_words(line))


def _words(line: str) -> list[str]:
    """Raises `ValueError` for a line too long to be meant."""
    if len(line) > LONGEST:
        raise ValueError(f"a line of at most {LONGEST} characters")
    return re.sub(r"(?<![0-9]),|,(?![0-9])", " ", line).split()


def _unknown(word: str, known: Sequence[str]) -> str:
    near = difflib.get_close_matches(word.casefold(), known, 1)
    nearest = f"; nearest: {near[0]}" if near else ""
    return f'"{word}" is not known here{nearest}; known: {", ".join(known)}'
