"""When a pour sets and may be used: the latest over its batches."""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass

from engine.job.model import Pour
from engine.pour.reckoning import Moment
from engine.pour.state import Batch
from engine.site.windows import opening


@dataclass(frozen=True)
class Openings:
    """Log times; None where nothing is in the pour, or the age is not reached within the reckoned days."""

    initial_set: float | None
    final_set: float | None
    feet: float | None
    wheels: float | None


NOTHING = Openings(None, None, None, None)


def openings(moment: Moment, pour: Pour) -> Openings:
    """Sets and openings of a pour: never before the label's clock time from each tip, later when cold or retarded."""
    batches = moment.day.batches_of(pour.id)
    if not batches:
        return NOTHING
    card = moment.card(pour.id)
    return Openings(
        initial_set=_latest(moment.trajectory(b).time_of(card.setting.initial_set_s) for b in batches),
        final_set=_latest(moment.trajectory(b).time_of(card.setting.final_set_s) for b in batches),
        feet=_latest(_opening(moment, b, card.opening.feet_s) for b in batches),
        wheels=_latest(_opening(moment, b, card.opening.wheels_s) for b in batches),
    )


def _opening(moment: Moment, batch: Batch, label_s: float) -> float | None:
    tip = moment.tip_at(batch)
    return None if tip is None else opening(moment.trajectory(batch), tip, label_s)


def _latest(times: Iterable[float | None]) -> float | None:
    found = [math.inf if at is None else at for at in times]
    latest = max(found, default=math.inf)
    return None if math.isinf(latest) else latest
