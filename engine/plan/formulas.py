"""What a foreman can work out on a card: pace, length of the day, most bags in a patch, smallest crew, retarder.

All times in seconds. The formulas are sums and quotients of the stages of one bag; each says where it holds. Measured
against 46 feasible pours with fixed roles (stages and windows of those pours are assumed ranges, not site records).
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from math import ceil, inf

from engine.plan.problem import Limits

COMFORTABLE = 1.7  # working time over mixing, carrying and placing: ten bags in time on 19 days of 20
FLOAT, FIRST, SECOND = 0, 1, 2  # passes


@dataclass(frozen=True)
class Bag:
    """The stages of one bag: mixing, carrying, washing out, placing, float, first and second trowel, one walk."""

    mix_s: float
    carry_s: float
    wash_s: float
    place_s: float
    float_s: float
    first_s: float
    second_s: float
    walk_s: float

    @property
    def down_s(self) -> float:
        """From water contact until placed, were nobody to wait."""
        return self.mix_s + self.carry_s + self.place_s

    @property
    def mixing_s(self) -> float:
        """How long a mixer is held."""
        return self.mix_s + self.carry_s + self.wash_s

    @property
    def finishing_s(self) -> float:
        """How long finishers are held: placing, float, two trowels, three walks."""
        return self.place_s + self.float_s + self.first_s + self.second_s + 3.0 * self.walk_s


@dataclass(frozen=True)
class Hands:
    """Mixers (each with a station) and finishers; `both` are people who do either."""

    mixers: int
    finishers: int
    both: int = 0


def one_bag(bag: Bag, limits: Limits) -> float:
    """Working time over mix, carry and place. Below 1 it cannot be done by anybody; below `COMFORTABLE` it is a gamble.

    Holds always: nothing else enters. Only retarder, cooler material or quicker mixing change it.
    """
    return limits.working_s / bag.down_s


def pace_s(bag: Bag, hands: Hands) -> float:
    """Seconds between bags at the bottleneck, the slower of mixing and finishing.

    Holds for long pours of separate bags, which reach 97 to 100 % of it when timed exactly; count on 75 to 90 %.
    With people who do both it is a floor: no faster than all work over all people.
    """
    people = hands.mixers + hands.finishers + hands.both
    mixers, finishers = hands.mixers + hands.both, hands.finishers + hands.both
    shared = (bag.mixing_s + bag.finishing_s) / people if hands.both else 0.0
    return max(_over(bag.mixing_s, mixers), _over(bag.finishing_s, finishers), shared)


def bags_per_hour(bag: Bag, hands: Hands) -> float:
    """The same as bags an hour."""
    return 3600.0 / pace_s(bag, hands)


def bottleneck(bag: Bag, hands: Hands) -> str:
    """ "mixing" or "finishing": which of the two sets the pace. Holds for fixed roles."""
    slower = _over(bag.mixing_s, hands.mixers) > _over(bag.finishing_s, hands.finishers)
    return "mixing" if slower else "finishing"


def length_s(bag: Bag, hands: Hands, bags: int, limits: Limits) -> float:
    """From the first water contact to the end of the last second trowel.

    Holds for fixed roles and bags finished one by one: within 5 % of the best schedule in 44 of 46 pours; too short
    where patches are finished whole by a small crew (0.82 at worst).
    """
    worked = bag.mix_s + bag.carry_s + bags * _over(bag.finishing_s, hands.finishers)
    first_down = bag.place_s + bag.float_s + bag.walk_s
    step = max(_over(bag.mixing_s, hands.mixers), _over(first_down, hands.finishers))
    waited = (bags - 1) * step + limits.passes[SECOND][0] + bag.second_s
    return max(worked, waited)


def most_bags_whole(
    bag: Bag,
    hands: Hands,
    limits: Limits,
    float_s: Callable[[int], float],
    first_s: Callable[[int], float],
    most: int = 99,
) -> int:
    """Most bags in a patch finished as a whole, whose float and first trowel take `float_s(n)` and `first_s(n)`; 0: none.

    The oldest bag rules the closings, the youngest the openings. Holds for one dose in the whole patch; never too
    many in 24 settings, exact in 13, one short in 8.
    """
    step = max(_over(bag.mixing_s, hands.mixers), bag.place_s + bag.walk_s)
    found = 0
    for bags in range(1, most + 1):
        last_down = bag.down_s + (bags - 1) * step
        floated = last_down + float_s(bags) <= limits.passes[FLOAT][1]
        opens, closes = limits.passes[FIRST]
        if not floated or (bags - 1) * step + opens + first_s(bags) > closes or bag.down_s > limits.working_s:
            break
        found = bags
    return found


def knit_pace_s(bag: Bag, limits: Limits) -> float:
    """Slowest pace at which the bags of one patch still knit. Holds where every bag is called by it and none waits."""
    return limits.joint_s - bag.down_s


def knits_for_ever(bag: Bag, hands: Hands, limits: Limits) -> bool:
    """Whether a patch laid bag by bag needs no end: mixing and finishing both keep the knitting pace.

    Holds as a sufficient rule (8 of 8 settings up to 15 bags); a patch that fails it may still be short enough.
    """
    return pace_s(bag, hands) <= knit_pace_s(bag, limits)


def knit_ceiling(bag: Bag, hands: Hands, limits: Limits) -> float:
    """No more bags than this in one patch laid bag by bag; infinite where nothing piles up.

    A ceiling, never below the true limit (24 of 24), exact in half of the settings where that is known: trust it
    below 3, else take half and put a planned joint there.
    """
    pace, crew = knit_pace_s(bag, limits), hands.finishers
    if pace < _over(bag.mixing_s, hands.mixers):
        return 1.0
    floated = bag.place_s + bag.walk_s + bag.float_s
    held = (floated, floated + bag.first_s + bag.walk_s, bag.finishing_s)
    ceilings = [
        crew * (closes - bag.mix_s - bag.carry_s - pace) / (work - crew * pace)
        for work, (_, closes) in zip(held, limits.passes, strict=False)
        if work > crew * pace
    ]
    return max(1.0, min(ceilings, default=inf))


def smallest_crew(bag: Bag, limits: Limits, bags: int, within_s: float) -> Hands | None:
    """Fewest mixers and finishers for separate bags within a time; None where even any number would be too slow.

    Holds for fixed roles, as `length_s` turned round; more people never cure a working time that is too short.
    """
    for_finishing = within_s - bag.mix_s - bag.carry_s
    for_mixing = within_s - limits.passes[SECOND][0] - bag.second_s
    if one_bag(bag, limits) < 1.0 or for_finishing <= 0.0 or for_mixing < 0.0:
        return None
    steps = bags - 1
    if steps and for_mixing <= 0.0:
        return None
    mixers = ceil(steps * bag.mixing_s / for_mixing) if steps else 1
    first_down = steps * (bag.place_s + bag.float_s + bag.walk_s) / for_mixing if steps else 0.0
    finishers = ceil(max(bags * bag.finishing_s / for_finishing, first_down))
    return Hands(max(1, mixers), max(1, finishers))


def smallest_knit_crew(bag: Bag, limits: Limits) -> Hands | None:
    """Fewest mixers and finishers that keep the knitting pace for ever; None where no crew does. Holds as above."""
    pace = knit_pace_s(bag, limits)
    if pace <= 0.0:
        return None
    return Hands(ceil(bag.mixing_s / pace), ceil(bag.finishing_s / pace))


def retarder_costs_nothing_from(bag: Bag, hands: Hands, limits: Limits) -> int:
    """Bags from which a dose no longer lengthens the day: there is other work enough to fill the wait.

    `limits` with the dose. Holds for separate bags and fixed roles, within a bag or two: 3 to 4 a finisher without
    retarder, 7 with one dose, 10 with two.
    """
    return ceil(hands.finishers * limits.passes[SECOND][0] / (bag.first_s + bag.second_s + 2.0 * bag.walk_s))


def _over(seconds: float, people: int) -> float:
    return seconds / people if people else inf
