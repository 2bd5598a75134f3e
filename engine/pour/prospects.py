"""What a batch still to come would meet: the limits of its clock for each dose, were its water to go in then."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from functools import lru_cache

from engine.job.model import PASSES_OF, Pour
from engine.mix.card import MixCard
from engine.plan.problem import Limits
from engine.pour.reckoning import Moment
from engine.site.trajectory import BatchClock, trajectory
from engine.site.windows import opening, pass_times, workable_until

GRID_S = 300.0  # expected water contacts are looked at on this grid, so that equal clocks are reckoned once


@dataclass(frozen=True)
class Prospect:
    """One dose: its limits, the clock of its batch left bare, and when it must be placed for a target."""

    packets: float
    limits: Limits
    clock: BatchClock
    finished: float  # its last pass is due, the pour counts as covered
    bare_c: float  # mean of the patch then
    placed_by: float | None = None

    @property
    def feet_s(self) -> float:
        """From the tip to opening for feet; infinite where it does not open in reach of the clock."""
        return _opens_s(self.clock, self.finished, self.clock.card.opening.feet_s)

    @property
    def wheels_s(self) -> float:
        """As `feet_s`, for wheels."""
        return _opens_s(self.clock, self.finished, self.clock.card.opening.wheels_s)


@lru_cache(maxsize=512)
def _opens_s(clock: BatchClock, finished: float, label_s: float) -> float:
    """Reckoned only where somebody asks: it goes on for hours after the last pass."""
    tip = clock.tip_at if clock.tip_at is not None else clock.water_at
    kept = trajectory(replace(clock, covered=((finished, True),)))
    opens = opening(kept, tip, label_s)
    return math.inf if opens is None else opens - tip


def prospects(moment: Moment, pour: Pour, top: bool, water_at: float) -> tuple[Prospect, ...]:
    """The doses open to a pour's next batches, least first; those that would miss its target are left out.

    The pour's own dose alone where the job states one. Where every dose misses the target, the least stays.
    """
    card = moment.card(pour.id)
    doses = (pour.packets,) if pour.packets is not None else card.retarder.packets
    at = max(moment.at, math.floor(water_at / GRID_S) * GRID_S)
    found = [
        _prospect(clock_of(moment, pour, card, dose, at), top, pour, moment.job.times.strike_off_s)
        for dose in doses
    ]
    return _for_target(moment, pour, found, at)


def clock_of(moment: Moment, pour: Pour, card: MixCard, packets: float, water_at: float) -> BatchClock:
    """The clock a batch would have whose water goes in then, bare and tipped as soon as it can be."""
    tip = water_at + card.mixing_s + moment.job.times.carry_s
    latest = moment.factor_steps[-1:]
    return BatchClock(
        card=card,
        packets=packets,
        water_at=water_at,
        mix_c=moment.vessel_c(card, pour.id, water_at),
        mix_readings=(),
        tip_at=tip,
        slab_c=moment.site.slab_c(pour.id, tip),
        depth_m=moment.takeoffs[pour.id].lift_depth_m,
        weather=moment.site.weather_from(pour.id, tip),
        covered=(),
        factor=tuple((water_at, k) for _, k in latest),
        heat=moment.heat,
    )


@lru_cache(maxsize=512)
def _prospect(clock: BatchClock, top: bool, pour: Pour, strike_off_s: float) -> Prospect:
    path, card = trajectory(clock), clock.card
    tip = clock.tip_at if clock.tip_at is not None else clock.water_at
    names = PASSES_OF[pour.finish] if top else ("float",)
    windows = dict(pass_times(card, names, path, tip, strike_off_s))
    workable = workable_until(path, card) - clock.water_at
    passes = tuple(
        (0.0 if name == "float" else windows[name].open - clock.water_at, windows[name].late - clock.water_at)
        for name in names
    )
    joint = workable + strike_off_s  # tipped while workable, struck off after
    limits = Limits(f"{clock.packets:g}", clock.packets, workable, joint, passes)
    finished = windows[names[-1]].due
    return Prospect(clock.packets, limits, clock, finished, path.temperature_at(finished))


def _for_target(moment: Moment, pour: Pour, found: list[Prospect], at: float) -> tuple[Prospect, ...]:
    wanted = [target for target in moment.job.targets if pour.id in target.pours]
    if not wanted:
        return tuple(found)
    dated = [_dated(prospect, {t.open_to: t.by for t in wanted}) for prospect in found]
    tip_s = moment.card(pour.id).mixing_s + moment.job.times.carry_s
    in_time = [prospect for prospect in dated if (prospect.placed_by or math.inf) >= at + tip_s]
    return tuple(in_time or dated[:1])


def _dated(prospect: Prospect, by: dict[str, float]) -> Prospect:
    placed_by = min(at - (prospect.feet_s if to == "feet" else prospect.wheels_s) for to, at in by.items())
    return replace(prospect, placed_by=placed_by)
