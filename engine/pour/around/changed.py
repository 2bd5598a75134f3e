"""Change orders of the day as plain values: what was agreed, for how much, by whom and when."""

from __future__ import annotations

from typing import Any

from engine.pour.measured import ChangeOrdered
from engine.pour.reckoning import Moment
from engine.pour.times import iso


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
