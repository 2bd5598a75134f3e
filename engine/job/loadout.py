"""The list for loading the evening before: what, how much of it, and what stands still without it.

Counts that no figure of the job gives are common practice; those that may change are practice values.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass
from typing import Literal

from engine.job.buying import BuyLine, BuyList
from engine.job.geometry import plan_size_m
from engine.job.lifts import GRAIN
from engine.job.model import Job, Pour
from engine.units import show_mass
from engine.words import Say, say

Unit = Literal["", "l", "kg", "m2"]


@dataclass(frozen=True)
class LoadItem:
    """One line. `have` is the stock's count, None where nobody keeps one; units are SI, empty for pieces."""

    what: Say
    count: float
    unit: Unit
    have: float | None
    blocks: Say

    @property
    def missing(self) -> float:
        """How many the stock is known to lack; 0 where no stock is kept."""
        return 0.0 if self.have is None else max(0.0, self.count - self.have)


@dataclass(frozen=True)
class Day:
    """What the counts are taken from. `shift_s` is how long people are on site."""

    job: Job
    buy: BuyList
    shift_s: float

    @property
    def pours(self) -> tuple[Pour, ...]:
        return tuple(pour for pour in self.job.pours if pour.visit == 1)

    @property
    def people(self) -> int:
        return len(self.job.people)

    @property
    def stations(self) -> int:
        return len(self.job.stations)

    @property
    def finishers(self) -> int:
        return sum("finish" in person.does for person in self.job.people)

    def finished_by(self, *finishes: str) -> int:
        """How many pours end in one of these finishes."""
        return sum(pour.finish in finishes for pour in self.pours)

    def practice(self, key: str) -> float:
        return self.job.practice[key]


def cover_m2(day: Day) -> float:
    """Sheet for every pour, reaching beyond its edges all round."""
    beyond_m = day.practice("loadout.cover_beyond")
    return sum(_grown_m2(pour, beyond_m) for pour in day.pours)


def _grown_m2(pour: Pour, beyond_m: float) -> float:
    length_m, width_m = plan_size_m(pour) or (math.sqrt(pour.area_m2),) * 2
    return (length_m + 2 * beyond_m) * (width_m + 2 * beyond_m)


def needs_blankets(day: Day) -> bool:
    """Whether air or slab of the forecast falls under the temperature from which fresh work is insulated."""
    limit_c = day.practice("temperature.insulate_under")
    return any(min(row.air_c, _or(row.slab_c, row.air_c)) < limit_c for row in day.job.conditions)


def _or(value: float | None, otherwise: float) -> float:
    return otherwise if value is None else value


def _sets(day: Day) -> float:
    """Tools of a mixing station: one each, and never fewer than a pair of them."""
    return max(day.practice("loadout.least_sets"), float(day.stations))


def _vessels(day: Day) -> float:
    return day.practice("loadout.least_vessels") + day.stations


def _drinking_l(day: Day) -> float:
    return day.people * day.shift_s / 3600 * day.practice("loadout.drinking_per_hour")


def _edgers(day: Day) -> float:
    return 0.0 if day.job.times.edge_s is None else day.practice("loadout.edgers")


def _barricades(day: Day) -> float:
    return day.practice("loadout.barricades") * len({pour.where for pour in day.pours})


def _heaviest_hammer(day: Day) -> str:
    """In both unit systems, as it stands on the tool in one of them."""
    under_kg = day.practice("loadout.hammer_under")
    return f"{show_mass(under_kg, 'us')} ({show_mass(under_kg, 'metric')})"


def _one(_day: Day) -> float:
    return 1.0


@dataclass(frozen=True)
class _Kind:
    """A line of every list: its key in the words, how it is counted, what the stock says, a limit named in it."""

    key: str
    count: Callable[[Day], float]
    unit: Unit = ""
    have: Callable[[Day], float] | None = None
    most: Callable[[Day], str] | None = None


KINDS: tuple[_Kind, ...] = (
    _Kind("packets", lambda day: day.buy.packets, have=lambda day: day.job.stock.packets),
    _Kind("vessels", _vessels, have=lambda day: day.job.stock.vessels),
    _Kind("paddles", _sets),
    _Kind("drills", _sets),
    _Kind("jugs", _sets),
    _Kind("mixing_water", lambda day: day.buy.water.mixing_l, "l"),
    _Kind("rinsing_water", lambda day: day.buy.water.rinsing_l, "l"),
    _Kind("soaking_water", lambda day: day.buy.water.soaking_l, "l"),
    _Kind("ice", lambda day: day.buy.ice_kg, "kg"),
    _Kind("wash_tub", _one),
    _Kind("saw", _one),
    _Kind("chipping_hammer", _one, most=_heaviest_hammer),
    _Kind("vacuum", _one),
    _Kind("sprayer", _one),
    _Kind("thermometer", _one),
    _Kind("screed", _one),
    _Kind("forms", lambda day: sum(pour.use == "step" for pour in day.pours)),
    _Kind("joint_strip", _one),
    _Kind("floats", lambda day: day.finishers),
    _Kind("trowels", lambda day: day.finishers if day.finished_by("trowel", "broom") else 0),
    _Kind("broom", lambda day: float(day.finished_by("broom") > 0)),
    _Kind("edgers", _edgers),
    _Kind("straightedge", _one),
    _Kind("level", _one),
    _Kind("sheet", cover_m2, "m2"),
    _Kind("burlap", lambda day: day.practice("loadout.burlap_layers") * cover_m2(day), "m2"),
    _Kind("blankets", lambda day: cover_m2(day) if needs_blankets(day) else 0.0, "m2"),
    _Kind("shade", lambda day: float(any(row.sun for row in day.job.conditions))),
    _Kind("barricades", _barricades),
    _Kind("cord_protection", lambda day: day.stations),
    _Kind("gloves", lambda day: day.practice("loadout.gloves") * day.people),
    _Kind("eye_protection", lambda day: day.people),
    _Kind("respirators", lambda day: day.people),
    _Kind("hearing_protection", lambda day: day.people),
    _Kind("eye_wash", _one),
    _Kind("first_aid", _one),
    _Kind("soap", _one),
    _Kind("drinking_water", _drinking_l, "l"),
    _Kind("charger", _one),
)


def load_list(job: Job, buy: BuyList, shift_s: float | None = None) -> tuple[LoadItem, ...]:
    """Bags first, then everything else this job needs, each with what it blocks; a shift not known is the practice's."""
    day = Day(job, buy, job.practice["loadout.shift"] if shift_s is None else shift_s)
    lines = (_line(kind, day) for kind in KINDS)
    return (*(_bags(line, job) for line in buy.lines), *(line for line in lines if line.count > GRAIN))


def _bags(line: BuyLine, job: Job) -> LoadItem:
    name = job.mix(line.mix).name
    what, blocks = say("load.bags", mix=name), say("blocks.bags", mix=name)
    return LoadItem(what, float(line.need), "", line.in_stock, blocks)


def _line(kind: _Kind, day: Day) -> LoadItem:
    have = None if kind.have is None else float(kind.have(day))
    most = {} if kind.most is None else {"most": kind.most(day)}
    what, blocks = say(f"load.{kind.key}", **most), say(f"blocks.{kind.key}")
    return LoadItem(what, float(kind.count(day)), kind.unit, have, blocks)
