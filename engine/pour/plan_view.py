"""The plan of a day as a screen lays it out: queue, crew, take-off, what to buy, what to look out for. Frozen values.

Times are log time (seconds since 1970 UTC), sizes in metres, square and cubic metres, water in litres.
"""

from __future__ import annotations

from dataclasses import dataclass

from engine.job.model import Finish, Skill
from engine.pour.views import CrewTask
from engine.words import Say


@dataclass(frozen=True)
class PlanRow:
    """A pour in its place in the queue.

    `water` is the planned contact of its next batch, `done` the end of its last planned stroke; None where the plan does
    not place it. `finish_in` is "whole", "strips" or empty where nothing of it is planned. `put_on` holds who was put on
    which work beforehand.
    """

    id: str
    where: str
    state: str  # "queued", "placing", "finishing", "curing", "open", "later visit"
    finish: Finish
    finish_in: str
    bags: float
    bags_left: float
    packets: float  # per bag, as planned
    dose_stated: bool  # by the job or the foreman; else the plan chose
    water: float | None
    done: float | None
    put_on: tuple[tuple[Skill, str], ...]
    begun: bool  # something of it is wet
    shares: str  # the pour whose last bag fills this one as well
    flags: tuple[str, ...]


@dataclass(frozen=True)
class PlanCrew:
    """A person's work of the rest of the day, in order."""

    id: str
    does: tuple[str, ...]
    away: bool
    tasks: tuple[CrewTask, ...]


@dataclass(frozen=True)
class TakeoffRow:
    """A pour measured up; with `id` empty the sum of this visit."""

    id: str
    area_m2: float
    depth_m: float  # mean
    volume_m3: float  # with waste
    bags: float
    spare: float  # share of the bags
    mix: str
    lifts: int


@dataclass(frozen=True)
class BuyRow:
    """Bags of one mix for the whole visit, and how it stands now: `to_mix` still go in, `left` are on the trailer."""

    mix: str
    for_pours: float
    spares: float
    need: float  # with trial and spares
    had: float
    to_buy: float
    to_mix: float
    left: float
    cost: float | None


@dataclass(frozen=True)
class Buy:
    """Everything to buy for the visit; `cost` None as soon as one mix has no price."""

    rows: tuple[BuyRow, ...]
    packets: float
    packets_to_buy: float
    water_l: float
    ice_kg: float
    cost: float | None
    currency: str


@dataclass(frozen=True)
class PlanView:
    """Everything the plan screen draws beside the live view it stands on."""

    rows: tuple[PlanRow, ...]
    crew: tuple[PlanCrew, ...]
    start: float  # of what the crew rows show
    end: float
    takeoff: tuple[TakeoffRow, ...]  # the sum last
    buy: Buy
    misses: tuple[Say, ...]  # what no order of the work found keeps
    cautions: tuple[Say, ...]
    notes: tuple[Say, ...] = ()
