"""Machines with a day on them, for logs that are joined."""

from __future__ import annotations

import datetime
from pathlib import Path
from zoneinfo import ZoneInfo

from engine import console
from engine.clock import HandClock, Stamp, Timeline
from engine.job.files import read_job
from engine.job.model import Job
from engine.pour import intents as i
from engine.pour.events import DayOpened
from engine.pour.journal import open_journal
from engine.record.day import DayLog, Opened
from engine.record.joined import Joined
from engine.record.lines import FIRST_HASH, Line, encode
from engine.record.same_day import Part
from engine.record.store import MemoryStore
from tests.scenarios.expected import DATA

JOB_FILE = DATA / "library" / "job.toml"
START = datetime.datetime(2026, 11, 5, 9, 10, tzinfo=ZoneInfo("America/Chicago")).timestamp()
WORDS = console.words()
JOB = read_job(JOB_FILE, datetime.date(2026, 11, 5))


class Machine:
    """A laptop with a day on it, its clock moved by hand."""

    def __init__(self, name: str, start: float, job: Job = JOB, made_up: bool = False) -> None:
        self.name, self.lines, self.clock = name, list[Line](), Marked(start, name)
        self.day = DayLog(Opened(open_journal(job), Timeline(), 0), self.clock, self.lines.append, WORDS)
        self.day.write_first(DayOpened(job, f"program of {name}", made_up))

    def do(self, *intents: i.Intent, after_s: float = 0.0) -> None:
        self.clock.advance(after_s)
        for intent in intents:
            self.day.submit(intent)

    def batch(self, pour: str, number: int) -> None:
        """A batch wet, mixed and tipped within 2 min."""
        self.do(i.AddWater(pour, "MA"))
        self.do(i.StampMixed(f"{pour}.{number}"), after_s=90)
        self.do(i.StampTipped(f"{pour}.{number}"), after_s=30)

    def wait_for(self, other: Machine) -> None:
        """Let time pass until it is as late here as there."""
        self.clock.advance(max(0.0, other.clock.stamp().wall - self.clock.stamp().wall))

    @property
    def part(self) -> Part:
        return Part(self.name, tuple(self.lines))


class Marked(HandClock):
    """A hand clock whose boots are those of one machine."""

    def __init__(self, start: float, machine: str) -> None:
        super().__init__(start)
        self._machine = machine

    def stamp(self) -> Stamp:
        stamp = super().stamp()
        return Stamp(stamp.wall, stamp.boot, f"{self._machine} {stamp.mark}")


def lines_of(found: Joined) -> tuple[Line, ...]:
    """The lines of a joined log, read back."""
    return MemoryStore(found.whole).contents.lines


def first_machine() -> Machine:
    """A laptop that dies after P2.1 was tipped and P2.2 was wet."""
    machine = Machine("first.jsonl", START)
    machine.batch("P2", 1)
    machine.do(i.AddWater("P2", "MB"), after_s=10)
    return machine


def second_machine() -> Machine:
    """A second one, begun afresh a quarter of an hour later."""
    machine = Machine("second.jsonl", START + 900.0)
    machine.batch("P2", 1)
    machine.do(i.SeeReady("P2"), after_s=300)
    return machine


def saved(folder: Path, machine: Machine) -> Path:
    """The log in a file, as its machine would have left it."""
    whole, last = b"", FIRST_HASH
    for one in machine.lines:
        chunk, last = encode(one, last)
        whole += chunk
    (folder / machine.name).write_bytes(whole)
    return folder / machine.name
