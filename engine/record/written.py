"""Events to lines of the log and back."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

from engine.clock import Timeline
from engine.errors import LogDamaged
from engine.job.files import with_later_practice
from engine.job.model import Job
from engine.pour.body import Body, kind_of
from engine.pour.events import DayOpened, Event, body_from_plain, body_to_plain
from engine.record.fitting import check_texts
from engine.record.folded import REFUSALS, named
from engine.record.lines import Line


def line_of(event: Event, pressed_at: float) -> Line:
    """The line of an event; its time is written only where it differs from the press."""
    return Line(
        seq=event.seq,
        stamp=event.stamp,
        kind=kind_of(event.body),
        v=event.body.version,
        who=event.who,
        at=None if event.at == pressed_at else event.at,
        how=event.how,
        data=body_to_plain(event.body),
        assumed=event.assumed,
    )


def body_of(line: Line) -> Body:
    """The payload of a line. Raises `ValueError` where this program does not know it."""
    return body_from_plain(line.kind, line.v, _plain(line))


def _plain(line: Line) -> dict[str, Any]:
    return dict(line.data)


def events_of(lines: Iterable[Line], path: str) -> tuple[Job, tuple[Event, ...], Timeline]:
    """Job, events and clock of a log. Raises `LogDamaged` naming the line that cannot be understood."""
    timeline, events, job = Timeline(), [], None
    for line in lines:
        timeline = timeline.seen(line.stamp)
        event = event_of(line, timeline, path)
        if line.seq == 1:
            job = job_of(event, path)
        events.append(event)
    if job is None:
        raise LogDamaged(path, 1, "it holds no job")
    return job, tuple(events), timeline


def event_of(line: Line, timeline: Timeline, path: str) -> Event:
    """The event of a line, on a timeline that has seen its stamp. Raises `LogDamaged` as `events_of`."""
    try:
        body = body_of(line)
        check_texts(body, line.who, line.stamp.mark)
    except REFUSALS as why:
        raise LogDamaged(path, line.seq, named(why)) from None
    at = timeline.at(line.stamp) if line.at is None else line.at
    return Event(line.seq, at, body, line.stamp, line.who, line.assumed, line.how)


def job_of(event: Event, path: str) -> Job:
    """The job of the first line, practice values that came after it as shipped. Raises `LogDamaged` where it is another."""
    if not isinstance(event.body, DayOpened):
        raise LogDamaged(path, 1, "a log begins with its job, this one does not")
    return with_later_practice(event.body.job)
