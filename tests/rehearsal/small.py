"""Small pours and hand-made callers for the rehearsal's tests. Seconds."""

from __future__ import annotations

from collections.abc import Sequence
from math import inf

from engine.plan.problem import Batch, Finishing, Limits, Order, Patch, Person, Placement, Problem, Station
from engine.rehearsal.crew import Crew
from engine.rehearsal.layout import Mix

# working time, joint, then float, first and second trowel from opening to closing
ROOMY = Limits("none", 0.0, 400.0, 500.0, ((0.0, 600.0), (500.0, 900.0), (900.0, 1500.0)))


def single(name: str, mix_s: float = 120.0, limits: Limits = ROOMY) -> tuple[Batch, Patch]:
    """A patch of one batch: carry 20, place 50, float 60, trowels 60 and 70, approach 10, wash 40."""
    laid = (Placement(f"B{name}", 20.0, 50.0),)
    patch = Patch(f"P{name}", 10.0, laid, (Finishing((f"B{name}",), (60.0, 60.0, 70.0)),))
    return Batch(f"B{name}", mix_s, 40.0, (limits,)), patch


def problem(
    work: Sequence[tuple[Batch, Patch]], mixers: int = 1, finishers: int = 1, orders: tuple[Order, ...] = ()
) -> Problem:
    """Mixers who only mix with a station each, finishers who only finish."""
    people = [Person(f"M{n}", True, False, False) for n in range(mixers)]
    people += [Person(f"F{n}", False, True, True) for n in range(finishers)]
    return Problem(
        people=tuple(people),
        stations=tuple(Station(f"S{n}") for n in range(mixers)),
        batches=tuple(batch for batch, _ in work),
        patches=tuple(patch for _, patch in work),
        orders=orders,
        place_needs="finishes",
        wash_at_once=True,
    )


def knit(batches: int) -> Problem:
    """One patch of several batches, each finished on its own."""
    work = [single(str(n)) for n in range(batches)]
    laid = tuple(placement for _, patch in work for placement in patch.placements)
    jobs = tuple(job for _, patch in work for job in patch.finishing)
    whole = problem(work)
    return Problem(
        people=whole.people,
        stations=whole.stations,
        batches=whole.batches,
        patches=(Patch("P", 10.0, laid, jobs),),
        place_needs="finishes",
        wash_at_once=True,
    )


class At:
    """Calls batches by id at given moments, each as soon after as a mixer is free."""

    def __init__(self, **moments: float) -> None:
        self.coming = sorted(moments.items(), key=lambda item: item[1])

    def next(self, crew: Crew) -> Mix | float:
        if not self.coming:
            return inf
        name, at = self.coming[0]
        if at > crew.now_s:
            return at
        self.coming.pop(0)
        return crew.layout.mix_of[name]
