"""What the scheduler is given: people, vessels, batches, patches and limits, all in seconds, nothing of the trade's files.

Ages count from a batch's own water contact, which is the start of its mixing. Stage windows are measured on the tool
work; a person is taken from `start - approach_s`. A stage is never interrupted.
"""

from __future__ import annotations

from dataclasses import dataclass, field


@dataclass(frozen=True)
class Person:
    """One member of the crew; `free_s` is the first moment the person can begin something new."""

    id: str
    mixes: bool
    places: bool
    finishes: bool
    free_s: float = 0.0


@dataclass(frozen=True)
class Station:
    """One mixing place; taken, with `hands` people who mix, from water contact to the end of washing."""

    id: str
    hands: int = 1
    free_s: float = 0.0


@dataclass(frozen=True)
class Limits:
    """Ages for one dose of one batch. `passes` are (open, close) of each pass; the float opens at the tip (open 0)."""

    name: str
    packets: float
    working_s: float  # placing ends by here
    joint_s: float  # the next batch of the patch is placed by here
    passes: tuple[tuple[float, float], ...]


@dataclass(frozen=True)
class Batch:
    """One vessel to be mixed. `options` are the doses to choose from; `started_s` and `option` are facts once begun.

    `mixed_s` is the known or expected end of mixing of a batch under way, on the schedule's clock.
    """

    id: str
    mix_s: float
    wash_s: float
    options: tuple[Limits, ...]
    started_s: float | None = None
    mixed_s: float | None = None
    option: int | None = None
    person: str = ""  # who mixes, where that is fixed
    station: str = ""


@dataclass(frozen=True)
class Placement:
    """A batch laid in a patch; a shared batch has one in each of its patches. Facts once begun."""

    batch: str
    carry_s: float
    place_s: float
    started_s: float | None = None
    ended_s: float | None = None
    person: str = ""


@dataclass(frozen=True)
class StageFact:
    """A pass of a finishing job already begun; `ended_s` is known or expected."""

    started_s: float
    ended_s: float
    person: str = ""


@dataclass(frozen=True)
class Finishing:
    """One finishing job: the batches that are finished together and the seconds of each pass, in order.

    `done` holds the facts of the passes already begun, in order; `None` for a pass given up.
    """

    batches: tuple[str, ...]
    pass_s: tuple[float, ...]
    done: tuple[StageFact | None, ...] = ()
    people: tuple[str, ...] = ()  # per pass, a fixed person or ""


@dataclass(frozen=True)
class Patch:
    """Placements in the order laid, and its finishing jobs: one for the whole, or one for each batch."""

    id: str
    approach_s: float
    placements: tuple[Placement, ...]
    finishing: tuple[Finishing, ...]


@dataclass(frozen=True)
class Order:
    """`then` is first placed no earlier than `lag_s` after `first` was placed or finished."""

    first: str
    then: str
    finished: bool = False  # else: placed
    lag_s: float = 0.0


@dataclass(frozen=True)
class Target:
    """A promise for planning: the patch must have been placed by `placed_by_s` (worked back from its opening)."""

    patch: str
    placed_by_s: float


@dataclass(frozen=True)
class Problem:
    """A pour to be scheduled, from `now_s` on."""

    people: tuple[Person, ...]
    stations: tuple[Station, ...]
    batches: tuple[Batch, ...]
    patches: tuple[Patch, ...]
    orders: tuple[Order, ...] = ()
    targets: tuple[Target, ...] = ()
    now_s: float = 0.0
    place_needs: str = "places"  # which skill lays a batch: "places" or "finishes"
    wash_at_once: bool = False  # True: who mixes washes straight after carrying, even when alone on the site


@dataclass(frozen=True)
class MixStart:
    """A batch as called: water contact at `start_s`; its people and its station are free again at `end_s`.

    `helpers` are the further hands of a station that takes more than one. A person alone on the site lays the batch
    before washing: then `end_s` is the end of carrying and the washing is a `WashStart` of its own.
    """

    batch: str
    start_s: float
    option: int
    person: str
    station: str
    end_s: float = 0.0
    helpers: tuple[str, ...] = ()


@dataclass(frozen=True)
class WashStart:
    """Washing out after a batch, where it does not follow straight upon carrying."""

    batch: str
    start_s: float
    end_s: float
    person: str


@dataclass(frozen=True)
class PlaceStart:
    patch: str
    batch: str
    start_s: float
    end_s: float
    person: str


@dataclass(frozen=True)
class PassStart:
    """A pass as scheduled; `index` counts the passes of the job from 0 (the float)."""

    patch: str
    batches: tuple[str, ...]
    index: int
    start_s: float
    end_s: float
    person: str


@dataclass(frozen=True)
class Miss:
    """A limit that a schedule breaks: which, by how many seconds; `stamped` when it is a fact and past changing."""

    limit: str  # "working", "joint", "pass 0", "pass 1", ..., "target"
    patch: str
    batch: str
    late_s: float
    stamped: bool = False


@dataclass(frozen=True)
class Schedule:
    """Everything timed. `misses` is empty for a feasible schedule; `slack_s` is the smallest distance to a closing.

    `slack_s` looks at what is still to come and is infinite where nothing of it can close.
    """

    mixes: tuple[MixStart, ...]
    places: tuple[PlaceStart, ...]
    passes: tuple[PassStart, ...]
    end_s: float
    slack_s: float
    misses: tuple[Miss, ...] = field(default=())
    washes: tuple[WashStart, ...] = field(default=())
