"""Values of the table as people of the job write them: local times, its units, whole words."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from typing import Any, cast
from zoneinfo import ZoneInfo

from engine.units import System, show_duration, show_length, show_temperature, show_water
from engine.words import Words

NOTHING = "–"
Table = dict[str, Any]


@dataclass(frozen=True)
class Shown:
    """The units, the zone, the day and the words of a report."""

    system: System
    zone: ZoneInfo
    date: str
    words: Words

    def local(self, iso: str) -> datetime:
        return datetime.fromisoformat(iso).astimezone(self.zone)

    def at(self, iso: str) -> float:
        """Log time of an ISO time."""
        return datetime.fromisoformat(iso).timestamp()

    def clock(self, iso: str | None, seconds: bool = False) -> str:
        """Local time; with its date where that is not the job's."""
        if iso is None:
            return NOTHING
        local = self.local(iso)
        time = local.strftime("%H:%M:%S" if seconds else "%H:%M")
        return time if local.date().isoformat() == self.date else f"{local.date().isoformat()} {time}"

    def day(self, iso: str | None) -> str:
        """Local date."""
        return NOTHING if iso is None else self.local(iso).date().isoformat()

    def stamp(self, iso: str | None) -> str:
        return self.clock(iso, seconds=True)

    def warmth(self, value_c: float) -> float:
        """The number of a temperature, for a scale."""
        return value_c * 1.8 + 32.0 if self.system == "us" else value_c

    @property
    def warmth_unit(self) -> str:
        return "°F" if self.system == "us" else "°C"

    @property
    def speed_unit(self) -> str:
        return "mph" if self.system == "us" else "km/h"

    def degrees(self, value_c: float | None) -> str:
        return NOTHING if value_c is None else show_temperature(value_c, self.system)

    def length(self, value_m: float | None) -> str:
        return NOTHING if value_m is None else show_length(value_m, self.system)

    def water(self, value_l: float | None) -> str:
        return NOTHING if value_l is None else show_water(value_l, self.system)

    def lasts(self, value_s: float | None) -> str:
        """Minutes and seconds."""
        return NOTHING if value_s is None else show_duration(value_s)

    def word(self, key: str) -> str:
        """A fixed word of the report."""
        return self.words(f"report.{key}")

    def says(self, family: str, name: str | None) -> str:
        """Words of the engine as the catalogue says them; a dash where there is none."""
        return NOTHING if not name else self.words.of_family(family, name)


def shown(table: Table, words: Words) -> Shown:
    """Of a report's table."""
    return Shown(cast(System, table["units"]), ZoneInfo(table["time_zone"]), table["date"], words)


def number(value: float | None) -> str:
    return NOTHING if value is None else f"{value:g}"
