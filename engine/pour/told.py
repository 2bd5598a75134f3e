"""An event as a sentence: what the last line says, what undo takes back, what the list of a day reads."""

from __future__ import annotations

from dataclasses import asdict

from engine.job.model import UnitSystem
from engine.pour import events as e
from engine.pour.body import kind_of
from engine.pour.told_measured import values_of
from engine.pour.told_replanned import replanned_said
from engine.units import show_duration, show_mass, show_speed, show_temperature
from engine.words import Say, say


def told(event: e.Event, units: UnitSystem) -> Say:
    """The sentence of an event: key `line.` and its kind, with every word of its payload as a value."""
    values: dict[str, object] = {"who": event.who or "-"}
    body = event.body
    if isinstance(body, e.MEASURED):
        return say(f"line.{kind_of(body).replace(' ', '_')}", **values_of(body, units))
    if isinstance(body, e.DayOpened):
        return say("line.day_made_up" if body.made_up else "line.day_opened", job=body.job.name)
    if isinstance(body, e.LogJoined):
        gap = show_duration(body.first_at - body.last_at)
        return say("line.logs_at_once" if body.overlaps else "line.log_joined", log=body.log, gap=gap)
    if isinstance(body, e.REPLANNED):
        return replanned_said(body, units)
    for name, value in asdict(body).items():
        values[name] = _word(value).replace("_", " ") if name == "name" else _word(value)
    if isinstance(body, e.ReadingTaken):
        return say(
            "line.reading_of" if body.pour else "line.reading_taken",
            pour=body.pour,
            values=_reading(body, units),
        )
    if isinstance(body, e.FactorFrozen):
        values["value"] = f"{body.value:.2f}"
    if isinstance(body, e.StrokeDone | e.StrokeSkipped):
        values["stroke"] = body.name.replace("_", " ")
    return say(f"line.{kind_of(body).replace(' ', '_')}", **values)


def _word(value: object) -> str:
    if isinstance(value, float):
        return f"{value:g}"
    if isinstance(value, tuple):
        return ", ".join(str(item) for item in value)
    return "" if value is None else str(value)


def _reading(body: e.ReadingTaken, units: UnitSystem) -> str:
    read = [
        f"{name} {show_temperature(value, units)}"
        for name in ("air", "slab", "surface", "bags", "water", "mix")
        if (value := getattr(body, f"{name}_c")) is not None
    ]
    if body.ice_kg is not None:
        read.append(f"ice {show_mass(body.ice_kg, units)}")
    if body.humidity is not None:
        read.append(f"humidity {body.humidity:.0%}")
    if body.wind_ms is not None:
        read.append(f"wind {show_speed(body.wind_ms, units)}")
    if body.sun is not None:
        read.append("sun" if body.sun else "shade")
    return ", ".join(read)
