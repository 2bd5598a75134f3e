"""What is odd about a line that is whole: times that hardly can be, names that the day does not know. Never a fault."""

from __future__ import annotations

import datetime
from collections.abc import Iterator
from dataclasses import dataclass
from zoneinfo import ZoneInfo

from engine.clock import Stamp, Timeline
from engine.job.model import Job
from engine.pour.body import Body
from engine.pour.events import ClockJumped, DayOpened, Event, LogJoined, SignForgotten, StampShifted, Undone
from engine.pour.state import Day
from engine.units import show_duration
from engine.words import Say, say

LONG_BEFORE_S = 3600.0  # a stamp set back further than any batch stays workable; our own choice
JUMP_S = 2.0  # wall and running clock further apart than this are a jump, as the live day has it


@dataclass(frozen=True)
class Remark:
    """Something odd in a line that is whole."""

    line: int
    kind: str
    said: Say


class Remarks:
    """The remarks of a log, looked at line by line, each with the day after it."""

    def __init__(self) -> None:
        self._found: list[Remark] = []
        self._timeline = Timeline()
        self._last: tuple[Stamp, float] | None = None
        self._marks: set[str] = set()

    def look(self, event: Event, day: Day) -> None:
        """The next line."""
        step_s = self._timeline.step(event.stamp)
        self._timeline = self._timeline.seen(event.stamp)
        written = self._timeline.at(event.stamp)
        odd = [
            *self._pressed(event, written, step_s),
            *_effective(event, written),
            *_unknown(event.body, day),
        ]
        if isinstance(event.body, DayOpened):
            odd += _other_date(event.body.job, written)
        if dangling := _dangling(event):
            odd.append(dangling)
        self._found += [Remark(event.seq, said.key.removeprefix("verified.odd_"), said) for said in odd]
        self._last = (event.stamp, written)
        self._marks.add(event.stamp.mark)

    def found(self) -> tuple[Remark, ...]:
        """All remarks so far."""
        return tuple(self._found)

    def _pressed(self, event: Event, written: float, step_s: float) -> Iterator[Say]:
        """Of the moment of the press against the line before."""
        if self._last is None:
            return
        stamp, before = self._last
        if isinstance(event.body, LogJoined):
            return
        if event.stamp.mark not in self._marks:
            passed_s = event.stamp.wall - stamp.wall
            yield say(
                "verified.odd_boot" if passed_s >= 0.0 else "verified.odd_boot_back", by=_span(passed_s)
            )
        elif event.stamp.mark == stamp.mark and written < before - JUMP_S:
            yield say("verified.odd_back", by=_span(before - written))
        elif abs(step_s) > JUMP_S and not isinstance(event.body, ClockJumped):
            yield say("verified.odd_jump", by=f"{step_s:+.0f}")


def _effective(event: Event, written: float) -> Iterator[Say]:
    """Of the moment a line speaks of against the moment it was pressed."""
    if event.at > written + JUMP_S:
        yield say("verified.odd_ahead", by=_span(event.at - written))
    elif event.at < written - LONG_BEFORE_S:
        yield say("verified.odd_long_before", by=_span(written - event.at))


def _other_date(job: Job, written: float) -> Iterator[Say]:
    began = datetime.datetime.fromtimestamp(written, ZoneInfo(job.zone)).date()
    if began != datetime.date.fromisoformat(job.date):
        yield say("verified.odd_date", began=began.isoformat(), date=job.date)


def _unknown(body: Body, day: Day) -> Iterator[Say]:
    """Names of pours, batches and people that the day does not have."""
    people = {person.id for person in day.job.people}
    batches = [*getattr(body, "batches", ()), getattr(body, "batch", ""), getattr(body, "source", "")]
    unknown = [name for name in batches if name and not day.has_batch(name)]
    if (pour := getattr(body, "pour", "")) and not day.has_pour(pour):
        unknown.append(pour)
    if (person := getattr(body, "person", "")) and person not in people:
        unknown.append(person)
    return (say("verified.odd_name", name=name) for name in unknown)


def _dangling(event: Event) -> Say | None:
    """A line that speaks of another which does not come before it."""
    body = event.body
    if isinstance(body, StampShifted | Undone | SignForgotten) and not 1 < body.seq < event.seq:
        return say("verified.odd_line", number=body.seq)
    return None


def _span(seconds: float) -> str:
    return show_duration(abs(seconds))
