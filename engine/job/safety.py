"""Cautions: which stands where, and on which days. None of them ever covers a running clock."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Literal

from engine.job.heat import heat_band, heat_index_c
from engine.job.lifting import FROM_THE_FLOOR, lifting_index
from engine.job.model import Job
from engine.words import Say, say

Place = Literal["planning", "start of day", "report", "help"]
When = Literal["always", "ramp", "steps", "hot people", "hot bags", "cold", "retarded and cold"]


@dataclass(frozen=True)
class Caution:
    """One caution: its key, where it stands, and the days it stands on (in help it always stands)."""

    key: str
    places: tuple[Place, ...]
    when: When = "always"


CAUTIONS: tuple[Caution, ...] = (
    Caution("caution.estimates", ("planning", "start of day", "report")),
    Caution("caution.structure", ("planning",)),
    Caution("caution.ramp", ("planning", "report"), "ramp"),
    Caution("caution.steps", ("planning", "report"), "steps"),
    Caution("caution.skin", ("start of day",)),
    Caution("caution.dust", ("planning", "start of day")),
    Caution("caution.bags_dust", ("start of day",)),
    Caution("caution.lifting", ("planning", "start of day")),
    Caution("caution.cords", ("start of day",)),
    Caution("caution.ears", ("start of day",)),
    Caution("caution.hot", ("planning", "start of day"), "hot people"),
    Caution("caution.hot_bags", ("planning", "start of day"), "hot bags"),
    Caution("caution.cold", ("planning", "start of day"), "cold"),
    Caution("caution.retarded_cold", ("planning", "start of day"), "retarded and cold"),
    Caution("caution.opening", ("planning", "report")),
    Caution("caution.wash_water", ("start of day", "report")),
    Caution("caution.coating", ("report",)),
    Caution("caution.care", ("report",)),
    Caution("caution.crazing", ("report",)),
    Caution("caution.injury", ("start of day",)),
)


def cautions(place: Place, job: Job) -> tuple[Say, ...]:
    """The cautions that stand at a place on this job's day; in help all of them."""
    holds = day_kinds(job)
    return tuple(
        _said(caution.key, job)
        for caution in CAUTIONS
        if place == "help" or (place in caution.places and caution.when in holds)
    )


def _said(key: str, job: Job) -> Say:
    """Weights and the heat band go in as numbers of the job; the rest are plain sentences."""
    if key == "caution.lifting":
        return say(key, index=f"{_worst_index(job):.1f}")
    if key == "caution.hot":
        return say(key, band=heat_band(hottest_index_c(job), job.practice))
    return say(key)


def _worst_index(job: Job) -> float:
    """Lifting index of the heaviest bag taken from the floor."""
    return max(lifting_index(card.bag.mass_kg, FROM_THE_FLOOR) for card in job.mixes)


def hottest_index_c(job: Job) -> float:
    """The highest heat index of the forecast, in the shade."""
    return max(heat_index_c(row.air_c, row.humidity) for row in job.conditions)


def day_kinds(job: Job) -> frozenset[When]:
    """What kind of day it is: which sometimes-cautions stand on it."""
    return frozenset(_day_kinds(job))


def _day_kinds(job: Job) -> Iterator[When]:
    yield "always"
    uses = {pour.use for pour in job.pours}
    if uses & {"ramp", "landing"}:
        yield "ramp"
    if "step" in uses:
        yield "steps"
    if hottest_index_c(job) >= job.practice["safety.heat_index"]:
        yield "hot people"
    if _hottest_bag_c(job) >= job.practice["safety.hot_bags"]:
        yield "hot bags"
    yield from _cold_kinds(job)


def _cold_kinds(job: Job) -> Iterator[When]:
    """Cold looks ahead over the whole forecast: one freezing night is enough to spoil a patch."""
    coldest_c = min(min(row.air_c, row.air_c if row.slab_c is None else row.slab_c) for row in job.conditions)
    if coldest_c < job.practice["frost.air_under"]:
        yield "cold"
        if any(pour.packets != 0 for pour in job.pours):
            yield "retarded and cold"


def _hottest_bag_c(job: Job) -> float:
    if job.materials.bags_c is not None:
        return job.materials.bags_c
    return max(row.air_c for row in job.conditions)
