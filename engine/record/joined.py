"""Logs of one day and job joined into one: fresh numbers, a fresh chain, and the gap between them as a line of its own.

Stamps, who and how stay as they were written. Times go by the joined log's own rule for its clocks, so that spans within
a log stay what they were; the wall clocks of two machines are taken as they are.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field, replace
from typing import Any

from engine.clock import Timeline
from engine.errors import BadInput, LogDamaged, Problem
from engine.pour.body import kind_of
from engine.pour.events import LogJoined, WaterAdded, body_to_plain
from engine.pour.journal import open_journal
from engine.pour.state import Batch
from engine.record.folded import taken
from engine.record.interleaved import interleaved
from engine.record.lines import FIRST_HASH, Line, encode
from engine.record.renamed import Names, given_names, named, renumbered, runs_of
from engine.record.same_day import Part, unlike
from engine.record.written import event_of
from engine.words import Say, say

CLOCK_OFF_S = 2.0  # a log whose times move by more than this in the joined one is told
SAME_BATCH_S = (
    120.0  # water into one pour in two logs within this may be one batch, stamped twice; our own choice
)


@dataclass(frozen=True)
class Gap:
    """Between the last line before a log and its first: log times in seconds; `overlaps` where there is none."""

    log: str
    last_at: float
    first_at: float
    overlaps: bool


@dataclass(frozen=True)
class Joined:
    """The joined log: its bytes, its parts in their order, the gaps before all but the first, what is to be known."""

    whole: bytes
    lines: int
    parts: tuple[Part, ...]
    gaps: tuple[Gap, ...]
    renamed: tuple[tuple[str, str, str], ...]  # log, name there, name here
    told: tuple[Say, ...]


def joined(parts: Sequence[Part]) -> Joined:
    """Logs of one day and job in order of time. Raises `BadInput` where they cannot be joined, `LogDamaged`."""
    parts = sorted(parts, key=lambda part: part.lines[0].stamp.wall)
    if problems := unlike(parts):
        raise BadInput(problems)
    joining = _Joining(parts)
    for log, place in joining.order:
        joining.take(log, place)
    return joining.result()


@dataclass
class _Log:
    """What is known of one log on the way."""

    part: Part
    numbers: dict[int, int]  # its lines by their number there: the number here
    clock: Timeline = field(default_factory=Timeline)
    names: Names = field(default_factory=dict)
    off_s: float = 0.0  # furthest that its times moved


class _Joining:
    """The joined log as it grows."""

    def __init__(self, parts: Sequence[Part]) -> None:
        self.order = interleaved([part.lines for part in parts])
        numbers: list[dict[int, int]] = [{} for _ in parts]
        for number, (log, place) in enumerate(self.order, start=1):
            numbers[log][place + 1] = number
        self._logs = [_Log(part, known) for part, known in zip(parts, numbers, strict=True)]
        self._clock, self._journal = Timeline(), open_journal(parts[0].job)
        self._lines: list[Line] = []
        self._latest = parts[0].lines[0].stamp.wall
        self._gaps: list[Gap] = []
        self._told: list[Say] = []
        self._waters: list[tuple[int, Batch]] = []
        self._renamed: dict[tuple[str, str, str], None] = {}

    def take(self, number: int, place: int) -> None:
        """The next line, by its log and its place there."""
        log = self._logs[number]
        line = log.part.lines[place]
        log.clock, self._clock = log.clock.seen(line.stamp), self._clock.seen(line.stamp)
        at = self._clock.at(line.stamp)
        off_s = at - log.clock.at(line.stamp)
        log.off_s = max(log.off_s, off_s, key=abs)
        data = self._marker(number, at) if number and not place else self._data(log, line)
        kind, v = (kind_of(LogJoined), LogJoined.version) if number and not place else (line.kind, line.v)
        said_at = None if line.at is None else line.at + (off_s if abs(off_s) > 1e-3 else 0.0)
        self._keep(number, replace(line, seq=len(self._lines) + 1, kind=kind, v=v, data=data, at=said_at))
        self._latest = max(self._latest, at)

    def _data(self, log: _Log, line: Line) -> dict[str, Any]:
        """What the line says, in the names and numbers of the joined log."""
        before = log.names
        log.names = given_names(line.kind, line.data, self._journal.day, log.names)
        for there, here in log.names.items():
            if there != here and before.get(there) != here:
                self._renamed[log.part.name, there, here] = None
        return renumbered(named(line.data, log.names), lambda seq: log.numbers.get(seq, seq))

    def _marker(self, number: int, at: float) -> dict[str, Any]:
        """What stands in place of a log's first line."""
        log, day = self._logs[number], self._journal.day
        end = max(max(before.numbers.values()) for before in self._logs[:number])
        overlaps = end > log.numbers[1]
        name = log.part.name
        self._gaps.append(Gap(name, self._latest, at, overlaps))
        self._told += [say("joined.still_called", pour=call.pour, log=name) for call in day.called]
        self._told += [say("joined.both_at_once", log=name)] if overlaps else []
        pairs = [(here, there) for there, here in sorted(log.numbers.items())]
        return body_to_plain(
            LogJoined(_file(name), len(log.part.lines), self._latest, at, overlaps, runs_of(pairs))
        )

    def _keep(self, number: int, line: Line) -> None:
        part = self._logs[number].part
        event = event_of(line, self._clock, part.name)
        try:
            self._journal = taken(self._journal, event, part.name)
        except LogDamaged as damaged:
            there = next(old for old, new in self._logs[number].numbers.items() if new == line.seq)
            raise BadInput(
                [
                    Problem(
                        part.name,
                        f"line {there}",
                        "",
                        f"it cannot follow on the lines before it: {damaged.why}",
                    )
                ]
            ) from None
        self._lines.append(line)
        if isinstance(event.body, WaterAdded):
            self._waters.append((number, self._journal.day.batch(event.body.batch)))

    def result(self) -> Joined:
        """The joined log."""
        whole, last = bytearray(), FIRST_HASH
        for line in self._lines:
            chunk, last = encode(line, last)
            whole += chunk
        parts = tuple(log.part for log in self._logs)
        told = (
            *self._told,
            *self._clocks(),
            *self._torn(),
            *self._twice(),
            *_split_twice(self._lines),
            *self._wet(),
        )
        return Joined(bytes(whole), len(self._lines), parts, tuple(self._gaps), tuple(self._renamed), told)

    def _clocks(self) -> list[Say]:
        return [
            say("joined.clock", log=log.part.name, by=f"{log.off_s:+.0f}")
            for log in self._logs
            if abs(log.off_s) > CLOCK_OFF_S
        ]

    def _torn(self) -> list[Say]:
        return [
            say("joined.torn", log=log.part.name, bytes=len(log.part.tail))
            for log in self._logs
            if log.part.tail
        ]

    def _twice(self) -> list[Say]:
        """Batches that may be one, stamped on two machines."""
        standing = {batch.id: batch for batch in self._journal.day.batches}
        waters = [(log, standing[batch.id]) for log, batch in self._waters if batch.id in standing]
        return [
            say("joined.twice", one=one.id, other=other.id)
            for place, (log, one) in enumerate(waters)
            for other_log, other in waters[place + 1 :]
            if log != other_log
            and one.pour == other.pour
            and abs(one.water_at - other.water_at) < SAME_BATCH_S
        ]

    def _wet(self) -> list[Say]:
        """Batches of a log that ended, wet and neither tipped nor lost in any."""
        day = self._journal.day
        last = len(self._logs) - 1
        ended = {batch.id for log, batch in self._waters if log != last}
        return [
            say("joined.wet", batch=batch.id)
            for batch in day.batches
            if batch.id in ended and batch.live and batch.tipped_at is None
        ]


def _split_twice(lines: Sequence[Line]) -> list[Say]:
    seen: set[str] = set()
    twice: list[Say] = []
    for line in lines:
        if line.kind == "pour split":
            pour = str(line.data["pour"])
            twice += [say("joined.split_twice", pour=pour)] if pour in seen else []
            seen.add(pour)
    return twice


def _file(name: str) -> str:
    return name.replace("\\", "/").rsplit("/", 1)[-1]
