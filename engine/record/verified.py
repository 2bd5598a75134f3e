"""A log put to the test line by line: chain, form, payload, and whether the day can follow on each line.

The chain notices damage and changes. It proves nothing against somebody who writes it anew, and a log cut at a line end
only looks shorter.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import BinaryIO, Literal

from engine.clock import Timeline
from engine.errors import LogDamaged
from engine.job.model import Job
from engine.pour.events import DayOpened, Event, LogJoined
from engine.pour.journal import Journal, open_journal
from engine.record.folded import taken
from engine.record.lines import Line
from engine.record.plausible import Remark, Remarks
from engine.record.rows import ChainFault, Row, chain_faults, rows_of
from engine.record.store import could_begin_a_log, unusable
from engine.record.written import event_of
from engine.words import Say, say

Fault = Literal[ChainFault, "form", "payload", "place", "day", "torn"]


@dataclass(frozen=True)
class Break:
    """A line that breaks the log: its place in the file, counted from 1, and what is wrong with it."""

    line: int
    fault: Fault
    said: Say


@dataclass(frozen=True)
class Verified:
    """What a log is found to be. `standing` lines come before the first break; only they are folded and their times judged."""

    rows: int
    standing: int
    breaks: tuple[Break, ...]
    remarks: tuple[Remark, ...]
    tail: bytes
    kinds: tuple[tuple[str, int, int], ...]  # kind, version, how often
    hash: str
    job: Job | None = None
    made_up: bool = False
    joins: tuple[tuple[int, LogJoined], ...] = ()  # where other logs were joined to it, by their line

    @property
    def whole(self) -> bool:
        return not self.breaks


def is_log(path: Path) -> bool:
    """Whether a file is to be read as a log: by its first line, or by its ending where that tells nothing.

    A file that cannot be read is one by its ending.
    """
    if path.suffix == ".jsonl":
        return True
    try:
        with path.open("rb") as stream:
            first = stream.readline(1 << 20)
    except OSError:
        return False
    return bool(first.strip()) and could_begin_a_log(first)


def verify(stream: BinaryIO, name: str) -> Verified:
    """Every line of a log judged. Raises `BadInput` where it is no log or holds no line."""
    rows, tail = rows_of(stream)
    first = rows[0].raw if rows else tail
    if not first or not could_begin_a_log(first):
        why = "does not begin as one" if first else "is empty"
        raise unusable(Path(name), f"a log was expected, but it {why}")
    judged = _Judged(name)
    faults = chain_faults(rows)
    for row in rows:
        judged.look(row, faults.get(row.number))
    if tail:
        judged.torn(len(rows) + 1, tail)
    return judged.verified(rows, tail)


class _Judged:
    """The judgement as it grows, line by line."""

    def __init__(self, name: str) -> None:
        self._name = name
        self._timeline = Timeline()
        self._journal: Journal | None = None
        self._breaks: list[Break] = []
        self._remarks = Remarks()
        self._kinds: Counter[tuple[str, int]] = Counter()
        self._standing = 0
        self._opened: DayOpened | None = None
        self._joins: list[tuple[int, LogJoined]] = []

    def look(self, row: Row, fault: ChainFault | None) -> None:
        """The next row, and what is wrong with its chain."""
        if fault:
            self._breaks.append(Break(row.number, fault, _chain_said(row, fault)))
        elif row.line is None:
            self._break(row.number, "form", row.why)
        else:
            self._payload(row.number, row.line)

    def torn(self, number: int, tail: bytes) -> None:
        """What stands behind the last whole line."""
        self._breaks.append(Break(number, "torn", say("verified.torn", bytes=len(tail))))

    def _break(self, number: int, fault: Fault, why: str) -> None:
        self._breaks.append(Break(number, fault, say(f"verified.{fault}", why=why)))

    def _payload(self, number: int, line: Line) -> None:
        self._kinds[line.kind, line.v] += 1
        self._timeline = self._timeline.seen(line.stamp)
        try:
            event = event_of(line, self._timeline, self._name)
        except LogDamaged as damaged:
            self._break(number, "payload", damaged.why)
            return
        opens = isinstance(event.body, DayOpened)
        if opens != (number == 1):
            self._breaks.append(
                Break(number, "place", say("verified.second_job" if opens else "verified.no_job"))
            )
        elif not self._breaks:
            self._fold(number, event)

    def _fold(self, number: int, event: Event) -> None:
        """The day after the line; nothing is folded behind a break, since what a line lacks there may stand in that one."""
        if isinstance(event.body, DayOpened):
            self._opened, self._journal = event.body, open_journal(event.body.job)
        assert self._journal is not None
        try:
            self._journal = taken(self._journal, event, self._name)
        except LogDamaged as damaged:
            self._break(number, "day", damaged.why)
            return
        self._standing = number
        if isinstance(event.body, LogJoined):
            self._joins.append((number, event.body))
        self._remarks.look(event, self._journal.day)

    def verified(self, rows: Sequence[Row], tail: bytes) -> Verified:
        """The judgement of all."""
        kinds = tuple((kind, v, count) for (kind, v), count in sorted(self._kinds.items()))
        opened = self._opened
        return Verified(
            rows=len(rows),
            standing=self._standing,
            breaks=tuple(self._breaks),
            remarks=self._remarks.found(),
            tail=tail,
            kinds=kinds,
            hash=rows[self._standing - 1].written if self._standing else "",
            job=opened.job if opened else None,
            made_up=bool(opened and opened.made_up),
            joins=tuple(self._joins),
        )


def _chain_said(row: Row, fault: ChainFault) -> Say:
    if fault == "changed" and row.line is None:
        return say("verified.changed_unreadable", why=row.why)
    if fault == "half":
        return say("verified.half", why=row.why)
    return say(f"verified.{fault}", number=row.claims)
