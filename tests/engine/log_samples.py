"""Lines for the tests of the log."""

from __future__ import annotations

from pathlib import Path

from engine.clock import Stamp
from engine.record.lines import FIRST_HASH, Line, encode

START = 1_794_000_000.0


def line(seq: int, **changes: object) -> Line:
    """A line as a day has them; every third one with an effective time."""
    stamp = Stamp(START + 7.25 * seq, 81.5 + 7.25 * seq, "boot-1")
    at = START + 7.0 * seq if seq % 3 == 0 else None
    data = {"batch": f"P1.{seq}", "packets": 0.5, "note": "Rand naß, 7 °C"}
    values = {
        "kind": "water added",
        "v": 1,
        "who": "F",
        "at": at,
        "how": "shifted" if at else "pressed",
        "data": data,
    }
    return Line(**({"seq": seq, "stamp": stamp} | values | changes))  # type: ignore[arg-type]


def lines(count: int, first: int = 1) -> list[Line]:
    """So many lines in order."""
    return [line(seq) for seq in range(first, first + count)]


def encoded(some: list[Line], previous_hash: str = FIRST_HASH) -> list[bytes]:
    """The bytes of each line, chained."""
    chunks = []
    for one in some:
        chunk, previous_hash = encode(one, previous_hash)
        chunks.append(chunk)
    return chunks


def written(log: Path, count: int) -> list[bytes]:
    """A log of so many lines on the disk; the bytes of each."""
    chunks = encoded(lines(count))
    log.write_bytes(b"".join(chunks))
    return chunks
