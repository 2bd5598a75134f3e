"""Said before the first bag: pours that cannot be done as they stand and what would cure them, and the sums on a card."""

from __future__ import annotations

import math
from collections.abc import Set
from dataclasses import dataclass
from typing import Any

from engine.job.model import PASSES_OF, Pour
from engine.mix.retarder import stretch
from engine.plan.formulas import (
    COMFORTABLE,
    Bag,
    Hands,
    knit_ceiling,
    most_bags_whole,
    one_bag,
    retarder_costs_nothing_from,
    smallest_knit_crew,
)
from engine.plan.impossible import Cure, Impossible, impossible
from engine.plan.problem import Limits
from engine.pour.calling import pour_of_patch
from engine.pour.dayplan import DayPlan
from engine.pour.planning import first_guess
from engine.pour.prospects import prospects
from engine.pour.reckoning import Moment
from engine.pour.worksheet import worksheet
from engine.units import show_duration
from engine.words import Say, Words, say

BREAK_S = 60.0  # a shorter stretch is no break


@dataclass(frozen=True)
class Foreseen:
    """A pour that no order of the work holds: the batch and limit that fail first, by how much, and tried cures."""

    pour: str
    batch: str
    limit: str  # "working", "joint" or the name of a pass
    late_s: float
    proven: bool
    cures: tuple[Cure, ...]
    packets: float | None = None  # per bag, of the card, that stretch as far as the retarder cure asks


def impossible_pours(moment: Moment) -> tuple[Foreseen, ...]:
    """Every pour not begun that fails even alone; finishing it in strips is tried before it is given up."""
    whole = _tried(moment, frozenset())
    strips = frozenset(pour_of_patch(one.patch) for one in whole if one.limit.startswith("pass"))
    return tuple(_foreseen(moment, one) for one in (_tried(moment, strips) if strips else whole))


def _tried(moment: Moment, strips: Set[str]) -> tuple[Impossible, ...]:
    return impossible(worksheet(moment, first_guess(moment), strips))


def _foreseen(moment: Moment, found: Impossible) -> Foreseen:
    pour = pour_of_patch(found.patch)
    word, _, index = found.limit.partition(" ")
    limit = PASSES_OF[moment.day.pour(pour).finish][int(index)] if index else word
    return Foreseen(
        pour, found.batch, limit, found.late_s, found.proven, found.cures, _packets(moment, pour, found.cures)
    )


def _packets(moment: Moment, pour_id: str, cures: tuple[Cure, ...]) -> float | None:
    """The fewest packets of the card that do what the retarder cure asks; None where the card has none such."""
    asked = next((cure.amount for cure in cures if cure.kind == "retarder"), None)
    if asked is None:
        return None
    retarder, own = moment.card(pour_id).retarder, moment.day.pour(pour_id).packets
    strongest = max(retarder.stretch) if own is None else stretch(retarder, own)
    points = zip(retarder.packets, retarder.stretch, strict=True)
    return next((packets for packets, by in points if by >= asked * strongest), None)


def foreseen_said(found: Foreseen, words: Words) -> Say:
    """The limit that fails first and the cures, as one sentence."""
    cures = [_cure_said(found, cure, words) for cure in found.cures]
    return say(
        "foreseen.cannot" if cures else "foreseen.no_cure",
        pour=found.pour,
        batch=found.batch,
        limit=words(f"foreseen.{found.limit}"),
        late=show_duration(found.late_s),
        cures="; ".join(cures),
    )


def _cure_said(found: Foreseen, cure: Cure, words: Words) -> str:
    if cure.kind == "retarder" and found.packets is not None:
        return words(say("cure.packets", amount=f"{found.packets:g}"))
    return words(say(f"cure.{cure.kind}", amount=f"{cure.amount:g}"))


def foreseen_table(found: Foreseen, words: Words) -> dict[str, Any]:
    """As plain JSON values."""
    return {
        "pour": found.pour,
        "batch": found.batch,
        "limit": found.limit,
        "late_s": found.late_s,
        "proven": found.proven,
        "cures": [{"kind": cure.kind, "amount": cure.amount} for cure in found.cures],
        "text": words(foreseen_said(found, words)),
    }


def quiet_gap(plan: DayPlan) -> tuple[float, float] | None:
    """The longest stretch between first and last task in which nobody has anything to do; None under `BREAK_S`."""
    busy_until, longest = None, None
    for task in sorted(plan.tasks, key=lambda task: task.start):
        if busy_until is not None and task.start > busy_until:
            gap = (busy_until, task.start)
            longest = gap if longest is None or gap[1] - gap[0] > longest[1] - longest[0] else longest
        busy_until = task.end if busy_until is None else max(busy_until, task.end)
    return longest if longest and longest[1] - longest[0] >= BREAK_S else None


def sums_table(moment: Moment, pour: Pour) -> dict[str, Any]:
    """What a foreman works out on a card for a pour: its working time, most bags at one go, when a packet costs nothing."""
    job, taken = moment.job, moment.takeoffs[pour.id]
    per_bag_m2 = pour.area_m2 / max(1, taken.bags)
    strokes = [job.times.stroke_s_m2(name) * per_bag_m2 for name in PASSES_OF[pour.finish]]
    bag = Bag(
        mix_s=moment.card(pour.id).mixing_s,
        carry_s=job.times.carry_s,
        wash_s=job.times.rinse_s + job.times.load_s,
        place_s=job.times.tip_s + job.times.strike_off_s,
        float_s=strokes[0],
        first_s=strokes[1] if len(strokes) > 1 else 0.0,
        second_s=strokes[2] if len(strokes) > 2 else 0.0,
        walk_s=job.times.walk_s,
    )
    return {"pour": pour.id, "doses": _doses(moment, pour, bag, _hands(moment))}


def _doses(moment: Moment, pour: Pour, bag: Bag, hands: Hands) -> list[dict[str, Any]]:
    return [
        {
            "packets": dose.packets,
            "working_time_s": dose.limits.working_s,
            "working_time_wanted_s": COMFORTABLE * bag.down_s,
            "working_time_over_need": one_bag(bag, dose.limits),
            "most_bags_before_a_joint": _counted(knit_ceiling(bag, hands, dose.limits)),
            "most_bags_finished_whole": _whole(bag, hands, dose.limits),
            "crew_that_knits_for_ever": _crew(smallest_knit_crew(bag, dose.limits)),
            "packet_costs_nothing_from_bags": (
                retarder_costs_nothing_from(bag, hands, dose.limits) if len(dose.limits.passes) > 2 else None
            ),
        }
        for dose in prospects(moment, pour, True, moment.at)
    ]


def _whole(bag: Bag, hands: Hands, limits: Limits) -> int | None:
    """Strokes grow with the bags; None where the pour has no trowel."""
    if len(limits.passes) < 2:
        return None
    return most_bags_whole(bag, hands, limits, lambda n: n * bag.float_s, lambda n: n * bag.first_s)


def _crew(crew: Hands | None) -> dict[str, int] | None:
    return None if crew is None else {"mixers": crew.mixers, "finishers": crew.finishers}


def _counted(bags: float) -> int | None:
    """Whole bags; None for no end."""
    return None if math.isinf(bags) else math.floor(bags)


def _hands(moment: Moment) -> Hands:
    """People by what they do; a mixer counts with a station."""
    does = [person.does for person in moment.day.crew()]
    mixers = min(sum("mix" in skills for skills in does), len(moment.job.stations))
    return Hands(max(1, mixers), max(1, sum("finish" in skills for skills in does)))
