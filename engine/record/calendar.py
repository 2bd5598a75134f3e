"""Days to come back, as iCalendar text (RFC 5545) that any calendar program reads."""

from __future__ import annotations

import datetime
import hashlib
import re
from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from engine import PROGRAM
from engine.errors import BadInput, Problem
from engine.job.model import Job
from engine.job.returns import Return
from engine.words import Words

LONGEST_LINE = 75  # octets, without the line end
ENDS = "\r\n"
_CONTROL = re.compile(r"[\x00-\x08\x0b-\x1f\x7f]")
_ESCAPES = str.maketrans({"\\": "\\\\", ";": "\\;", ",": "\\,", "\n": "\\n"})


@dataclass(frozen=True)
class AllDay:
    """An event of one whole day. `uid` stays the same when the event is written again."""

    uid: str
    day: datetime.date
    summary: str
    description: str = ""


def calendar(events: Iterable[AllDay], stamp: datetime.datetime, product: str) -> str:
    """The calendar; `stamp` is when it is written, `product` names what wrote it.

    Raises `ValueError` for a stamp without a zone, two events of one uid, no event, or control characters.
    """
    given = tuple(events)
    if not given:
        raise ValueError("a calendar needs at least one event")
    if len({event.uid for event in given}) < len(given):
        raise ValueError("each event of a calendar needs a uid of its own")
    head = ("BEGIN:VCALENDAR", "VERSION:2.0", f"PRODID:{_text(product)}", "CALSCALE:GREGORIAN")
    body = (line for event in given for line in _event(event, _utc(stamp)))
    return "".join(_folded(line) for line in (*head, *body, "END:VCALENDAR"))


def due_calendar(job: Job, visits: Iterable[Return], stamp: datetime.datetime, words: Words) -> str:
    """The calendar of return visits that have a day. Raises `BadInput` where none has."""
    dated = [visit for visit in visits if visit.day is not None]
    if not dated:
        raise BadInput([Problem("", "-o", "", "no visit has a day yet; agree one: visit 2 on 2026-12-03")])
    return calendar([_all_day(job, visit, words) for visit in dated], stamp, PROGRAM)


def _all_day(job: Job, visit: Return, words: Words) -> AllDay:
    assert visit.day is not None
    same = hashlib.sha256(f"{job.name}|{job.date}|{visit.kind}|{visit.visit}|{visit.pours}".encode())
    tasks = "\n".join(words(task) for task in visit.tasks)
    return AllDay(same.hexdigest()[:32], visit.day, f"{job.name}: {words(visit.title)}", tasks)


def _event(event: AllDay, stamp: str) -> Iterator[str]:
    yield "BEGIN:VEVENT"
    yield f"UID:{_text(event.uid)}"
    yield f"DTSTAMP:{stamp}"
    yield f"DTSTART;VALUE=DATE:{event.day:%Y%m%d}"
    yield f"DTEND;VALUE=DATE:{event.day + datetime.timedelta(days=1):%Y%m%d}"
    yield f"SUMMARY:{_text(event.summary)}"
    if event.description:
        yield f"DESCRIPTION:{_text(event.description)}"
    yield "TRANSP:TRANSPARENT"
    yield "END:VEVENT"


def _utc(stamp: datetime.datetime) -> str:
    if stamp.tzinfo is None:
        raise ValueError("the stamp of a calendar needs its time zone")
    return f"{stamp.astimezone(datetime.UTC):%Y%m%dT%H%M%SZ}"


def _text(value: str) -> str:
    """A TEXT value: line ends as one, what the format uses for itself escaped."""
    plain = value.replace("\r\n", "\n").replace("\r", "\n")
    if _CONTROL.search(plain):
        raise ValueError(f"control characters cannot stand in a calendar: {value!r:.60}")
    return plain.translate(_ESCAPES)


def _folded(line: str) -> str:
    """A line with its end, folded before it grows too long and never inside a character."""
    parts, octets = [""], 0
    for character in line:
        size = len(character.encode())
        if octets + size > LONGEST_LINE:
            parts.append("")
            octets = 1  # the blank that begins a folded line
        parts[-1] += character
        octets += size
    return f"{ENDS} ".join(parts) + ENDS
