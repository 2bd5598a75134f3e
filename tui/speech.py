"""How plain values read on paper and in a terminal: times of day, quantities, lines of a width."""

from __future__ import annotations

import textwrap
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from datetime import datetime
from typing import Any, cast
from zoneinfo import ZoneInfo

from engine.units import System, show_temperature

WIDTH = 100
Table = dict[str, Any]


@dataclass(frozen=True)
class Speech:
    """The units and the zone of a job."""

    system: System
    zone: ZoneInfo

    def clock(self, iso: str | None, seconds: bool = False) -> str:
        """Local time of an ISO time; a dash where there is none."""
        if iso is None:
            return "-"
        return datetime.fromisoformat(iso).astimezone(self.zone).strftime("%H:%M:%S" if seconds else "%H:%M")

    def day_clock(self, iso: str | None) -> str:
        """Local day and time of an ISO time."""
        return (
            "-"
            if iso is None
            else datetime.fromisoformat(iso).astimezone(self.zone).strftime("%Y-%m-%d %H:%M")
        )

    def degrees(self, value_c: float | None) -> str:
        """A temperature; a dash where there is none."""
        return "-" if value_c is None else show_temperature(value_c, self.system)


def speech(table: Table) -> Speech:
    """Of a plan or a status."""
    return Speech(cast(System, table["units"]), ZoneInfo(table["time_zone"]))


def points(sentences: Iterable[str]) -> Iterator[str]:
    """Sentences as points of a list."""
    for sentence in sentences:
        yield textwrap.fill(sentence, WIDTH, initial_indent="- ", subsequent_indent="  ")


def conditions_lines(here: Table, spoken: Speech) -> Iterator[str]:
    """Conditions for the next bag: temperatures, drying, and what is outside a limit."""
    yield (
        f"for {here['for_pour']}: air {spoken.degrees(here['air_c'])}, slab {spoken.degrees(here['slab_c'])},"
        f" mix {spoken.degrees(here['mix_c'])}, bare patch up to {spoken.degrees(here['surface_c'])},"
        f" dew point {spoken.degrees(here['dew_point_c'])}"
    )
    yield from points([*here["water"], here["drying_advice"]])
    for finding in here["findings"]:
        changes = ", ".join(finding["would_change_it"])
        yield from points([f"{finding['text']} What would change it: {changes}."])


def promise_line(target: Table, spoken: Speech) -> str:
    """A promised opening and whether it is kept."""
    pours, word = ", ".join(target["pours"]), "kept" if target["met"] else "NOT KEPT"
    expected = spoken.clock(target["expected"])
    return f"{pours} open to {target['open_to']} by {spoken.clock(target['by'])}: expected {expected}, {word}"


def last_call_line(call: Table, spoken: Speech) -> str:
    """Until when the next bag of a pour keeps a promise, and what the queue makes of it."""
    clock = f"{call['what']} by {spoken.clock(call['by'])}"
    said = f"{call['pour']}: water by {spoken.clock(call['latest_water'])} keeps {clock}"
    if call["planned_water"] is None:
        return f"{said} (now {call['chance_now']:.0%})"
    said = f"{said} (planned {spoken.clock(call['planned_water'])}, {call['chance_as_planned']:.0%})"
    if call["take_before"]:
        said += f"; take it before {call['take_before']}, by {spoken.clock(call['decide_by'])}"
    return said


def visit_line(visit: Table) -> str:
    """A return visit on one line."""
    return f"{visit['day'] or 'no day yet':<12}{visit['title']}: {'; '.join(visit['tasks'])}"
