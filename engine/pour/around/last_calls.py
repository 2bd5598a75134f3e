"""The last water contact that still keeps a promise: an opening, or the work done before rain, dark or quitting time.

`latest` is worked back from the promise with the clock a bag would have then, and the pour's own further bags at the pace
of every station: what sets slower leaves less time. It knows nothing of the queue. The plan does: it says when the pour's
turn comes, how long its bags take among the others, and so whether the queue as it stands keeps the promise. Where it
does not, the pour may still be taken before another; that decision is gone when the other one's water goes in.

Chances come from what is not known of today's rate factor.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from typing import Any

from engine.job.model import PASSES_OF, Pour
from engine.pour.around.chances import quicker_chance
from engine.pour.around.turns import Turn, turn_of, turns_before
from engine.pour.dayplan import DayPlan
from engine.pour.finishing_jobs import cycle_s
from engine.pour.needs import bags_a_batch, bags_left, this_visit
from engine.pour.prospects import GRID_S, Prospect, prospects
from engine.pour.reckoning import Moment
from engine.pour.times import iso

OPENINGS = ("feet", "wheels")
GRAIN = 1e-6
ROUNDS = 8


@dataclass(frozen=True)
class LastCall:
    """For the next bag of a pour: until when its water keeps the promise, and the chance were it to go in now.

    `what` is "feet" or "wheels" for an opening, else the name of a deadline of the job. `planned` is its water contact by
    the plan, with the chance of that; None where the plan does not place it. Where the queue as it stands breaks the
    promise, `take_before` is the last pour before which this one could be taken to keep it, until `decide_by`, and no pour
    that is put off by it loses a promise.
    """

    pour: str
    what: str
    by: float
    latest: float
    chance: float
    planned: float | None = None
    planned_chance: float | None = None
    take_before: str = ""
    decide_by: float | None = None

    @property
    def pressing(self) -> float:
        """When the next decision about it is gone."""
        return self.latest if self.decide_by is None else min(self.latest, self.decide_by)


@dataclass(frozen=True)
class _Wanted:
    """A promise, and the seconds after water contact that pass whatever the rate: mixing, carrying, further bags.

    `packets` of the bag; None: the fewest that may be.
    """

    what: str
    by: float
    fixed_s: float
    packets: float | None = None


class _Ahead:
    """What bags of a moment would need, each looked up once: a screen asks every second."""

    def __init__(self, moment: Moment) -> None:
        self.moment = moment
        self._known: dict[tuple[str, str, float, float | None], tuple[float, float]] = {}

    def needs(self, pour: Pour, wanted: _Wanted, water_at: float) -> tuple[float, float]:
        """Seconds that go with the rate, and how many it takes at the least, for water at a time."""
        at = self._on_grid(water_at)
        key = (pour.id, wanted.what if wanted.what in OPENINGS else "", at, wanted.packets)
        if key not in self._known:
            self._known[key] = _needs(
                self.moment, pour, wanted.what, _dose(self.moment, pour, at, wanted.packets)
            )
        return self._known[key]

    def takes_s(self, pour: Pour, wanted: _Wanted, water_at: float) -> float:
        """Setting, or the label's own time where that is longer."""
        return max(self.needs(pour, wanted, water_at))

    def _on_grid(self, water_at: float) -> float:
        """On the plan's grid of times and never between, so that clocks already reckoned are found again."""
        now = self.moment.at
        at = _cell(max(water_at, now) if math.isfinite(water_at) else now)
        return at if at >= now else at + GRID_S


def last_calls(moment: Moment, plan: DayPlan) -> tuple[LastCall, ...]:
    """Every promise that a pour with bags left still has to keep, the most pressing first."""
    ahead = _Ahead(moment)
    queue = [
        _in_turn(ahead, plan, pour, wanted)
        for pour in moment.day.pours
        if this_visit(moment, pour) and bags_left(moment, pour) > 0
        for wanted in _wanted(moment, pour)
    ]
    found = [call if room_s >= 0.0 else _moved(moment, plan, call, queue) for call, room_s in queue]
    return tuple(sorted(found, key=lambda call: (call.pressing, call.pour)))


def latest_waters(moment: Moment, pour: Pour) -> dict[str, float]:
    """The last water contact of a pour's next bag for each promise, whatever the queue."""
    ahead = _Ahead(moment)
    return {wanted.what: _latest(ahead, pour, wanted) for wanted in _wanted(moment, pour)}


