"""A log of a real day, cut at every byte of its last 4 kB and with one byte changed at every place of it.

`python -m tests.proof.bytes_changed` tries every place; the tests of this folder a seeded sample of them. Expected,
by counting line ends alone: the lines before the spoilt one stand as they were, and the spoilt one is named.
"""

from __future__ import annotations

import datetime
import io
import random
import sys
import tempfile
from collections.abc import Iterable
from pathlib import Path

from engine.clock import HandClock
from engine.console.session import Session
from engine.errors import BadInput, LogDamaged
from engine.job.files import demo_job_path, read_job
from engine.pour import intents as i
from engine.record.lines import Line
from engine.record.store import MemoryStore, read_log
from engine.record.verified import verify
from tests.proof.crash import WORDS

LAST = 4096
START = 1_793_894_400.0  # any morning


def day_log() -> bytes:
    """A small day on the demo job: calls, stamps, a note with accents, a shift, an undo."""
    clock, store = HandClock(START), MemoryStore()
    job = read_job(demo_job_path(), datetime.date(2026, 11, 5))
    session = Session(store, job, clock, WORDS)
    for intent in (
        i.AddWater("R1", "MA"),
        i.StampMixed("R1.1"),
        i.StampTipped("R1.1"),
        i.WriteNote("señal à midi, größer", "R1"),
        i.Shift(-5),
        i.WriteNote("wrong"),
        i.Undo(),
        i.AddWater("R1", "MB"),
        i.StampMixed("R1.2"),
        i.WriteNote("x" * 1500),
    ):
        session.submit(intent)
        clock.advance(40.0)
    session.close()
    return store.whole()


def line_at(log: bytes, place: int) -> int:
    """Number of the line a byte stands in."""
    return 1 + log[:place].count(b"\n")


def fault_of_cut(log: bytes, lines: tuple[Line, ...], size: int, folder: Path) -> str:
    """What is wrong with how the first `size` bytes are taken; empty where nothing is."""
    path = folder / "cut.jsonl"
    path.write_bytes(log[:size])
    whole = log[:size].count(b"\n")
    tail = log[:size][log[:size].rfind(b"\n") + 1 :]
    store = MemoryStore(log[:size])
    taken = (*read(path), store.contents.lines, store.torn, store.whole())
    if taken != (lines[:whole], tail if whole else b"", lines[:whole], tail, log[: size - len(tail)]):
        return f"cut at {size}: {len(store.contents.lines)} lines and a tail of {len(store.torn)} bytes"
    return ""


def read(path: Path) -> tuple[tuple[Line, ...], bytes]:
    """What a reader takes of a log; of one without a whole line nothing, and it is told so."""
    try:
        found = read_log(path)
    except BadInput:
        return (), b""
    return found.lines, found.tail


def fault_of_change(log: bytes, lines: tuple[Line, ...], place: int, value: int) -> str:
    """What is wrong with how a log with one byte changed is taken; empty where nothing is."""
    spoilt = log[:place] + bytes([value]) + log[place + 1 :]
    number, last = line_at(log, place), log.count(b"\n")
    told = verify(io.BytesIO(spoilt), "day.jsonl")
    first = min((broken.line for broken in told.breaks), default=0)
    if first != number:
        return f"byte {place} as {value}: `check` names line {first}, it is line {number}"
    try:
        store = MemoryStore(spoilt)
    except LogDamaged as damage:
        return (
            ""
            if damage.line == number
            else f"byte {place} as {value}: names line {damage.line}, not {number}"
        )
    end_lost = log[place : place + 1] == b"\n" and number == last - 1  # the last two lines have become one
    if (number == last or end_lost) and store.torn and store.contents.lines == lines[: number - 1]:
        return ""  # a last line that does not hold is set aside, whole, and told
    return f"byte {place} as {value}: taken without a word"


def cuts(log: bytes, places: Iterable[int]) -> list[str]:
    """Faults of logs cut there."""
    lines = MemoryStore(log).contents.lines
    with tempfile.TemporaryDirectory() as folder:
        return [fault for size in places if (fault := fault_of_cut(log, lines, size, Path(folder)))]


def changes(log: bytes, places: Iterable[int], rng: random.Random) -> list[str]:
    """Faults of logs with a byte changed there: to its neighbour by one bit, to a line end, to anything."""
    lines = MemoryStore(log).contents.lines
    faults = []
    for place in places:
        values = {log[place] ^ (1 << rng.randrange(8)), 0x0A, rng.randrange(256)} - {log[place]}
        faults += [fault_of_change(log, lines, place, value) for value in sorted(values)]
    return [fault for fault in faults if fault]


def main() -> int:
    log = day_log()
    cut_at = range(max(1, len(log) - LAST), len(log))
    faults = cuts(log, cut_at)
    print(f"{len(cut_at)} cuts of a log of {len(log)} bytes: {len(faults)} faults", flush=True)
    part, of = (int(text) for text in (sys.argv[1:3] or ("0", "1")))
    places = range(part, len(log), of)
    spoilt = changes(log, places, random.Random(1))
    print(f"{len(places)} places changed, up to three ways each: {len(spoilt)} faults")
    print("\n".join([*faults, *spoilt][:20]))
    return 1 if faults or spoilt else 0


if __name__ == "__main__":
    raise SystemExit(main())
