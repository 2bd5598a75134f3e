"""The day as a readable list: every line of the log with its time, who, and what became of it."""

from __future__ import annotations

from datetime import datetime
from typing import Any
from zoneinfo import ZoneInfo

from engine.job.model import Job
from engine.pour.events import ClockJumped, DayOpened, Event, LogJoined, StampShifted, Undone
from engine.pour.times import iso
from engine.pour.told import told
from engine.words import Words


def listing(job: Job, events: tuple[Event, ...], words: Words) -> list[dict[str, Any]]:
    """One entry a line: seq, time, local clock, who, whether assumed, how stamped, text, undone, shifted."""
    undone = _undone(events)
    shifts = _shifts(events, undone)
    zone = ZoneInfo(job.zone)
    return [
        _entry(event, zone, shifts.get(event.seq, 0.0), event.seq in undone, job, words) for event in events
    ]


def _undone(events: tuple[Event, ...]) -> frozenset[int]:
    """Lines taken back; a line taken back may itself be a shift."""
    return frozenset(event.body.seq for event in events if isinstance(event.body, Undone))


def _shifts(events: tuple[Event, ...], undone: frozenset[int]) -> dict[int, float]:
    shifts: dict[int, float] = {}
    for event in events:
        if isinstance(event.body, StampShifted) and event.seq not in undone:
            shifts[event.body.seq] = shifts.get(event.body.seq, 0.0) + event.body.by_s
    return shifts


def _entry(event: Event, zone: ZoneInfo, by_s: float, undone: bool, job: Job, words: Words) -> dict[str, Any]:
    at = event.at + by_s
    return {
        "seq": event.seq,
        "at": iso(at),
        "local": datetime.fromtimestamp(at, zone).strftime("%H:%M:%S"),
        "who": event.who or None,
        "who_assumed": event.assumed,
        "how": "shifted" if by_s else event.how,
        "text": words(told(event, job.units)),
        "undone": undone,
        "system": isinstance(event.body, DayOpened | ClockJumped | LogJoined),
    }


def as_text(entries: list[dict[str, Any]], words: Words) -> str:
    """The list as lines of text; what was taken back stays readable and says so."""
    return "\n".join(_line(entry, words) for entry in entries)


def _line(entry: dict[str, Any], words: Words) -> str:
    who = entry["who"] or ""
    marks = [words(f"listing.{mark}") for mark in ("undone",) if entry[mark]]
    if entry["who_assumed"] and who:
        marks.append(words("listing.assumed"))
    if entry["how"] != "pressed":
        marks.append(words(f"listing.{entry['how']}"))
    note = f"  ({', '.join(marks)})" if marks else ""
    return f"{entry['local']}  {who:<8} {entry['text']}{note}"