def _wanted(moment: Moment, pour: Pour) -> Iterator[_Wanted]:
    targets = [target for target in moment.job.targets if pour.id in target.pours]
    if not targets and not moment.job.deadlines:
        return
    later = _later_bags(moment, pour)
    more_s = later * cycle_s(moment) if later else 0.0
    if math.isinf(more_s):  # nobody mixes
        return
    for target in targets:
        laid_s = _tip_s(moment, pour) + moment.job.times.tip_s + moment.job.times.strike_off_s
        yield _Wanted(target.open_to, target.by, laid_s + more_s)
    for deadline in moment.job.deadlines:
        yield _Wanted(deadline.what, deadline.at, more_s)


def _latest(ahead: _Ahead, pour: Pour, wanted: _Wanted) -> float:
    """Cell by cell of the plan's grid of times, back from about there: the last one in which some water keeps it."""

    def kept_to(cell: float) -> float:
        return wanted.by - wanted.fixed_s - ahead.takes_s(pour, wanted, cell)

    now = ahead.moment.at
    first = kept_to(now)
    cell = _cell(kept_to(first) if math.isfinite(first) else now) + GRID_S
    for _ in range(ROUNDS):
        if not cell > kept_to(cell) or cell <= now:
            break
        cell -= GRID_S
    return min(kept_to(cell), cell + GRID_S)


def _cell(at: float) -> float:
    return at // GRID_S * GRID_S


def _in_turn(ahead: _Ahead, plan: DayPlan, pour: Pour, wanted: _Wanted) -> tuple[LastCall, float]:
    """What the clock says and what the queue makes of it, and the seconds that the queue as it stands leaves."""
    moment, latest = ahead.moment, _latest(ahead, pour, wanted)
    call = LastCall(pour.id, wanted.what, wanted.by, latest, _chance_at(ahead, pour, wanted, moment.at))
    turn = turn_of(moment, plan, pour)
    if turn is None:
        return call, -math.inf
    queued = replace(wanted, packets=plan.packets(pour.shares or pour.id))
    queued = replace(queued, fixed_s=_fixed_in_turn_s(ahead, pour, queued, turn))
    chance = _chance_at(ahead, pour, queued, turn.water)
    call = replace(call, planned=turn.water, planned_chance=chance)
    return call, wanted.by - turn.water - queued.fixed_s - ahead.takes_s(pour, queued, turn.water)


def _moved(
    moment: Moment, plan: DayPlan, call: LastCall, queue: Sequence[tuple[LastCall, float]]
) -> LastCall:
    """With the last place in the queue that keeps it and takes from no other pour what the queue keeps for it."""
    pour = moment.day.pour(call.pour)
    delay_s = (1 + _later_bags(moment, pour)) * cycle_s(moment)
    for other, water in turns_before(moment, plan, pour):
        if any(0.0 <= room_s < delay_s for one, room_s in queue if one.pour == other):
            return call
        if water <= call.latest:
            return replace(call, take_before=other, decide_by=water)
    return call


def _fixed_in_turn_s(ahead: _Ahead, pour: Pour, wanted: _Wanted, turn: Turn) -> float:
    """From water contact to the last tip as planned; for strokes, what they wait for beyond the surface as well."""
    if wanted.what in OPENINGS:
        return turn.tipped - turn.water
    return turn.done - turn.water - ahead.takes_s(pour, wanted, turn.water)


def _dose(moment: Moment, pour: Pour, at: float, packets: float | None) -> Prospect:
    """That dose, else the least."""
    doses = prospects(moment, pour, True, at)
    return next((dose for dose in doses if dose.packets == packets), doses[0])


def _needs(moment: Moment, pour: Pour, what: str, dose: Prospect) -> tuple[float, float]:
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


def _chance_at(ahead: _Ahead, pour: Pour, wanted: _Wanted, water_at: float) -> float:
    """That today's factor is quick enough were the water to go in then: log-normal, as its 10 and 90 % marks say."""
    setting_s, label_s = ahead.needs(pour, wanted, water_at)
    room_s = wanted.by - water_at - wanted.fixed_s
    if room_s < label_s or room_s <= 0.0 or math.isinf(setting_s):
        return 0.0
    return quicker_chance(setting_s / room_s, ahead.moment.factor)


def last_call_table(call: LastCall) -> dict[str, Any]:
    """As plain JSON values."""
    return {
        "pour": call.pour,
        "what": call.what,
        "by": iso(call.by),
        "latest_water": iso(call.latest),
        "chance_now": call.chance,
        "planned_water": iso(call.planned),
        "chance_as_planned": call.planned_chance,
        "take_before": call.take_before,
        "decide_by": iso(call.decide_by),
    }
