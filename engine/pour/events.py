"""Everything that can happen in a day, as frozen events. Kinds are past tense; a kind's version rises when it changes."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any, Literal

from engine.clock import Stamp
from engine.job.model import Job, OpenTo
from engine.plain import from_plain, to_plain
from engine.pour import measured, replanned  # their kinds are in the log like those below
from engine.pour.body import Body, kind_of

How = Literal["pressed", "shifted", "assumed", "corrected"]
StrokeName = Literal["float", "first_trowel", "second_trowel", "broom", "edge"]
Cover = Literal["sheet", "blanket"]
SignWord = Literal["stiff", "ready", "not yet", "still moves"]


@dataclass(frozen=True)
class DayOpened(Body):
    """First line of a log: the whole job, mixes and practice values as used."""

    job: Job
    program: str = ""
    made_up: bool = False  # a rehearsal; nobody goes on with it as with a working day


@dataclass(frozen=True)
class ClockJumped(Body):
    """Wall clock and running clock parted by so many seconds; no batch is re-timed."""

    by_s: float


@dataclass(frozen=True)
class LogJoined(Body):
    """Here another log of the same day and job begins; it stands in place of that log's first line.

    Bags called and not yet wet are called no more. `last_at` is the line before, `first_at` this one, log time in seconds.
    """

    log: str  # the file's name
    lines: int
    last_at: float
    first_at: float
    overlaps: bool = False  # lines of an earlier log follow: both were written at once
    runs: tuple[tuple[int, int, int], ...] = ()  # its lines: number here, number there, how many in a row


@dataclass(frozen=True)
class ReadingTaken(Body):
    """Site or pour readings; None: not measured."""

    pour: str = ""
    air_c: float | None = None
    slab_c: float | None = None
    humidity: float | None = None
    wind_ms: float | None = None
    sun: bool | None = None
    bags_c: float | None = None
    water_c: float | None = None
    ice_kg: float | None = None
    mix_c: float | None = None
    surface_c: float | None = None
    station_ms: float | None = None  # a weather station's wind, which `wind_ms` was reckoned from


@dataclass(frozen=True)
class TrialStarted(Body):
    """Half a bag mixed beside the work."""

    trial: str
    mix: str
    packets: float = 0.0
    bags: float = 0.5


@dataclass(frozen=True)
class BagCalled(Body):
    """The next bag was called: nothing is wet yet."""

    pour: str
    station: str = ""
    packets: float = 0.0


@dataclass(frozen=True)
class WaterAdded(Body):
    """Water contact: the batch's clock starts. `packets` per bag."""

    batch: str
    pour: str
    bags: float
    packets: float = 0.0
    station: str = ""


@dataclass(frozen=True)
class Mixed(Body):
    batch: str


@dataclass(frozen=True)
class Tipped(Body):
    batch: str


@dataclass(frozen=True)
class PartTipped(Body):
    """Part of a shared batch goes into another pour, as a portion with an id of its own."""

    batch: str
    pour: str
    source: str


@dataclass(frozen=True)
class StrokeDone(Body):
    """The end of a pass over some batches."""

    name: StrokeName
    batches: tuple[str, ...]


@dataclass(frozen=True)
class StrokeSkipped(Body):
    """A pass that will not be done on these batches."""

    name: StrokeName
    batches: tuple[str, ...]


@dataclass(frozen=True)
class SignSeen(Body):
    """What the material showed: the batch or trial, and for `ready` and `not yet` the pass that was next."""

    word: SignWord
    subject: str
    name: StrokeName | None = None


@dataclass(frozen=True)
class SignForgotten(Body):
    """The sign of line `seq` counts no more; lines after it stay. `word` and `subject` are that sign's."""

    seq: int
    word: SignWord
    subject: str


@dataclass(frozen=True)
class FactorFrozen(Body):
    """Today's rate factor stays as it is now, with its 10 and 90 per cent and the signs behind it."""

    value: float
    low: float
    high: float
    observations: int


@dataclass(frozen=True)
class FactorFreed(Body):
    """The rate factor learns again; signs seen meanwhile count from now on."""


@dataclass(frozen=True)
class BatchLost(Body):
    batch: str
    why: str = ""


@dataclass(frozen=True)
class BagRejected(Body):
    """A bag thrown out dry."""

    mix: str
    pour: str = ""
    why: str = ""


@dataclass(frozen=True)
class VesselLost(Body):
    station: str = ""
    why: str = ""


@dataclass(frozen=True)
class Soaked(Body):
    pour: str


@dataclass(frozen=True)
class Covered(Body):
    pour: str
    cover: Cover = "sheet"


@dataclass(frozen=True)
class Uncovered(Body):
    pour: str


@dataclass(frozen=True)
class Opened(Body):
    pour: str
    to: OpenTo


@dataclass(frozen=True)
class PacketsCorrected(Body):
    batch: str
    packets: float


@dataclass(frozen=True)
class WentAway(Body):
    person: str


@dataclass(frozen=True)
class CameBack(Body):
    person: str


@dataclass(frozen=True)
class Assigned(Body):
    """A person put on a pass or the placing of some batches; without batches on mixing for a pour (`name` "mix" or empty),
    on placing it (`place`) or on every pass of it (`finish`).
    """

    person: str
    pour: str
    name: str = ""
    batches: tuple[str, ...] = ()


@dataclass(frozen=True)
class PourLeft(Body):
    """A pour of the queue left for a later visit."""

    pour: str


@dataclass(frozen=True)
class PourSplit(Body):
    """The filled share of a pour stays; the rest is a pour of its own behind a planned joint."""

    pour: str
    share: float
    rest: str


@dataclass(frozen=True)
class NoteWritten(Body):
    text: str
    where: str = ""


@dataclass(frozen=True)
class StampShifted(Body):
    """An earlier line happened so many seconds later (negative: earlier) than it says."""

    seq: int
    by_s: float


@dataclass(frozen=True)
class Undone(Body):
    """Takes back the line of this number."""

    seq: int


@dataclass(frozen=True)
class Event:
    """One line of the log. `at` is when it happened; `stamp` when and on which clock it was pressed.

    `who` did the work; `assumed` when the program's own assignment stands for it.
    """

    seq: int
    at: float
    body: Body
    stamp: Stamp
    who: str = ""
    assumed: bool = False
    how: How = "pressed"


MEASURED: tuple[type[Body], ...] = measured.KINDS
REPLANNED: tuple[type[Body], ...] = replanned.KINDS
KINDS: dict[str, type[Body]] = {kind_of(cls): cls for cls in Body.__subclasses__()}


def body_to_plain(body: Body) -> dict[str, Any]:
    """The payload as JSON values."""
    plain: dict[str, Any] = to_plain(body)
    return plain


def body_from_plain(kind: str, version: int, data: dict[str, Any]) -> Body:
    """The payload again. Raises `ValueError` for an unknown kind, a version from the future or a payload that does not fit."""
    cls = KINDS.get(kind)
    if cls is None:
        raise ValueError(f"no event is called {kind!r}")
    if version > cls.version:
        raise ValueError(
            f"{kind!r} version {version} was written by a newer program; this one reads up to {cls.version}"
        )
    return from_plain(cls, data)
