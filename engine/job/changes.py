"""A change order: what a hole turned out to be, the bags that takes, and who agreed to the price before it was filled."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace

from engine.job.model import Job
from engine.job.takeoff import PourTakeoff, pour_takeoff


@dataclass(frozen=True)
class BagChange:
    """Whole bags of one mix before and after."""

    mix: str
    before: int
    after: int

    @property
    def extra(self) -> int:
        """Bags more; negative where fewer are needed."""
        return self.after - self.before


@dataclass(frozen=True)
class ChangeOrder:
    """One change of scope. `price` in the job's currency, as agreed; initials empty: not yet agreed. `at` is log time."""

    pour: str
    reason: str
    depths_before_m: tuple[float, ...]
    depths_after_m: tuple[float, ...]
    bags: tuple[BagChange, ...]
    price: float
    initials: str
    at: float

    @property
    def agreed(self) -> bool:
        return self.initials != ""

    @property
    def extra_bags(self) -> int:
        """Bags more, over all mixes."""
        return sum(change.extra for change in self.bags)


def change_order(
    job: Job,
    pour_id: str,
    depths_m: Sequence[float],
    reason: str,
    price: float,
    at: float,
    initials: str = "",
) -> ChangeOrder:
    """The change of a pour to new depth readings, bags by take-off before and after.

    Raises `KeyError` for a pour the job has not, `ValueError` for depths or a reason that cannot stand.
    """
    _check(depths_m, reason, price)
    pour = job.pour(pour_id)
    before, after = (pour_takeoff(p, job) for p in (pour, replace(pour, depths_m=tuple(depths_m))))
    return ChangeOrder(
        pour=pour_id,
        reason=reason.strip(),
        depths_before_m=pour.depths_m,
        depths_after_m=tuple(depths_m),
        bags=bag_changes(before, after),
        price=price,
        initials=initials.strip(),
        at=at,
    )


def _check(depths_m: Sequence[float], reason: str, price: float) -> None:
    if not depths_m or min(depths_m) <= 0.0:
        raise ValueError("a change order needs the new depth readings, each above nothing")
    if not reason.strip():
        raise ValueError("a change order needs its reason, such as: bad concrete went deeper")
    if not math.isfinite(price):
        raise ValueError("the price of a change is a number; a credit is below nothing")


def bag_changes(before: PourTakeoff, after: PourTakeoff) -> tuple[BagChange, ...]:
    """Bags by mix; two lines where the new depth asks for another mix."""
    if before.mix == after.mix:
        return (BagChange(before.mix, before.bags, after.bags),)
    return BagChange(before.mix, before.bags, 0), BagChange(after.mix, 0, after.bags)


def price_of(changes: Sequence[BagChange], price_per_bag: float) -> float:
    """The price of bags more in place at a unit price, or the credit for fewer."""
    return sum(change.extra for change in changes) * price_per_bag
