"""Whether logs are of one day and job, so that they can be joined; if not, what differs and what to do."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Any

from engine.errors import LogDamaged, Problem
from engine.job.model import Job
from engine.plain import to_plain
from engine.pour.events import DayOpened
from engine.record.lines import Line
from engine.record.store import LogContents
from engine.record.written import body_of

MOST = 12  # keys named before the rest is only counted


@dataclass(frozen=True)
class Part:
    """A log to be joined: its path, its lines, the bytes of a torn last one."""

    name: str
    lines: tuple[Line, ...]
    tail: bytes = b""

    @property
    def opened(self) -> DayOpened:
        """Its first line. Raises `LogDamaged` where that is no job."""
        try:
            body = body_of(self.lines[0])
        except ValueError as why:
            raise LogDamaged(self.name, 1, str(why)) from None
        if not isinstance(body, DayOpened):
            raise LogDamaged(self.name, 1, "a log begins with its job, this one does not")
        return body

    @property
    def job(self) -> Job:
        return self.opened.job


def part_of(name: str, contents: LogContents) -> Part:
    """A log as read."""
    return Part(name, contents.lines, contents.tail)


def unlike(parts: Sequence[Part]) -> list[Problem]:
    """Why logs cannot be joined to the first: other jobs, a rehearsal beside a working day, copies of one log."""
    first = parts[0]
    problems: list[Problem] = []
    for number, part in enumerate(parts):
        for before in parts[:number]:
            problems += _copies(before, part)
    for part in parts[1:]:
        if part.opened.made_up != first.opened.made_up:
            why = f"one of this and {first.name} is a rehearsal; only days of one kind are joined"
            problems.append(Problem(part.name, "line 1", "", why))
        problems += _other_job(first, part)
    return problems


def _copies(one: Part, other: Part) -> Iterator[Problem]:
    """Two logs that begin with the same lines: one was copied from the other."""
    same = 0
    for here, there in zip(one.lines, other.lines, strict=False):
        if here != there:
            break
        same += 1
    if not same:
        return
    if same == min(len(one.lines), len(other.lines)):
        longer, shorter = (one, other) if len(one.lines) > len(other.lines) else (other, one)
        why = f"it holds every line of {shorter.name} already; leave that one out"
        yield Problem(longer.name, f"lines 1 to {same}", "", why)
        return
    why = f"the same lines begin {one.name}: one log was copied and both were gone on with; join fresh logs only, or keep one"
    yield Problem(other.name, f"lines 1 to {same}", "", why)


def _other_job(first: Part, part: Part) -> Iterator[Problem]:
    """The keys of two jobs that differ; the program that wrote them may."""
    apart = list(_apart(to_plain(first.job), to_plain(part.job), "job"))
    for key, here, there in apart[:MOST]:
        yield Problem(
            part.name,
            key,
            there or "nothing",
            f"{here or 'nothing'} in {first.name}; one day of one job is joined",
        )
    if len(apart) > MOST:
        yield Problem(part.name, "job", "", f"{len(apart) - MOST} keys more differ from {first.name}")


def _apart(one: Any, other: Any, key: str) -> Iterator[tuple[str, str, str]]:
    """Where two plain values differ: key, one, other; empty for what is not there."""
    if isinstance(one, dict) and isinstance(other, dict):
        for name in sorted(one.keys() | other.keys()):
            yield from _apart(one.get(name), other.get(name), f"{key}.{name}")
    elif isinstance(one, list) and isinstance(other, list) and len(one) == len(other):
        for place, (here, there) in enumerate(zip(one, other, strict=True)):
            yield from _apart(here, there, f"{key}[{place}]")
    elif one != other:
        yield key, _short(one), _short(other)


def _short(value: Any) -> str:
    return "" if value is None else f"{value!r:.40}"
