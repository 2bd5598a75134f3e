"""Change orders of the day: what was agreed, for how much, by whom and when."""

from __future__ import annotations

import math
from dataclasses import replace
from typing import Any

from engine.pour.measured import ChangeOrdered
from engine.pour.reckoning import Moment
from engine.pour.times import iso

GRAIN_M = 1e-6  # depths typed again are the same to this


def changes_table(moment: Moment) -> list[dict[str, Any]]:
    """Oldest first."""
    return [_change(body, at) for body, at in moment.day.recorded(ChangeOrdered)]


def _change(body: ChangeOrdered, at: float) -> dict[str, Any]:
    return {
        "pour": body.pour,
        "at": iso(at),
        "reason": body.reason,
        "depths_before_m": list(body.depths_before_m),
        "depths_m": list(body.depths_m),
        "bags": [{"mix": bags.mix, "before": bags.before, "after": bags.after} for bags in body.bags],
        "price": body.price,
        "agreed_by": body.initials or None,
    }


def standing_orders(moment: Moment) -> tuple[tuple[ChangeOrdered, float], ...]:
    """Orders as they stand, oldest first: one that was open and is said again for the same depths is one order.

    Its price, reason and initials are those said last, its depths before and its bags those of the first.
    """
    found: list[tuple[ChangeOrdered, float]] = []
    for body, at in moment.day.recorded(ChangeOrdered):
        place = next((n for n, (one, _) in enumerate(found) if _restates(body, one)), None)
        if place is None:
            found.append((body, at))
        else:
            first, since = found[place]
            found[place] = (
                replace(body, depths_before_m=first.depths_before_m, bags=first.bags),
                at if body.initials else since,
            )
    return tuple(found)


def _restates(body: ChangeOrdered, one: ChangeOrdered) -> bool:
    same = len(body.depths_m) == len(one.depths_m) and all(
        math.isclose(a, b, rel_tol=0.0, abs_tol=GRAIN_M)
        for a, b in zip(body.depths_m, one.depths_m, strict=True)
    )
    return one.pour == body.pour and not one.initials and same
