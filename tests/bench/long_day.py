"""A ten-hour day of two thousand lines without a crew: every bag called, wet, mixed, tipped and finished by the clock.

Nothing goes through the door of the keys, so that it is there at once; what the trade would make of it does not matter.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from engine import PROGRAM
from engine.clock import Stamp
from engine.job.model import Job
from engine.pour import events as e
from engine.pour.body import Body
from tests.pour.driving import library

HOURS, LINES = 10.0, 2000
CYCLE_S = 165.0  # from water to water
BAGS = 4  # a pour
READ_EVERY_S = 900.0


def long_job(pours: int = 60) -> Job:
    """The library's first pour many times over, with bags for all."""
    job = library()
    pour = replace(job.pours[0], visit=1, after=(), shares="")
    many = tuple(replace(pour, id=f"P{n + 1}", where=f"bay {n + 1}") for n in range(pours))
    bags = tuple((mix, 10_000.0) for mix, _ in job.stock.bags)
    return replace(job, pours=many, targets=(), deadlines=(), stock=replace(job.stock, bags=bags))


def long_day(job: Job, lines: int = LINES) -> tuple[e.Event, ...]:
    """So many lines, evenly spread until `HOURS` are over."""
    told = sorted(_told(job), key=lambda one: one[0])[: lines - 1]
    bodies: list[tuple[float, Body]] = [(0.0, e.DayOpened(job, PROGRAM)), *told]
    return tuple(
        _event(seq, job.start + after_s, body) for seq, (after_s, body) in enumerate(bodies, start=1)
    )


def _event(seq: int, at: float, body: Body) -> e.Event:
    return e.Event(seq, at, body, Stamp(at, at, "long day"), "" if isinstance(body, e.DayOpened) else "MA")


def _told(job: Job) -> Iterator[tuple[float, Body]]:
    after_s, number = 600.0, 0
    while after_s < HOURS * 3600.0:
        pour, bag = job.pours[number // BAGS], number % BAGS + 1
        yield from _batch(after_s, pour.id, f"{pour.id}.{bag}", job.stations[0].id)
        after_s, number = after_s + CYCLE_S, number + 1
    for n in range(int(HOURS * 3600.0 / READ_EVERY_S)):
        warm = e.ReadingTaken(air_c=8.0 + 6.0 * n / 40.0, humidity=0.5, wind_ms=2.0 + n % 3, sun=n % 2 == 0)
        yield n * READ_EVERY_S, warm
    for n in range(int(HOURS * 24.0)):
        yield n * 150.0 + 7.0, e.NoteWritten(f"looked round, {n}")


def _batch(at: float, pour: str, batch: str, station: str) -> Iterator[tuple[float, Body]]:
    yield at - 10.0, e.BagCalled(pour, station)
    yield at, e.WaterAdded(batch, pour, 1.0, 0.0, station)
    yield at + 90.0, e.Mixed(batch)
    yield at + 120.0, e.Tipped(batch)
    for name, after_s in (
        ("float", 170.0),
        ("first_trowel", 380.0),
        ("second_trowel", 700.0),
        ("edge", 730.0),
    ):
        yield at + after_s, e.StrokeDone(name, (batch,))
    if batch.endswith(".2"):
        yield at + 390.0, e.SignSeen("ready", batch, "second_trowel")
