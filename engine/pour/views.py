"""What a screen shows at an instant, as frozen values: no arithmetic is left for the painter but `until - now`.

Times are log time (seconds since 1970 UTC). Words are `Say`, rendered by the catalogue of the language in use.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from engine.job.model import Finish, UnitSystem
from engine.words import Say

CallState = Literal["mix now", "hold", "edge at risk", "joint", "done", "no answer"]
PlanWanted = Literal["no", "short", "long"]
WindowState = Literal["early", "open", "due", "late", "lost"]


@dataclass(frozen=True)
class CallView:
    """The order to the mixers. `at` is the earliest water contact; `latest` the last one that keeps every window."""

    state: CallState
    reason: Say
    pour: str = ""
    where: str = ""
    batch: str = ""  # the number it will have
    who: str = ""  # who mixes
    station: str = ""
    bags: float = 0.0
    water_l: float = 0.0
    packets: float = 0.0  # for the whole batch
    at: float | None = None
    latest: float | None = None


@dataclass(frozen=True)
class Window:
    """When a pass may start, is due, late and lost; `state` now, or at its stamp once it is done."""

    name: str  # "float", "first_trowel", "second_trowel", "broom"
    open: float
    due: float
    late: float
    lost: float
    state: WindowState
    done_at: float | None = None
    skipped: bool = False


@dataclass(frozen=True)
class Step:
    """What the advance key does to a row: `water`, `mixed`, `tipped`, a pass or `edge`; empty: nothing is left."""

    kind: str
    batches: tuple[str, ...] = ()
    who: str = ""
    assigned: bool = False  # by the foreman; else by the program


@dataclass(frozen=True)
class Row:
    """One line of the running work: a batch, or the batches of a pour that are finished together.

    `until` is the next moment that matters and `until_word` which one (`mixed`, `tipped`, `may start`, `due`, `late`,
    `lost`, `workable`); past it the row counts up. `sure_s` is half the 10 to 90 % span of that moment.
    """

    key: str  # batch id, or pour id when finished whole
    batches: tuple[str, ...]
    pour: str
    where: str
    finish: Finish
    stage: str
    step: Step
    window: Window | None
    until: float | None
    until_word: str
    sure_s: float
    packets: float  # per bag
    temperature_c: float
    set_age_s: float
    workable_until: float | None  # while its edge is live
    assumed: bool  # the latest stamp is assumed
    seq: int  # line of its latest stamp, for the kept mark
    urgency: tuple[int, float] = (0, 0.0)


@dataclass(frozen=True)
class CrewTask:
    """Something a person does: `mix`, `carry`, `place`, a pass, `edge`, `rinse`."""

    kind: str
    pour: str
    batch: str
    start: float
    end: float


@dataclass(frozen=True)
class CrewRow:
    """One person: what is on now, what comes next, and the planned stretch ahead."""

    id: str
    does: tuple[str, ...]
    away: bool
    now: CrewTask | None
    next: CrewTask | None
    ahead: tuple[CrewTask, ...]


@dataclass(frozen=True)
class QueueRow:
    """A pour of the queue. `bags_left` are still to be mixed of `bags`."""

    id: str
    where: str
    state: str  # "queued", "placing", "finishing", "curing", "open", "later visit"
    finish: Finish
    bags: float
    bags_left: float
    packets: float  # per bag, as planned
    start: float | None  # planned water contact of its next batch
    finish_in: str  # "whole" or "strips"
    edge_until: float | None
    feet: float | None  # from the last stroke on
    wheels: float | None
    opened: str  # "", "feet" or "wheels"
    soaked_at: float | None
    flags: tuple[str, ...]
    soak: str = ""  # "damp", "dry again", "not soaked"; empty once it is begun
    wet_next: float | None = None  # of one that cures


@dataclass(frozen=True)
class ReadingsView:
    """Conditions in force at the site, and when somebody last read one (None: forecast only)."""

    air_c: float
    slab_c: float
    humidity: float
    wind_ms: float
    sun: bool
    bags_c: float
    water_c: float
    mix_c: float  # a batch mixed now
    evaporation: float  # kg/m2/h from a fresh batch
    read_at: float | None
    stale: bool = False  # read so long ago that it is asked for again


@dataclass(frozen=True)
class StockView:
    bags: float
    bags_needed: float
    packets: float
    vessels: int
    bags_by_mix: tuple[tuple[str, float], ...] = ()


@dataclass(frozen=True)
class SignView:
    """A sign of the day by its number; `factor` is the rate it alone would give, at most that where not `reached`."""

    at: float
    said: Say
    factor: float | None
    reached: bool
    spreads: float  # from what was expected
    counts: bool


@dataclass(frozen=True)
class FactorView:
    """Today's rate factor, with 10 and 90 %, and the number of signs behind it.

    `spread` is the picture of what the signs say: a share for each equal part of ln k from `span[0]` to `span[1]`.
    """

    value: float
    low: float
    high: float
    observations: int
    frozen: bool = False
    said: Say | None = None  # in words
    spread: tuple[float, ...] = ()
    span: tuple[float, float] = (0.6, 1.6)
    signs: tuple[SignView, ...] = ()


@dataclass(frozen=True)
class PromiseView:
    """A promised opening of the job, and when it is expected (None: not placed by the plan)."""

    pours: tuple[str, ...]
    open_to: str
    by: float
    expected: float | None
    kept: bool


@dataclass(frozen=True)
class LastCallView:
    """Until when the next bag of a pour keeps a promise, and the chance of it as the queue stands.

    Where the queue breaks it, the pour could be taken before `take_before`, until `decide_by`.
    """

    pour: str
    what: str  # "feet", "wheels", "rain", "shade", "dark", "quitting"
    latest: float
    chance: float
    take_before: str = ""
    decide_by: float | None = None
    by: float | None = None  # the promise itself
    planned: float | None = None  # its water by the plan


@dataclass(frozen=True)
class LastLine:
    """The latest line that stands: what undo takes back. `stamp_seq` is the stamp that earlier/later moves."""

    seq: int  # kept with this line; of a day being written the latest of all
    at: float
    text: Say
    stamp_seq: int | None = None


@dataclass(frozen=True)
class LiveView:
    """Everything the live screen draws at `at`."""

    at: float
    title: str
    zone: str
    units: UnitSystem
    call: CallView
    rows: tuple[Row, ...]  # most urgent first
    crew: tuple[CrewRow, ...]
    queue: tuple[QueueRow, ...]
    readings: ReadingsView
    stock: StockView
    factor: FactorView
    last: LastLine | None
    banners: tuple[Say, ...] = ()
    quiet_until: float | None = None  # nothing due before
    trial: float | None = None  # a trial is standing since
    promises: tuple[PromiseView, ...] = ()
    last_calls: tuple[LastCallView, ...] = ()  # most pressing first
    mark: Say | None = None  # what this is where it is no working day; stays on the screen
