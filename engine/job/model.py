"""The job as read from its file, in SI units: frozen, complete, and what the log's first line carries."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Literal

from engine.mix.card import MixCard
from engine.mix.learned import Learned
from engine.site.coating import ExpectedDay
from engine.site.conditions import ForecastRow, Materials

Skill = Literal["mix", "place", "finish"]
Finish = Literal["trowel", "broom", "float"]
Edges = Literal["sawn", "chipped"]
Use = Literal["walk", "ramp", "landing", "step", "floor"]
OpenTo = Literal["feet", "wheels"]
Carried = Literal["ground", "suspended"]
PassName = Literal["float", "first_trowel", "second_trowel", "broom"]
UnitSystem = Literal["us", "metric"]

PASSES_OF: dict[Finish, tuple[PassName, ...]] = {
    "trowel": ("float", "first_trowel", "second_trowel"),
    "broom": ("float", "first_trowel", "broom"),
    "float": ("float",),
}


@dataclass(frozen=True)
class Person:
    id: str
    does: tuple[Skill, ...]


@dataclass(frozen=True)
class Station:
    id: str
    vessel: str
    bags_per_batch: float = 1.0
    hands: int = 1


@dataclass(frozen=True)
class Times:
    """The crew's times; strokes are seconds per square metre. `edge_s` None: no edging stamped."""

    load_s: float
    carry_s: float
    tip_s: float
    rinse_s: float
    walk_s: float
    strike_off_s: float
    float_s_m2: float
    first_trowel_s_m2: float
    second_trowel_s_m2: float
    broom_s_m2: float
    edge_s: float | None = None

    def stroke_s_m2(self, name: str) -> float:
        """Seconds per square metre of a pass."""
        rates = {
            "float": self.float_s_m2,
            "first_trowel": self.first_trowel_s_m2,
            "second_trowel": self.second_trowel_s_m2,
            "broom": self.broom_s_m2,
        }
        return rates[name]


@dataclass(frozen=True)
class Stock:
    """What is on the trailer; bags by mix key."""

    bags: tuple[tuple[str, float], ...] = ()
    packets: float = 0.0
    vessels: int = 0


@dataclass(frozen=True)
class Pour:
    """One patch. `area_m2` is the outline's, the rectangle's or the stated one; depths are readings.

    `steel_bare` is how much of a bar's round lies bare, 0 to 1, 0 where it only shows; None: no steel seen.
    """

    id: str
    area_m2: float
    depths_m: tuple[float, ...]
    finish: Finish
    where: str = ""
    edges: Edges = "sawn"
    use: Use = "walk"
    mix: str = ""  # mix key; empty: chosen by depth
    packets: float | None = None  # per bag; None: planned
    after: tuple[str, ...] = ()
    visit: int = 1
    length_m: float | None = None
    width_m: float | None = None
    outline_m: tuple[tuple[float, float], ...] = ()
    slab_m: float | None = None  # thickness of the slab; None: not known
    carried: Carried = "ground"  # what the slab or the flight lies on
    steel_bare: float | None = None
    shares: str = ""  # the pour whose last bag fills this one as well

    @property
    def mean_depth_m(self) -> float:
        return sum(self.depths_m) / len(self.depths_m)


@dataclass(frozen=True)
class Target:
    pours: tuple[str, ...]
    open_to: OpenTo
    by: float


Until = Literal["rain", "shade", "dark", "quitting"]


@dataclass(frozen=True)
class Deadline:
    """By when the strokes of every pour are to be done, and why."""

    what: Until
    at: float


@dataclass(frozen=True)
class Practice:
    """The trade's numbers by dotted key, in SI units; the job's own values already put in."""

    values: tuple[tuple[str, float], ...] = ()
    _table: dict[str, float] = field(init=False, repr=False, compare=False, hash=False)

    def __post_init__(self) -> None:
        object.__setattr__(self, "_table", dict(self.values))

    def __getitem__(self, key: str) -> float:
        return self._table[key]


@dataclass(frozen=True)
class Written:
    """What cards and job file say where learned values stand in their place."""

    mixes: tuple[MixCard, ...]
    times: Times


@dataclass(frozen=True)
class Job:
    """A site and a day. `start` is the earliest first water contact."""

    name: str
    date: str  # ISO
    zone: str  # IANA name
    units: UnitSystem
    start: float
    mixes: tuple[MixCard, ...]
    conditions: tuple[ForecastRow, ...]
    materials: Materials
    people: tuple[Person, ...]
    stations: tuple[Station, ...]
    times: Times
    stock: Stock
    pours: tuple[Pour, ...]
    practice: Practice
    targets: tuple[Target, ...] = ()
    currency: str = ""
    deadlines: tuple[Deadline, ...] = ()
    expected: tuple[ExpectedDay, ...] = ()  # of the season left, for a coating
    learned: tuple[Learned, ...] = ()  # already put in place of what `written` keeps
    written: Written | None = None

    def mix(self, key: str) -> MixCard:
        """The card of a key; `KeyError` where the job has none."""
        for card in self.mixes:
            if card.key == key:
                return card
        raise KeyError(key)

    def pour(self, pour_id: str) -> Pour:
        """The pour of an id; `KeyError` where the job has none."""
        for pour in self.pours:
            if pour.id == pour_id:
                return pour
        raise KeyError(pour_id)
