"""The gate before a coating: old enough, dry below, dry above, warm enough, rough enough. Which line fails, if one does.

The product's label goes first; these are practice values for where it is silent.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Literal

from engine.site.column import Numbers
from engine.site.humid import dew_point_c
from engine.words import Say, say

Coat = Literal["film", "sealer"]
LineName = Literal["age", "sheet test", "dew point", "rain", "surface", "grit", "ph"]
Word = Literal["met", "fails", "not read"]

GRAIN = 1e-6  # a reading this close to a limit is on it, whichever unit it was read in
AGE_KEYS: dict[Coat, str] = {"film": "coating.least_age", "sealer": "coating.sealer_age"}


@dataclass(frozen=True)
class SheetTest:
    """A taped plastic sheet (ASTM D4263): hours it was left on, and whether any damp showed under it."""

    taped_s: float
    damp: bool


@dataclass(frozen=True)
class CoatingReadings:
    """What was read at `at`; None: not read. Infinite dry times: no rain known before, none forecast after."""

    at: float
    tipped_at: float  # of the youngest batch
    ramp: bool
    coat: Coat = "film"
    label_age_s: float | None = None
    sheet: SheetTest | None = None
    surface_c: float | None = None
    air_c: float | None = None
    humidity: float | None = None
    dry_for_s: float | None = None
    dry_ahead_s: float | None = None
    grit: bool | None = None
    ph: float | None = None


@dataclass(frozen=True)
class Line:
    """One line of the gate; `value` and `limit` in SI where they are numbers, `key` the practice value."""

    name: LineName
    word: Word
    value: float | None = None
    limit: float | None = None
    key: str = ""


@dataclass(frozen=True)
class Gate:
    """All lines. It never says that a coating may go on: only whether no line stands against it."""

    lines: tuple[Line, ...]

    @property
    def failing(self) -> tuple[LineName, ...]:
        return tuple(line.name for line in self.lines if line.word == "fails")

    @property
    def missing(self) -> tuple[LineName, ...]:
        return tuple(line.name for line in self.lines if line.word == "not read")

    @property
    def clear(self) -> bool:
        return not self.failing and not self.missing


def gate(read: CoatingReadings, values: Numbers) -> Gate:
    """Every line that applies: grit only under a film on a ramp, pH only where it was read."""
    return Gate(tuple(_lines(read, values)))


def said(line: Line) -> Say:
    """What a line asks for, in words."""
    return say(f"coating.{line.name.replace(' ', '_')}")


def season_said(day: ExpectedDay | None) -> Say | None:
    """What to say where no expected day is left."""
    return say("coating.not_this_season") if day is None else None


def _lines(read: CoatingReadings, values: Numbers) -> Iterator[Line]:
    yield _age(read, values)
    yield _sheet(read.sheet, values)
    yield _dew(read, values)
    yield _rain(read, values)
    yield _surface(read.surface_c, values)
    if read.ramp and read.coat == "film":
        yield Line("grit", "not read" if read.grit is None else _word(read.grit))
    if read.ph is not None:
        yield _at_most("ph", read.ph, "coating.most_ph", values)


def ready_at(read: CoatingReadings, values: Numbers) -> float:
    """When the work is old enough."""
    return read.tipped_at + _least_age_s(read, values)


def _least_age_s(read: CoatingReadings, values: Numbers) -> float:
    return values[AGE_KEYS[read.coat]] if read.label_age_s is None else read.label_age_s


def _age(read: CoatingReadings, values: Numbers) -> Line:
    age_s, least_s = read.at - read.tipped_at, _least_age_s(read, values)
    key = AGE_KEYS[read.coat] if read.label_age_s is None else ""
    return Line("age", _word(age_s >= least_s), age_s, least_s, key)


def _sheet(sheet: SheetTest | None, values: Numbers) -> Line:
    """A dry sheet proves nothing before its hours are up; a damp one fails at once."""
    least_s, key = values["coating.sheet_test"], "coating.sheet_test"
    if sheet is None:
        return Line("sheet test", "not read", None, least_s, key)
    word: Word = "fails" if sheet.damp else "met" if sheet.taped_s >= least_s else "not read"
    return Line("sheet test", word, sheet.taped_s, least_s, key)


def _dew(read: CoatingReadings, values: Numbers) -> Line:
    key = "coating.over_dew_point"
    if read.surface_c is None or read.air_c is None or read.humidity is None:
        return Line("dew point", "not read", None, values[key], key)
    margin_k = dew_margin_k(read.surface_c, read.air_c, read.humidity)
    return Line("dew point", _word(margin_k >= values[key] - GRAIN), margin_k, values[key], key)


def dew_margin_k(surface_c: float, air_c: float, humidity: float) -> float:
    """How far a surface is above the dew point, in kelvin; without moisture in the air there is none to reach."""
    return surface_c - dew_point_c(air_c, humidity) if humidity > 0.0 else float("inf")


def _rain(read: CoatingReadings, values: Numbers) -> Line:
    """Dry for long enough before, and for long enough after."""
    for dry_s, key in ((read.dry_for_s, "coating.dry_before"), (read.dry_ahead_s, "coating.dry_after")):
        if dry_s is None or dry_s < values[key]:
            return Line("rain", "not read" if dry_s is None else "fails", dry_s, values[key], key)
    return Line("rain", "met", read.dry_for_s, values["coating.dry_before"], "coating.dry_before")


def _surface(surface_c: float | None, values: Numbers) -> Line:
    if surface_c is None:
        return Line("surface", "not read", None, values["coating.surface_least"], "coating.surface_least")
    if surface_c < values["coating.surface_least"] - GRAIN:
        return Line("surface", "fails", surface_c, values["coating.surface_least"], "coating.surface_least")
    return _at_most("surface", surface_c, "coating.surface_most", values)


def _at_most(name: LineName, value: float, key: str, values: Numbers) -> Line:
    return Line(name, _word(value <= values[key] + GRAIN), value, values[key], key)


def _word(holds: bool) -> Word:
    return "met" if holds else "fails"


@dataclass(frozen=True)
class ExpectedDay:
    """A day still to come: when it is warmest, the surface and the air's humidity (0 to 1) then, and whether it rains."""

    at: float
    surface_c: float
    humidity: float
    rain: bool


def first_day(days: Sequence[ExpectedDay], old_enough_at: float, values: Numbers) -> ExpectedDay | None:
    """The first expected day on which nothing foreseen stands against coating; None: not this season.

    Days are in order. Rain within the practice's hours before or after counts against a day.
    """
    return next((day for day in days if _fits(day, days, old_enough_at, values)), None)


def _fits(day: ExpectedDay, days: Sequence[ExpectedDay], old_enough_at: float, values: Numbers) -> bool:
    start, end = day.at - values["coating.dry_before"], day.at + values["coating.dry_after"]
    wet = any(other.rain for other in days if start <= other.at <= end)
    dew_k = dew_margin_k(day.surface_c, day.surface_c, day.humidity)  # air as warm as the surface
    warm = _surface(day.surface_c, values).word == "met"
    return day.at >= old_enough_at and not wet and warm and dew_k >= values["coating.over_dew_point"] - GRAIN
