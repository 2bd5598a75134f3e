"""Weather, slab and materials: forecast rows, readings, and what is in force where and when.

A forecast row is complete in itself, but a slab it leaves out states nothing while a slab reading stands. A site
reading replaces the forecast until the next row that states the quantity; a pour's own reading stands until the next
reading of that quantity for the pour or the site.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, field


@dataclass(frozen=True)
class ForecastRow:
    """One row of the job's `conditions`; `slab_c` None: as the air."""

    at: float
    air_c: float
    humidity: float  # 0 to 1
    wind_ms: float  # at the work
    sun: bool
    slab_c: float | None = None
    station_ms: float | None = None  # a weather station's wind, which `wind_ms` was reckoned from


@dataclass(frozen=True)
class Reading:
    """What was measured at one moment; `pour` empty for the site. None: not measured."""

    at: float
    pour: str = ""
    air_c: float | None = None
    slab_c: float | None = None
    humidity: float | None = None
    wind_ms: float | None = None
    sun: bool | None = None
    bags_c: float | None = None
    water_c: float | None = None
    ice_kg: float | None = None
    mix_c: float | None = None
    surface_c: float | None = None


@dataclass(frozen=True)
class Materials:
    """Temperatures of what goes into the vessel; None: as the air. Ice is part of the water, per bag."""

    bags_c: float | None = None
    water_c: float | None = None
    ice_kg: float = 0.0


@dataclass(frozen=True)
class Weather:
    """What acts on a patch's surface over a stretch of time."""

    air_c: float
    humidity: float
    wind_ms: float
    sun: bool


@dataclass(frozen=True)
class Site:
    """Forecast and readings of a day; answers what is in force for a pour at a time."""

    forecast: tuple[ForecastRow, ...]
    materials: Materials = Materials()
    readings: tuple[Reading, ...] = ()
    _from: dict[tuple[str, float], tuple[tuple[float, Weather], ...]] = field(
        default_factory=dict, init=False, repr=False, compare=False
    )  # what was asked before: a screen asks the same every second

    def _row(self, at: float) -> ForecastRow:
        rows = [row for row in self.forecast if row.at <= at]
        return rows[-1] if rows else self.forecast[0]

    def _read(self, quantity: str, pour: str, at: float) -> Reading | None:
        """The standing reading of a quantity, the pour's own or the site's, whichever came last."""
        for reading in reversed(self.readings):
            if reading.at <= at and reading.pour in ("", pour) and getattr(reading, quantity) is not None:
                return reading
        return None

    def _value(self, quantity: str, pour: str, at: float) -> float:
        row, reading = self._row(at), self._read(quantity, pour, at)
        stands = reading is not None and (reading.pour != "" or reading.at >= row.at or row.at > at)
        value = getattr(reading if stands else row, quantity)
        return float(value)

    def air_c(self, pour: str, at: float) -> float:
        return self._value("air_c", pour, at)

    def slab_c(self, pour: str, at: float) -> float:
        """Slab temperature in force; the air's where neither forecast nor reading states one."""
        row, reading = self._row(at), self._read("slab_c", pour, at)
        if reading is not None and (
            reading.pour != "" or row.slab_c is None or reading.at >= row.at or row.at > at
        ):
            return float(reading.slab_c or 0.0)
        return row.slab_c if row.slab_c is not None else self.air_c(pour, at)

    def weather(self, pour: str, at: float) -> Weather:
        value = self._value
        return Weather(
            value("air_c", pour, at),
            value("humidity", pour, at),
            value("wind_ms", pour, at),
            bool(value("sun", pour, at)),
        )

    def weather_from(self, pour: str, start: float) -> tuple[tuple[float, Weather], ...]:
        """The weather on a pour from `start` on, as (from when, weather), equal neighbours merged."""
        if (pour, start) not in self._from:
            self._from[pour, start] = merged(self._changes(pour, start))
        return self._from[pour, start]

    def _changes(self, pour: str, start: float) -> Iterator[tuple[float, Weather]]:
        changes = {row.at for row in self.forecast} | {r.at for r in self.readings if r.pour in ("", pour)}
        times = [start, *sorted(at for at in changes if at > start)]
        return ((at, self.weather(pour, at)) for at in times)

    def bags_c(self, pour: str, at: float) -> float:
        return self._material("bags_c", self.materials.bags_c, pour, at)

    def water_c(self, pour: str, at: float) -> float:
        return self._material("water_c", self.materials.water_c, pour, at)

    def ice_kg(self, pour: str, at: float) -> float:
        return self._material("ice_kg", self.materials.ice_kg, pour, at)

    def _material(self, quantity: str, planned: float | None, pour: str, at: float) -> float:
        reading = self._read(quantity, pour, at)
        if reading is not None:
            return float(getattr(reading, quantity))
        return planned if planned is not None else self.air_c(pour, at)

    def mix_readings(self, pour: str, after: float, until: float) -> tuple[tuple[float, float], ...]:
        """Readings of the mix in the vessel in (after, until], as (when, °C)."""
        here = [reading for reading in self.readings if reading.pour in ("", pour)]
        return tuple((r.at, r.mix_c) for r in here if r.mix_c is not None and after < r.at <= until)

    def mix_c(self, pour: str, at: float) -> float | None:
        """The mix reading that sets a batch started at `at`: none once bags or water were read after it."""
        mix = self._read("mix_c", pour, at)
        if mix is None:
            return None
        later = (self._read(quantity, pour, at) for quantity in ("bags_c", "water_c"))
        return None if any(r is not None and r.at > mix.at for r in later) else mix.mix_c


def merged(steps: Iterable[tuple[float, Weather]]) -> tuple[tuple[float, Weather], ...]:
    """Steps without those that change nothing."""
    kept: list[tuple[float, Weather]] = []
    for at, weather in steps:
        if not kept or kept[-1][1] != weather:
            kept.append((at, weather))
    return tuple(kept)


def forecast_only(rows: Sequence[ForecastRow]) -> Site:
    """A site without readings, for planning."""
    return Site(tuple(rows))
