"""An event as a sentence: what the last line says, what undo takes back, what the list of a day reads."""

from __future__ import annotations

from dataclasses import asdict

from engine.job.model import UnitSystem
from engine.pour import events as e
from engine.pour.body import kind_of
from engine.pour.measured import Ticked
from engine.pour.told_measured import listed, values_of
from engine.pour.told_replanned import replanned_said
from engine.units import show_duration, show_mass, show_speed, show_temperature
from engine.words import Say, amount, say


def told(event: e.Event, units: UnitSystem) -> Say:
    """The sentence of an event: key `line.` and its kind, with every word of its payload as a value."""
    values: dict[str, object] = {"who": event.who or "-"}
    body = event.body
    if isinstance(body, e.MEASURED):
        ago = "_ago" if isinstance(body, Ticked) and body.ago_s else ""
        return say(f"line.{kind_of(body).replace(' ', '_')}{ago}", **values_of(body, units))
    if isinstance(body, e.DayOpened):
        return say("line.day_made_up" if body.made_up else "line.day_opened", job=body.job.name)
    if isinstance(body, e.LogJoined):
        gap = show_duration(body.first_at - body.last_at)
        return say("line.logs_at_once" if body.overlaps else "line.log_joined", log=body.log, gap=gap)
    if isinstance(body, e.REPLANNED):
        return replanned_said(body, units)
    for name, value in asdict(body).items():
        values[name] = _word(name, value)
    if isinstance(body, e.ReadingTaken):
        return say(
            "line.reading_of" if body.pour else "line.reading_taken",
            pour=body.pour,
            values=_reading(body, units),
        )
    if isinstance(body, e.FactorFrozen):
        values["value"] = f"{body.value:.2f}"
    if isinstance(body, e.StrokeDone | e.StrokeSkipped):
        values["stroke"] = body.name
    return say(f"line.{kind_of(body).replace(' ', '_')}", **values)


def _word(name: str, value: object) -> str:
    if isinstance(value, float):
        return amount(value) if name in ("bags", "packets") else f"{value:g}"
    if isinstance(value, tuple):
        return ", ".join(str(item) for item in value)
    return "" if value is None else str(value)


def _reading(body: e.ReadingTaken, units: UnitSystem) -> Say | str:
    shown: dict[str, str] = {
        name: show_temperature(value, units)
        for name in ("air", "slab", "surface", "bags", "water", "mix")
        if (value := getattr(body, f"{name}_c")) is not None
    }
    if body.ice_kg is not None:
        shown["ice"] = show_mass(body.ice_kg, units)
    if body.humidity is not None:
        shown["humidity"] = f"{body.humidity:.0%}"
    if body.wind_ms is not None:
        shown["wind"] = show_speed(body.wind_ms, units)
    if body.sun is not None:
        shown["sun" if body.sun else "shade"] = ""
    return listed(shown)
