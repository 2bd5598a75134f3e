"""The last water contact that still keeps a promise: an opening, or the work done before rain, dark or quitting time.

Worked back from the promise with the clock a bag would have now: what sets slower leaves less time. The chance is that
of keeping it were the next bag to go in at once, from what is not known of today's rate factor.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

from engine.job.model import PASSES_OF, Pour
from engine.pour.finishing_jobs import cycle_s
from engine.pour.needs import bags_a_batch, bags_left, this_visit
from engine.pour.prospects import GRID_S, Prospect, prospects
from engine.pour.reckoning import Moment
from engine.pour.times import iso

TEN_PER_CENT = 1.2816  # standard deviations from the median to the 10 and 90 % marks
GRAIN = 1e-6
ROUNDS = 8


@dataclass(frozen=True)
class LastCall:
    """For the next bag of a pour: until when its water still keeps the promise, and the chance were it to go in now.

    `what` is "feet" or "wheels" for an opening, else the name of a deadline of the job.
    """

    pour: str
    what: str
    by: float
    latest: float
    chance: float


def last_calls(moment: Moment) -> tuple[LastCall, ...]:
    """Every promise that a pour with bags left still has to keep, the most pressing first."""
    found = [
        call for pour in moment.day.pours if bags_left(moment, pour) > 0 for call in _of_pour(moment, pour)
    ]
    return tuple(sorted(found, key=lambda call: (call.latest, call.pour)))


def _of_pour(moment: Moment, pour: Pour) -> Iterator[LastCall]:
    if not this_visit(moment, pour):
        return
    later = _later_bags(moment, pour)
    more_s = later * cycle_s(moment) if later else 0.0
    if math.isinf(more_s):  # nobody mixes
        return
    for target in moment.job.targets:
        if pour.id in target.pours:
            fixed_s = _tip_s(moment, pour) + more_s
            yield _call(moment, pour, _Wanted(target.open_to, target.by, fixed_s))
    for deadline in moment.job.deadlines:
        yield _call(moment, pour, _Wanted(deadline.what, deadline.at, more_s))


@dataclass(frozen=True)
class _Wanted:
    """A promise, and the seconds of mixing, carrying and further bags before it that pass whatever the rate."""

    what: str
    by: float
    fixed_s: float


def _call(moment: Moment, pour: Pour, wanted: _Wanted) -> LastCall:
    """First with the clock of a bag now, then of a bag at the time so found, until that stands still."""
    latest, before = moment.at, -math.inf
    for _ in range(ROUNDS):
        setting_s, label_s = _needs(moment, pour, _dose(moment, pour, latest), wanted.what)
        before, latest = latest, wanted.by - wanted.fixed_s - max(setting_s, label_s)
        if abs(latest - before) < GRID_S:
            break
    setting_s, label_s = _needs(moment, pour, _dose(moment, pour, moment.at), wanted.what)
    room_s = wanted.by - moment.at - wanted.fixed_s
    chance = _chance(moment, setting_s, room_s) if room_s >= label_s else 0.0
    return LastCall(pour.id, wanted.what, wanted.by, latest, chance)


def _dose(moment: Moment, pour: Pour, water_at: float) -> Prospect:
    """The least dose, on a grid of times: a screen asks every second."""
    at = max(water_at, moment.at) if math.isfinite(water_at) else moment.at
    return prospects(moment, pour, True, (at // GRID_S + 1) * GRID_S)[0]


def _needs(moment: Moment, pour: Pour, dose: Prospect, what: str) -> tuple[float, float]:
    """Seconds that go with the rate, and how many it takes at the least."""
    label = moment.card(pour.id).opening
    if what == "feet":
        return dose.feet_s, label.feet_s
    if what == "wheels":
        return dose.wheels_s, label.wheels_s
    return _done_s(moment, pour, dose), 0.0


def _later_bags(moment: Moment, pour: Pour) -> int:
    """Batches that come after the next one."""
    return max(0, math.ceil(bags_left(moment, pour) / bags_a_batch(moment) - GRAIN) - 1)


def _tip_s(moment: Moment, pour: Pour) -> float:
    return moment.card(pour.id).mixing_s + moment.job.times.carry_s


def _done_s(moment: Moment, pour: Pour, dose: Prospect) -> float:
    """Seconds from water contact to the end of the last stroke, made as soon as the surface takes it."""
    last, name = dose.limits.passes[-1][0], PASSES_OF[pour.finish][-1]
    stroke_s = moment.job.times.stroke_s_m2(name) * pour.area_m2 + (moment.job.times.edge_s or 0.0)
    return max(last, _tip_s(moment, pour)) + stroke_s


def _chance(moment: Moment, setting_s: float, room_s: float) -> float:
    """That today's factor is quick enough: log-normal, as its 10 and 90 % marks say."""
    factor = moment.factor
    spread = math.log(factor.high / factor.low) / (2 * TEN_PER_CENT)
    if room_s <= 0.0 or math.isinf(setting_s):
        return 0.0
    if spread <= 0.0:
        return float(setting_s <= room_s)
    return 0.5 * math.erfc(math.log(setting_s / room_s) / (spread * math.sqrt(2.0)))


def last_call_table(call: LastCall) -> dict[str, Any]:
    """As plain JSON values."""
    return {
        "pour": call.pour,
        "what": call.what,
        "by": iso(call.by),
        "latest_water": iso(call.latest),
        "chance_now": call.chance,
    }
