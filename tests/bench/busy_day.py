"""A log of a day at its fullest: twenty batches running, two hundred bags waiting, all of it moments ago."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path

from engine import PROGRAM
from engine.clock import Stamp, SystemClock
from engine.job.model import Job, Person
from engine.pour import events as e
from engine.pour.body import Body
from engine.record.lines import FIRST_HASH, encode
from engine.record.written import line_of
from tests.bench.long_day import long_job

RUNNING, WAITING, BAGS = 20, 200, 2  # batches; a pour takes so many
APART_S = 25.0  # from one water to the next
FLOAT_AFTER_S = 60.0  # from the tip
CREW = 6


def busy_job(running: int = RUNNING, waiting: int = WAITING) -> Job:
    """The library's first pour so often that so many batches run and wait, and hands for them."""
    job = long_job((running + waiting) // BAGS)
    wide = replace(job.pours[0], length_m=job.pours[0].length_m * BAGS, area_m2=job.pours[0].area_m2 * BAGS)
    pours = tuple(replace(wide, id=pour.id, where=pour.where) for pour in job.pours)
    hands = tuple(Person(f"F{n}", ("place", "finish")) for n in range(1, CREW + 1))
    mixers = tuple(person for person in job.people if "mix" in person.does)
    return replace(job, pours=pours, people=(*mixers, *hands))


def busy_events(job: Job, now: Stamp, running: int = RUNNING) -> tuple[e.Event, ...]:
    """The lines of such a day as it stands at a stamp."""
    told = sorted(_told(job, running), key=lambda one: one[0])
    bodies: list[tuple[float, Body]] = [(-(running + 2) * APART_S, e.DayOpened(job, PROGRAM)), *told]
    return tuple(_event(seq, now, after_s, body) for seq, (after_s, body) in enumerate(bodies, start=1))


def write_busy_log(path: Path, running: int = RUNNING, waiting: int = WAITING) -> None:
    """Write the log of such a day as of now."""
    job, now = busy_job(running, waiting), SystemClock().stamp()
    job = replace(job, start=now.wall - (running + 2) * APART_S)
    whole, last = bytearray(), FIRST_HASH
    for event in busy_events(job, now, running):
        chunk, last = encode(line_of(event, event.at), last)
        whole += chunk
    path.write_bytes(bytes(whole))


def _event(seq: int, now: Stamp, after_s: float, body: Body) -> e.Event:
    stamp = Stamp(now.wall + after_s, now.boot + after_s, now.mark)
    return e.Event(seq, stamp.wall, body, stamp, "" if isinstance(body, e.DayOpened) else "MA")


def _told(job: Job, running: int) -> Iterator[tuple[float, Body]]:
    for number in range(running):
        water = -(running - number) * APART_S
        pour = job.pours[number // BAGS]
        batch, station = f"{pour.id}.{number % BAGS + 1}", job.stations[0].id
        yield water, e.WaterAdded(batch, pour.id, 1.0, 1.0, station)
        if water + 90.0 < 0.0:
            yield water + 90.0, e.Mixed(batch)
        if water + 120.0 < 0.0:
            yield water + 120.0, e.Tipped(batch)
        if water + 120.0 + FLOAT_AFTER_S < 0.0:
            yield water + 120.0 + FLOAT_AFTER_S, e.StrokeDone("float", (batch,))
