"""What is called across a site and typed in one line: readings (`air 53 sun wind 6`), entries (`lot A123`), patches."""

from __future__ import annotations

import difflib
import re
import unicodedata
from collections.abc import Callable

from engine.job.model import UnitSystem
from engine.pour.asked import Refused
from engine.pour.events import ReadingTaken
from engine.pour.intents import AddPour, ForgetSign, FreeFactor, FreezeFactor, Intent, TakeReading, WriteDown
from engine.record.entries import Place, first_word, read_entry
from engine.words import say

_TOKEN = re.compile(r"[a-z]+|[-+]?\d+(?:[.,]\d+)?|%|°?[fc]\b")
_TEMPERATURES = {
    "air": "air_c",
    "slab": "slab_c",
    "surface": "surface_c",
    "bags": "bags_c",
    "bag": "bags_c",
    "water": "water_c",
    "mix": "mix_c",
}
_FLAGS = {"sun": True, "sunny": True, "shade": False, "shady": False, "cloud": False}
SPANISH = {
    "aire": "air",
    "losa": "slab",
    "superficie": "surface",
    "sacos": "bags",
    "saco": "bag",
    "agua": "water",
    "mezcla": "mix",
    "viento": "wind",
    "estacion": "station",
    "humedad": "humidity",
    "hielo": "ice",
    "sol": "sun",
    "soleado": "sunny",
    "sombra": "shade",
    "nublado": "cloud",
}
_UNITS = {"f": "us", "c": "metric"}
MOST_DIGITS = 6
LB_KG, MPH_MS, KMH_MS = 0.45359237, 0.44704, 1.0 / 3.6
COLDEST_C, HOTTEST_C, STRONGEST_MS, MOST_ICE_KG = -50.0, 99.0, 60.0, 20.0


def spoken(line: str, place: Place) -> Intent | Refused:
    """What a line asks to be written; a line that begins with no word of its own is one of readings."""
    word, _, rest = line.strip().partition(" ")
    if word.casefold() == "add":
        return added(rest, place.units, place.mixes)
    taught = _taught(line)
    if taught is not None:
        return taught
    if not first_word(line):
        return reading(line, place.pour, place.units)
    try:
        return WriteDown(read_entry(line, place))
    except ValueError as wrong:
        return Refused(say("refusal.entry", why=str(wrong)))


def added(line: str, units: UnitSystem, mixes: tuple[str, ...]) -> Intent | Refused:
    """A patch measured on site: `24x18 2.0 1.75 broom at side step`."""
    from engine.job.patch_line import read_patch

    try:
        return AddPour(read_patch(line, units, mixes))
    except ValueError as wrong:
        return Refused(say("refusal.entry", why=str(wrong)))


def _taught(line: str) -> Intent | Refused | None:
    """What is said of the clock's learning: `freeze`, `free`, `forget 2`; None for any other line."""
    word, *rest = line.casefold().split() or [""]
    if word == "forget":
        number = rest[0] if len(rest) == 1 else ""
        fits = number.isascii() and number.isdigit() and len(number) < MOST_DIGITS
        return ForgetSign(int(number)) if fits else Refused(say("refusal.forget_which"))
    kind = {"freeze": FreezeFactor, "free": FreeFactor}.get(word)
    if kind is None:
        return None
    return Refused(say("refusal.alone", word=word)) if rest else kind()


def reading(line: str, pour: str, units: UnitSystem) -> Intent | Refused:
    """What was read, plain numbers in the job's units; `53 F` or `12 C` names its own. English and Spanish words."""
    tokens = _TOKEN.findall(_without_accents(line.lower()).replace("=", " ").replace(";", " "))
    values: dict[str, float | bool] = {}
    while tokens:
        said = tokens.pop(0)
        word = SPANISH.get(said, said)
        if word in _FLAGS:
            values["sun"] = _FLAGS[word]
        elif word in _QUANTITIES or word in _TEMPERATURES:
            if not tokens or not _is_number(tokens[0]):
                return Refused(say("refusal.reading_number", word=said))
            number = float(tokens.pop(0).replace(",", "."))
            stated = _UNITS.get(tokens[0].strip("°")) if tokens else None
            if stated or (tokens and tokens[0] == "%"):
                tokens.pop(0)
            name, value, fits = _value(word, number, "us" if (stated or units) == "us" else "metric")
            if not fits:
                return Refused(say("refusal.reading_range", word=said, number=f"{number:g}"))
            values[name] = value
        else:
            known = [*_TEMPERATURES, *_QUANTITIES, *_FLAGS, *SPANISH]
            near = difflib.get_close_matches(said, known, 1)
            return Refused(say("refusal.reading_word", word=said, near=near[0] if near else ", ".join(known)))
    if not values:
        return Refused(say("refusal.no_reading"))
    return TakeReading(ReadingTaken(pour=pour, **values))  # type: ignore[arg-type]


def _without_accents(line: str) -> str:
    return "".join(sign for sign in unicodedata.normalize("NFD", line) if not unicodedata.combining(sign))


def _is_number(token: str) -> bool:
    return token[-1].isdigit()


def _value(word: str, number: float, units: UnitSystem) -> tuple[str, float, bool]:
    """Field, SI value, and whether it can be."""
    if word in _TEMPERATURES:
        celsius = (number - 32.0) / 1.8 if units == "us" else number
        return _TEMPERATURES[word], celsius, COLDEST_C <= celsius <= HOTTEST_C
    return _QUANTITIES[word](number, units)


def _wind(number: float, units: UnitSystem) -> tuple[str, float, bool]:
    speed = number * (MPH_MS if units == "us" else KMH_MS)
    return "wind_ms", speed, 0.0 <= speed <= STRONGEST_MS


def _humidity(number: float, _: UnitSystem) -> tuple[str, float, bool]:
    return "humidity", number / 100.0, 0.0 <= number <= 100.0


def _ice(number: float, units: UnitSystem) -> tuple[str, float, bool]:
    mass = number * (LB_KG if units == "us" else 1.0)
    return "ice_kg", mass, 0.0 <= mass <= MOST_ICE_KG


def _station(number: float, units: UnitSystem) -> tuple[str, float, bool]:
    """The wind of a weather station, ten metres up."""
    return "station_ms", *_wind(number, units)[1:]


_QUANTITIES: dict[str, Callable[[float, UnitSystem], tuple[str, float, bool]]] = {
    "wind": _wind,
    "station": _station,
    "humidity": _humidity,
    "ice": _ice,
}
