"""Days for the tests of the report: a kept one, one at the reference temperature, one full of hostile text."""

from __future__ import annotations

from dataclasses import replace
from functools import cache
from typing import Any

from engine import PROGRAM, console
from engine.clock import Stamp
from engine.job.changes import BagChange
from engine.job.model import Job
from engine.pour import intents as i
from engine.pour import measured as m
from engine.pour.events import DayOpened, Event, ReadingTaken
from engine.record.entered import enter_file
from engine.record.report.figures import figures
from engine.rehearsal.days import rehearse_day
from tests.pour.driving import Drive, library, mild
from tests.scenarios.expected import DATA

EVIL = "<script>alert(1)</script>]]>--><b x='\"&\u202eevil\u202c\u0007|`*_[a](http://x.example/)"
HEBREW = "\u05e9\u05dc\u05d5\u05dd"
CREW = {"MA": "Quillon", "MB": "Tamsin", "F": "Orrick", "Lead": "Bramwell"}
WORDS = console.words()
Table = dict[str, Any]


def opened(job: Job, made_up: bool = False) -> Event:
    return Event(1, job.start, DayOpened(job, PROGRAM, made_up), Stamp(job.start, 0.0, "given"))


def table_of(drive: Drive, made_up: bool = False) -> Table:
    """The full table at the last line of a driven day."""
    events = (opened(drive.job, made_up), *drive.events)
    return figures(drive.job, events, events[-1].at, WORDS)


@cache
def library_events() -> tuple[Event, ...]:
    return enter_file(library(), DATA / "library" / "notes.csv", WORDS, PROGRAM)


@cache
def library_table() -> Table:
    events = library_events()
    return figures(library(), events, events[-1].at, WORDS)


@cache
def made_up_table() -> Table:
    events = list(rehearse_day(library(), 3, WORDS).events)
    events[0] = opened(library(), made_up=True)
    return figures(library(), tuple(events), events[-1].at, WORDS)


def _named(job: Job) -> Job:
    return replace(job, people=tuple(replace(one, id=CREW[one.id]) for one in job.people))


def _strokes(drive: Drive, batch: str, water: str, clocks: tuple[str, ...]) -> Drive:
    mixed, tipped, floated, first, last = clocks
    drive.do(water, i.AddWater(batch.split(".")[0], CREW["MA"]))
    drive.do(mixed, i.StampMixed(batch, CREW["MA"])).do(tipped, i.StampTipped(batch, CREW["MB"]))
    drive.do(floated, i.StampStroke("float", batch, CREW["F"]))
    drive.do(first, i.StampStroke("first_trowel", batch, CREW["F"]))
    return drive.do(last, i.StampStroke("second_trowel", batch, CREW["Lead"]))


@cache
def crewed_table() -> Table:
    """A morning with names, a price, an internal note, causes and losses, all of which a client does not read."""
    drive = Drive(_named(library()))
    drive.do(
        "08:20:00",
        i.WriteDown(
            m.ChangeOrdered("P2", "deeper", (0.05,), (0.06,), (BagChange("small-stone", 2, 3),), 85.5, "KL")
        ),
    )
    drive.do("08:30:00", i.WriteDown(m.LotNoted("A12")))
    drive.do("08:31:00", i.WriteNote("Internal: the drill is worn", "P1"))
    drive.do("08:32:00", i.WriteNote("washed the walk", "P1"))
    _strokes(drive, "P1.1", "09:00:00", ("09:01:30", "09:02:00", "09:03:00", "09:08:30", "09:12:00"))
    drive.do("09:12:30", i.WriteDown(m.WaterMeasured("P1.1", 9.0)))
    drive.do("09:14:00", i.AddWater("P2", CREW["MA"])).do(
        "09:15:00", i.LoseBatch("P2.1", "dropped by a friend")
    )
    drive.do("09:16:00", i.RejectBag("P2", "lumpy sack"), i.LoseVessel("S1", "worn handle"))
    drive.do("09:20:00", i.OpenPour("P1", "feet", CREW["Lead"]))
    drive.do("09:25:00", i.WriteDown(m.BagWeighed(21.0, "small-stone")), i.CoverPour("P1", "blanket"))
    drive.do(
        "09:26:00", i.StartTrial("small-stone", 0.0), i.TakeReading(ReadingTaken(ice_kg=0.2, wind_ms=2.0))
    )
    drive.do(
        "09:40:00",
        i.WriteDown(m.SlopeRead("P1", "before", 0.05)),
        i.WriteDown(m.SlopeRead("P1", "after", 0.04)),
    )
    return table_of(drive)


@cache
def hostile_table() -> Table:
    """Every field that takes free text holds the same hostile text."""
    plain = library()
    pours = tuple(
        replace(pour, where=EVIL if n else f"{HEBREW} {EVIL}") for n, pour in enumerate(plain.pours)
    )
    people = tuple(replace(one, id=f"{one.id}{EVIL}") for one in plain.people)
    drive = Drive(replace(plain, name=EVIL, pours=pours, people=people, currency=EVIL))
    drive.do("08:20:00", i.WriteDown(m.ChangeOrdered("P2", EVIL, (0.05,), (0.06,), (), 85.5, EVIL)))
    drive.do(
        "08:30:00", i.WriteDown(m.LotNoted(EVIL)), i.WriteNote(EVIL, "P1"), i.WriteNote(f"=1+1{EVIL}", "P1")
    )
    drive.do("09:00:00", i.AddWater("P1", f"MA{EVIL}"))
    drive.do("09:01:30", i.StampMixed("P1.1")).do("09:02:00", i.StampTipped("P1.1"))
    drive.do("09:03:00", i.StampStroke("float", "P1.1", f"F{EVIL}"))
    drive.do("09:14:00", i.AddWater("P2", f"MA{EVIL}")).do("09:15:00", i.LoseBatch("P2.1", EVIL))
    drive.do("09:16:00", i.RejectBag("P2", EVIL), i.LoseVessel("S1", EVIL))
    drive.do("09:20:00", i.OpenPour("P1", "feet", f"F{EVIL}"))
    drive.do("09:30:00", i.WriteDown(m.SlopeRead("P1", "after", 0.2, 0.1, spot=EVIL)))
    return table_of(drive)


@cache
def mild_table() -> Table:
    """At the reference temperature, a mix without heat of its own: N0 without packets, N1 with one."""
    drive = Drive(mild())
    for batch, hour in (("N0.1", "10"), ("N1.1", "12")):
        drive.do(f"{hour}:00:00", i.AddWater(batch[:2])).do(f"{hour}:01:30", i.StampMixed(batch))
        drive.do(f"{hour}:02:00", i.StampTipped(batch)).do(f"{hour}:03:00", i.StampStroke("float", batch))
        drive.do(f"{hour}:05:30", i.StampStroke("first_trowel", batch))
    return table_of(drive)
