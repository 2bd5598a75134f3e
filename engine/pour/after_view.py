"""What is left to do on finished pours, as a screen lays it out: care, checks, change orders, return visits. Frozen values.

Times are log time (seconds since 1970 UTC), lengths in metres, slopes as rise over level length, prices in the job's currency.
"""

from __future__ import annotations

import datetime
from dataclasses import dataclass

from engine.job.changes import BagChange
from engine.job.limits import Sense
from engine.job.model import OpenTo
from engine.sources import Source
from engine.words import Say


@dataclass(frozen=True)
class OpensView:
    """When a finished pour is expected to bear feet or wheels.

    `at` None: not reached in the days reckoned. `early` and `late` are the same were the rate from now on that of the 90
    and 10 % marks of today's factor. The label's own time `label_s` counts from the last tip and is over at `label_at`;
    no opening is before it.
    """

    to: OpenTo
    at: float | None
    early: float | None
    late: float | None
    label_s: float
    label_at: float
    rests: Say


@dataclass(frozen=True)
class CareRow:
    """A pour with something in it. While it is worked on, `last_stroke` is None and it has neither cure nor openings.

    `wet_next` None: its cure ends before the next wetting; `wet_until` infinite: longer than reckoned. `cover` is "sheet",
    "blanket", "bare" or, where nobody noted any, empty. `strong_at` is when strength for a first frost is expected.
    `coat_from` is the day from which it is old enough to coat where the coating's label asks for no more, `coat_day` the
    first expected day nothing foreseen stands against; `coat` what was read against it.
    """

    id: str
    where: str
    state: str  # "placing", "finishing", "curing", "open"
    last_stroke: float | None
    wet_at: float | None
    wet_next: float | None
    wet_until: float | None
    cover: str
    cover_since: float | None
    lift: Say | None  # of a blanket: whether it may come off
    strong_at: float | None
    opens: tuple[OpensView, ...]
    opened: str  # "", "feet" or "wheels"
    opened_at: float | None
    night: Say
    freeze_at: float | None
    coat_from: float | None
    coat_day: float | None
    coat: Say | None


@dataclass(frozen=True)
class CheckRow:
    """One check of a pour, or one reading of it.

    `word` is the verdict, what was heard or felt, or "not read"; of `name` "readiness", "ticked" or "not ticked", with
    the points `done` and `missing`. `wanted` is what is asked for where it is no number. `source` None: the job says this
    limit itself, or there is none. `asked` false: not on the list for this use. `entry` and `tail` are the typed line
    before and behind what is read; `entry` empty where nothing can be entered any more.
    """

    pour: str
    name: str
    spot: str
    word: str
    value: float | None = None
    limit: float | None = None
    sense: Sense | None = None
    wanted: str = ""
    before: float | None = None
    said: Say | None = None
    source: Source | None = None
    notes: tuple[Say, ...] = ()
    done: tuple[str, ...] = ()
    missing: tuple[str, ...] = ()
    asked: bool = True
    entry: str = ""
    tail: str = ""


@dataclass(frozen=True)
class ChangeRow:
    """A change order, or with `at` None a hole that may still become one.

    `initials` empty: not agreed. `entry` and `tail` are the typed line before and behind what is still to be said.
    """

    pour: str
    at: float | None
    depths_before_m: tuple[float, ...]
    depths_m: tuple[float, ...]
    reason: str = ""
    bags: tuple[BagChange, ...] = ()
    price: float = 0.0
    initials: str = ""
    entry: str = ""
    tail: str = ""


@dataclass(frozen=True)
class ChangeSums:
    """Prices agreed and still open, and bags of the take-off more than in the job file, by mix."""

    agreed: float
    open: float
    bags: tuple[tuple[str, int], ...]
    currency: str


@dataclass(frozen=True)
class VisitRow:
    """A visit still due. `day` None: not agreed; `entry` is the typed line that agrees on its day, or says it was made."""

    kind: str
    day: datetime.date | None
    pours: tuple[str, ...]
    title: Say
    tasks: tuple[Say, ...]
    overdue: bool
    entry: str


@dataclass(frozen=True)
class AfterView:
    """Everything the after screen draws beside the live view it stands on."""

    care: tuple[CareRow, ...]  # wetted next first, those still worked on last
    checks: tuple[CheckRow, ...]
    changes: tuple[ChangeRow, ...]  # orders as they stand, oldest first, then holes
    sums: ChangeSums
    visits: tuple[VisitRow, ...]
    today: datetime.date
