"""The day so far, as plain facts: what was stamped, read, seen. Nothing here is reckoned; clocks follow from it."""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import cached_property
from typing import TypeVar

from engine.job.model import Job, OpenTo, Person, Pour, Skill
from engine.pour.body import Body
from engine.pour.events import SignWord, StrokeName
from engine.pour.posterior import Factor
from engine.site.conditions import Reading


@dataclass(frozen=True)
class Stroke:
    """The end of a pass on one batch. `seq` is its line in the log."""

    name: StrokeName
    at: float
    who: str
    assumed: bool
    seq: int


@dataclass(frozen=True)
class Batch:
    """One mixed vessel, or (with `source`) the portion of a shared one that went into another pour."""

    id: str
    pour: str
    bags: float
    packets: float
    water_at: float
    mixer: str
    mixer_assumed: bool
    station: str
    seq: int
    source: str = ""
    mixed_at: float | None = None
    tipped_at: float | None = None
    tipped_by: str = ""
    lost_at: float | None = None
    why_lost: str = ""
    strokes: tuple[Stroke, ...] = ()
    skipped: tuple[StrokeName, ...] = ()

    @property
    def live(self) -> bool:
        return self.lost_at is None

    def stroke(self, name: StrokeName) -> Stroke | None:
        """The stamp of a pass on this batch, if there is one."""
        return next((stroke for stroke in self.strokes if stroke.name == name), None)

    def settled(self, name: StrokeName) -> bool:
        """Whether a pass is stamped or given up."""
        return name in self.skipped or self.stroke(name) is not None


@dataclass(frozen=True)
class Trial:
    """Half a bag beside the work, in its vessel all along."""

    id: str
    mix: str
    packets: float
    bags: float
    water_at: float


@dataclass(frozen=True)
class Called:
    """A bag called and not yet wet."""

    pour: str
    station: str
    packets: float
    who: str
    assumed: bool
    at: float
    seq: int


@dataclass(frozen=True)
class Sign:
    """What the material showed, and when."""

    word: SignWord
    subject: str
    name: StrokeName | None
    at: float
    seq: int


@dataclass(frozen=True)
class CoverStep:
    """From `at` on the pour is covered (`sheet`, `blanket`) or bare (empty)."""

    pour: str
    cover: str
    at: float


@dataclass(frozen=True)
class Opening:
    pour: str
    to: OpenTo
    at: float
    who: str


@dataclass(frozen=True)
class Assignment:
    """The foreman's word on who does what; the latest for the same thing counts."""

    person: str
    pour: str
    name: str
    batches: tuple[str, ...]


@dataclass(frozen=True)
class Note:
    where: str
    text: str
    at: float


B = TypeVar("B", bound=Body)


@dataclass(frozen=True)
class Record:
    """Something measured, ticked or agreed: the event's own payload, when and by whom."""

    body: Body
    at: float
    who: str


@dataclass(frozen=True)
class Absence:
    """One going (`away` true) or coming of a person."""

    person: str
    away: bool
    at: float


@dataclass(frozen=True)
class Day:
    """Facts of a day up to its latest line. `pours` is the queue, with splits in it."""

    job: Job
    pours: tuple[Pour, ...]
    batches: tuple[Batch, ...] = ()
    trials: tuple[Trial, ...] = ()
    called: tuple[Called, ...] = ()
    readings: tuple[Reading, ...] = ()
    signs: tuple[Sign, ...] = ()
    forgotten: tuple[Sign, ...] = ()  # signs taken back by themselves
    freezes: tuple[
        tuple[float, Factor | None], ...
    ] = ()  # from when on the factor stays so; None: learns again
    covers: tuple[CoverStep, ...] = ()
    soaked: tuple[tuple[str, float], ...] = ()
    opened: tuple[Opening, ...] = ()
    filled: tuple[str, ...] = ()  # pours that take no more: split at a joint
    left: tuple[str, ...] = ()  # pours left for a later visit
    rejected: tuple[tuple[str, str, float], ...] = ()  # mix, why, when
    vessels_lost: tuple[tuple[str, float], ...] = ()  # station, when
    absences: tuple[Absence, ...] = ()
    assignments: tuple[Assignment, ...] = ()
    lent: tuple[tuple[str, Skill], ...] = ()  # what somebody does beside what the job names
    notes: tuple[Note, ...] = ()
    records: tuple[Record, ...] = ()

    def recorded(self, kind: type[B], pour: str = "") -> tuple[tuple[B, float], ...]:
        """Records of a kind with their times, oldest first; of one pour, if named."""
        return tuple(
            (record.body, record.at)
            for record in self.records
            if isinstance(record.body, kind) and pour in ("", getattr(record.body, "pour", ""))
        )

    def batch(self, batch_id: str) -> Batch:
        """The batch of an id; `KeyError` where the day has none."""
        return self._batch_by_id[batch_id]

    def has_batch(self, batch_id: str) -> bool:
        return batch_id in self._batch_by_id

    def batches_of(self, pour_id: str) -> tuple[Batch, ...]:
        """Live batches of a pour, in the order of their water."""
        return self._live_by_pour.get(pour_id, ())

    def pour(self, pour_id: str) -> Pour:
        """The pour of an id, as it stands now; `KeyError` where the day has none."""
        return self._pour_by_id[pour_id]

    def has_pour(self, pour_id: str) -> bool:
        return pour_id in self._pour_by_id

    @cached_property
    def _batch_by_id(self) -> dict[str, Batch]:
        return {batch.id: batch for batch in reversed(self.batches)}

    @cached_property
    def _live_by_pour(self) -> dict[str, tuple[Batch, ...]]:
        found: dict[str, list[Batch]] = {}
        for batch in self.batches:
            if batch.live:
                found.setdefault(batch.pour, []).append(batch)
        return {pour: tuple(batches) for pour, batches in found.items()}

    @cached_property
    def _pour_by_id(self) -> dict[str, Pour]:
        return {pour.id: pour for pour in reversed(self.pours)}

    def crew(self) -> tuple[Person, ...]:
        """Everybody, here or away, with what each does today."""
        if not self.lent:
            return self.job.people
        return tuple(_with_lent(person, self.lent) for person in self.job.people)

    def away(self) -> frozenset[str]:
        """Who is away now."""
        latest = {absence.person: absence.away for absence in self.absences}
        return frozenset(person for person, gone in latest.items() if gone)

    def with_batch(self, changed: Batch) -> Day:
        """The day with one batch replaced."""
        return replace(self, batches=tuple(changed if b.id == changed.id else b for b in self.batches))


def _with_lent(person: Person, lent: tuple[tuple[str, Skill], ...]) -> Person:
    more = (skill for who, skill in lent if who == person.id)
    return replace(person, does=tuple(dict.fromkeys((*person.does, *more))))


def new_day(job: Job) -> Day:
    """A day with nothing done yet."""
    return Day(job=job, pours=job.pours)
