"""Two pours or days as text: the figures side by side, then batch by batch what differs and why, then what was missed."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from typing import Any, cast
from zoneinfo import ZoneInfo

from engine.units import System, show_duration, show_speed, show_temperature
from tui.speech import Speech, Table, points

NAMED, VALUE = 26, 24
MISSING = "-"


def compared_text(found: Table) -> str:
    """What `compare` prints without `--json`."""
    return "\n".join(_lines(found, cast(System, found["units"])))


def _lines(found: Table, system: System) -> Iterator[str]:
    first, second = found["sides"]
    yield _row("", _name(first), _name(second))
    for name, told in _figures(system):
        yield _row(name, told(first), told(second))
    yield from points(found["notes"])
    for pair in found["pairs"]:
        yield ""
        yield from _pair(pair, first, second)
    for side in found["sides"]:
        yield ""
        yield from _missed(side)


def _row(name: str, first: str, second: str) -> str:
    return f"{name:<{NAMED}}{first:>{VALUE}}{second:>{VALUE}}"


def _name(side: Table) -> str:
    """The end of a log's name, its pour, and whether it was a made-up day."""
    log = str(side["log"]).rpartition("/")[2]
    pour = f" {side['pour']}" if side["pour"] else ""
    made_up = "REHEARSAL " if side.get("rehearsal") else ""
    room = VALUE - 2 - len(pour) - len(made_up)
    return made_up + (log if len(log) <= room else log[: room - 2] + "..") + pour


def _figures(system: System) -> Iterator[tuple[str, Callable[[Table], str]]]:
    """A name and how a side tells it."""

    def condition(key: str, told: Callable[[float], str]) -> Callable[[Table], str]:
        return lambda side: _told(side["conditions"][key], told)

    def degrees(value_c: float) -> str:
        return show_temperature(value_c, system)

    yield "date", lambda side: str(side["date"])
    yield "first water", lambda side: _speech(side, system).clock(side["first_water"], seconds=True)
    yield "to the last stroke", lambda side: _told(side["length_s"], show_duration)
    yield "bags, lost", lambda side: f"{side['bags']:g}, {side['bags_lost']:g}"
    yield "packets a bag", lambda side: _told(side["packets_per_bag"], lambda value: f"{value:.2g}")
    yield "rate factor", lambda side: f"{side['rate_factor']:.2f}"
    for key in ("air", "slab", "bags", "water", "mix"):
        yield key, condition(f"{key}_c", degrees)
    yield "humidity", condition("humidity", lambda value: f"{value:.0%}")
    yield "wind", condition("wind_m_s", lambda value: show_speed(value, system))
    yield "in the sun", condition("sun_part", lambda value: f"{value:.0%}")


def _speech(side: Table, system: System) -> Speech:
    return Speech(system, ZoneInfo(side["time_zone"]))


def _told(value: float | None, told: Callable[[float], str]) -> str:
    return MISSING if value is None else told(value)


def _pair(pair: Table, first: Table, second: Table) -> Iterator[str]:
    """Of two pours minutes from the water of each; the differences in words."""
    yield _row("after its water", pair["first"], pair["second"])
    if first["pour"]:
        yield from _beside(_batch(first, pair["first"]), _batch(second, pair["second"]))
    yield from points(one["text"] for one in pair["differences"])


def _beside(one: Table, other: Table) -> Iterator[str]:
    for name, key in (("tipped", "tipped_after_water_s"), ("workable until", "working_time_s")):
        yield _row(f"  {name}", _told(one[key], show_duration), _told(other[key], show_duration))
    beside = {done["pass"]: done for done in other["passes"]}
    for done in one["passes"]:
        yield from _pass(done, beside.get(done["pass"]))
    for name, key in (("feet", "feet_after_water_s"), ("wheels", "wheels_after_water_s")):
        yield _row(f"  {name}", _told(one[key], show_duration), _told(other[key], show_duration))


def _batch(side: Table, batch_id: str) -> Table:
    return next(batch for batch in side["batches"] if batch["id"] == batch_id)


def _pass(done: Table, beside: Table | None) -> Iterator[str]:
    name = done["pass"].replace("_", " ")
    yield _row(f"  {name}, from to", _window(done), _window(beside))
    yield _row("    due, done", _stamp(done), _stamp(beside))
    yield _row("    set age then", _age(done), _age(beside))


def _window(done: Table | None) -> str:
    if done is None:
        return MISSING
    ends: list[Any] = [done["open_after_water_s"], done["late_after_water_s"]]
    return " to ".join(_told(end, show_duration) for end in ends)


def _stamp(done: Table | None) -> str:
    if done is None:
        return MISSING
    return ", ".join(_told(done[f"{key}_after_water_s"], show_duration) for key in ("due", "done"))


def _age(done: Table | None) -> str:
    return MISSING if done is None else _told(done["set_age_min"], lambda age: show_duration(60.0 * age))


def _missed(side: Table) -> Iterator[str]:
    yield f"missed in {_name(side)}: " + (f"{len(side['missed'])}" if side["missed"] else "nothing")
    yield from points(one["text"] for one in side["missed"])
