"""From readings to bags: area, depth, volume, waste, lifts, whole bags and what is left to spare."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

from engine.job.geometry import Flag, Hole, hole_flags, merge_flags
from engine.job.lifts import GRAIN, choose_mix, lifts_needed, whole_up
from engine.job.model import Job, Pour, Practice
from engine.mix.card import MixCard
from engine.words import Say, say


@dataclass(frozen=True)
class PourTakeoff:
    """One pour measured up. `bags` are whole, rounded up for each lift; `mix` is the key of its card."""

    id: str
    area_m2: float
    mean_depth_m: float
    volume_net_m3: float
    volume_with_waste_m3: float
    mix: str
    bags_exact: float
    bags: int
    lifts: int
    lift_depth_m: float  # mean
    spare_fraction: float  # of the bags bought
    flags: tuple[str, ...]
    cautions: tuple[Say, ...]

    @property
    def bags_per_lift(self) -> int:
        return self.bags // self.lifts

    @property
    def last_bag_share(self) -> float:
        """How much of the last bag of a lift is needed, 0 to 1."""
        return self.bags_exact / self.lifts - (self.bags_per_lift - 1)


@dataclass(frozen=True)
class JobTakeoff:
    """All pours of this visit and their sums; `bags_by_mix` in the order the mixes are first needed."""

    pours: tuple[PourTakeoff, ...]
    area_m2: float
    volume_net_m3: float
    volume_with_waste_m3: float
    bags_exact: float
    bags: int
    bags_by_mix: tuple[tuple[str, int], ...]
    notes: tuple[Say, ...]

    def pour(self, pour_id: str) -> PourTakeoff:
        """The take-off of a pour; `KeyError` where this visit has none of that id."""
        for taken in self.pours:
            if taken.id == pour_id:
                return taken
        raise KeyError(pour_id)


def mix_of(pour: Pour, mixes: Sequence[MixCard], practice: Practice) -> MixCard:
    """The card a pour names, else the one its depth asks for. Raises `KeyError` for a name without a card."""
    if not pour.mix:
        return choose_mix(pour, mixes, practice["geometry.stone_part"])
    by_key = {card.key: card for card in mixes}
    return by_key[pour.mix]


def pour_takeoff(pour: Pour, job: Job) -> PourTakeoff:
    """Measure up one pour; a depth read later is the same call with a replaced pour.

    Waste is the practice's for the pour's edges.
    """
    card = card_of(pour, job)
    lifts = lifts_needed(max(pour.depths_m), card)
    exact = _with_waste_m3(pour, job) / card.bag.yield_m3
    needed = exact + sum(_with_waste_m3(guest, job) for guest in guests(pour, job)) / card.bag.yield_m3
    bags = 0 if pour.shares else lifts * whole_up(needed / lifts)
    spare = max(0.0, (bags - needed) / bags) if bags else 0.0
    flags = _flags(Hole(pour, card, lifts), spare, job)
    return PourTakeoff(
        id=pour.id,
        area_m2=pour.area_m2,
        mean_depth_m=pour.mean_depth_m,
        volume_net_m3=pour.area_m2 * pour.mean_depth_m,
        volume_with_waste_m3=_with_waste_m3(pour, job),
        mix=card.key,
        bags_exact=exact,
        bags=bags,
        lifts=lifts,
        lift_depth_m=pour.mean_depth_m / lifts,
        spare_fraction=spare,
        flags=tuple(flag.word for flag in flags),
        cautions=tuple(flag.caution for flag in flags),
    )


def card_of(pour: Pour, job: Job) -> MixCard:
    """The card that fills a pour: of one that shares a bag, that of the bag."""
    host = job.pour(pour.shares) if pour.shares else pour
    return mix_of(host, job.mixes, job.practice)


def guests(pour: Pour, job: Job) -> tuple[Pour, ...]:
    """The pours that are filled from the last bag of this one as well."""
    return tuple(other for other in job.pours if other.shares == pour.id)


def _with_waste_m3(pour: Pour, job: Job) -> float:
    return pour.area_m2 * pour.mean_depth_m * (1 + job.practice[f"takeoff.waste_{pour.edges}"])


def _flags(hole: Hole, spare: float, job: Job) -> tuple[Flag, ...]:
    tight = _spare_flags(hole, spare, job.practice["takeoff.tight_spare"])
    this_visit = [pour for pour in job.pours if pour.visit == hole.pour.visit]
    return (*tight, *hole_flags(hole, job.practice), *merge_flags(hole.pour, this_visit, job.practice))


def _spare_flags(hole: Hole, spare: float, least: float) -> tuple[Flag, ...]:
    if hole.pour.shares:
        return (Flag("shared bag", say("caution.shared_bag", pour=hole.pour.id, host=hole.pour.shares)),)
    if spare >= least - GRAIN:
        return ()
    return (Flag("tight", say("caution.tight", pour=hole.pour.id, spare=f"{spare:.0%}")),)


def job_takeoff(job: Job, visit: int = 1) -> JobTakeoff:
    """Measure up every pour of a visit."""
    pours = tuple(pour_takeoff(pour, job) for pour in job.pours if pour.visit == visit)
    return JobTakeoff(
        pours=pours,
        area_m2=sum(p.area_m2 for p in pours),
        volume_net_m3=sum(p.volume_net_m3 for p in pours),
        volume_with_waste_m3=sum(p.volume_with_waste_m3 for p in pours),
        bags_exact=sum(p.bags_exact for p in pours),
        bags=sum(p.bags for p in pours),
        bags_by_mix=_bags_by_mix(pours),
        notes=(*_half_bag_note(job, pours), *_share_notes(job, pours)),
    )


def _bags_by_mix(pours: Sequence[PourTakeoff]) -> tuple[tuple[str, int], ...]:
    keys = dict.fromkeys(p.mix for p in pours)
    return tuple((key, sum(p.bags for p in pours if p.mix == key)) for key in keys)


def _share_notes(job: Job, pours: Sequence[PourTakeoff]) -> tuple[Say, ...]:
    """Neighbours in the queue that one bag would fill together, and that do not share one yet."""
    return tuple(
        say("note.share", first=one.id, then=two.id)
        for one, two in pairwise(pours)
        if one.bags == two.bags == 1
        and one.mix == two.mix
        and one.bags_exact + two.bags_exact <= 1 + GRAIN
        and job.pour(one.id).finish == job.pour(two.id).finish
    )


def _half_bag_note(job: Job, pours: Sequence[PourTakeoff]) -> tuple[Say, ...]:
    """Pours whose last bag is at most half used: the other half of the trial bag would do there."""
    shared = {pour.shares for pour in job.pours}
    halves = [p.id for p in pours if p.bags and p.last_bag_share <= 0.5 + GRAIN and p.id not in shared]
    return (say("note.half_bag", pours=", ".join(halves)),) if halves else ()
