"""When a pour's turn comes by the plan, and before which pours of the queue it could still be taken."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from engine.job.model import Pour
from engine.pour.dayplan import DayPlan
from engine.pour.needs import bags_left, this_visit
from engine.pour.reckoning import Moment


@dataclass(frozen=True)
class Turn:
    """A pour by the plan: its next water contact, its last bag tipped, its last stroke done. Log time."""

    water: float
    tipped: float
    done: float


def turn_of(moment: Moment, plan: DayPlan, pour: Pour) -> Turn | None:
    """None where the plan does not place the pour, as without people or vessels."""
    waters = [at for at in _waters(plan, pour.shares or pour.id) if at >= moment.at]
    tasks = [task for task in plan.tasks if task.pour == pour.id and task.kind != "mix"]
    places = [task.start for task in tasks if task.kind == "place"]
    if not waters or not places:
        return None
    water = max(waters) if pour.shares else min(waters)
    return Turn(water, max(places) + moment.job.times.tip_s, max(task.end for task in tasks))


def turns_before(moment: Moment, plan: DayPlan, pour: Pour) -> Iterator[tuple[str, float]]:
    """Pours not begun whose place in the queue this one could take, the nearest before it first, and their water.

    A pour that is begun is filled without stopping, so nothing is taken before it; nor before what must come first.
    """
    if pour.shares or moment.day.batches_of(pour.id):
        return
    queue = moment.day.pours
    for other in reversed(queue[: queue.index(pour)]):
        if other.id in pour.after:
            return
        waters = _waters(plan, other.id)
        if _waits(moment, other) and waters and min(waters) >= moment.at:
            yield other.id, min(waters)


def _waits(moment: Moment, pour: Pour) -> bool:
    begun = bool(moment.day.batches_of(pour.id))
    return this_visit(moment, pour) and not begun and not pour.shares and bags_left(moment, pour) > 0


def _waters(plan: DayPlan, pour_id: str) -> list[float]:
    return [task.start for task in plan.tasks if task.kind == "mix" and task.pour == pour_id]
