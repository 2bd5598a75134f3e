"""Thermometer readings on a patch: what each moved, beside what the clock would have said without it."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from typing import Any

from engine.pour.events import ReadingTaken
from engine.pour.openings import openings
from engine.pour.reckoning import Moment
from engine.pour.state import Batch
from engine.pour.times import iso
from engine.site.conditions import Reading
from engine.units import show_clock, show_temperature
from engine.words import Say, say


@dataclass(frozen=True)
class SurfaceRead:
    """One reading: on which batches it acts, what the column had on top before, and the next moment with and without.

    `what` is the next pass by set age on the youngest of them and the moment its `due`, or `feet` and the opening.
    """

    reading: Reading
    batches: tuple[str, ...]
    reckoned_c: float | None = None
    what: str = ""
    due: float | None = None
    due_without: float | None = None


def surface_reads(moment: Moment) -> Iterator[SurfaceRead]:
    """Every surface reading of the day, oldest first; one that acts on nothing is told with no batches."""
    for reading in moment.day.readings:
        if reading.surface_c is not None:
            yield _read(moment, reading)


def _read(moment: Moment, reading: Reading) -> SurfaceRead:
    on = [batch for batch in moment.day.batches if _acts(moment, reading, batch)]
    if not on:
        return SurfaceRead(reading, ())
    youngest = max(on, key=lambda batch: (batch.tipped_at or 0.0, batch.seq))
    kept = tuple(replace(r, surface_c=None) if r is reading else r for r in moment.day.readings)
    without = Moment(replace(moment.day, readings=kept), moment.at)
    what = _next(moment, youngest)
    return SurfaceRead(
        reading=reading,
        batches=tuple(batch.id for batch in on),
        reckoned_c=moment.trajectory(youngest).top_at(reading.at),
        what=what,
        due=_due(moment, youngest, what),
        due_without=_due(without, youngest, what),
    )


def _acts(moment: Moment, reading: Reading, batch: Batch) -> bool:
    tipped_at = batch.tipped_at
    if batch.pour != reading.pour or tipped_at is None:
        return False
    return any(at == reading.at for at, _ in moment.surfaces(batch, tipped_at))


def _next(moment: Moment, batch: Batch) -> str:
    """The next pass whose window is one of set age: most cards let the float follow the tip by the clock."""
    by_clock = moment.card(batch.pour).passes.float is None
    ahead = (name for name in moment.passes(batch) if not (name == "float" and by_clock))
    return next((name for name in ahead if not batch.settled(name)), "feet")  # type: ignore[arg-type]


def _due(moment: Moment, batch: Batch, what: str) -> float | None:
    window = moment.windows(batch).get(what)
    return window.due if window else openings(moment, moment.day.pour(batch.pour)).feet


def surface_answers(moment: Moment, body: ReadingTaken) -> tuple[Say, ...]:
    """What the surface reading just taken moved. `moment` already holds it."""
    if body.surface_c is None:
        return ()
    read = list(surface_reads(moment))[-1]
    if not read.batches:
        return (say("surface.no_column" if body.pour else "surface.no_pour", pour=body.pour),)
    units, zone = moment.job.units, moment.job.zone
    reckoned = "-" if read.reckoned_c is None else show_temperature(read.reckoned_c, units)
    clocks = {
        name: "-" if at is None else show_clock(at, zone, seconds=True)
        for name, at in (("due", read.due), ("without", read.due_without))
    }
    key = "surface.feet" if read.what == "feet" else "surface.moved"
    stroke = read.what.replace("_", " ")
    return (say(key, reckoned=reckoned, stroke=stroke, batch=read.batches[-1], pour=body.pour, **clocks),)


def surface_table(moment: Moment) -> list[dict[str, Any]]:
    """As plain JSON values: `due` as the clock stands, `due_without` had this one reading not been taken."""
    return [
        {
            "at": iso(one.reading.at),
            "pour": one.reading.pour or None,
            "surface_c": one.reading.surface_c,
            "reckoned_c": one.reckoned_c,
            "batches": list(one.batches),
            "what": one.what or None,
            "due": iso(one.due),
            "due_without": iso(one.due_without),
        }
        for one in surface_reads(moment)
    ]
