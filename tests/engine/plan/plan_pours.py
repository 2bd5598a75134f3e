"""Small pours made by hand for the scheduler's tests. Seconds."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from engine.plan.problem import Batch, Finishing, Limits, Patch, Person, Placement, Problem, Station

# working time, joint, then float, first and second trowel from opening to closing
ROOMY = Limits("none", 0.0, 400.0, 500.0, ((0.0, 600.0), (500.0, 900.0), (900.0, 1500.0)))
BOTH = (Person("K", True, True, True),)


def batch(name: str, limits: Sequence[Limits] = (ROOMY,), mix_s: float = 120.0) -> Batch:
    """Washed out in 40 s."""
    return Batch(name, mix_s, 40.0, tuple(limits))


def patch(name: str, *batches: str, whole: bool = False) -> Patch:
    """Carry 20, place 50, walk 10, float 60, trowels 60 and 70."""
    laid = tuple(Placement(b, 20.0, 50.0) for b in batches)
    groups = [batches] if whole else [(b,) for b in batches]
    return Patch(name, 10.0, laid, tuple(Finishing(group, (60.0, 60.0, 70.0)) for group in groups))


def pour(
    batches: Sequence[Batch],
    patches: Sequence[Patch],
    people: tuple[Person, ...] = (Person("M", True, False, False), Person("F", False, True, True)),
) -> Problem:
    """One mixing station; the crew is a mixer and a finisher where nothing else is said."""
    return Problem(people, (Station("S"),), tuple(batches), tuple(patches), wash_at_once=True)


def separate(count: int, limits: Sequence[Limits] = (ROOMY,)) -> Problem:
    """Patches of one batch."""
    names = [str(n + 1) for n in range(count)]
    return pour([batch(f"B{n}", limits) for n in names], [patch(f"P{n}", f"B{n}") for n in names])


def knit(count: int, limits: Sequence[Limits] = (ROOMY,), whole: bool = False) -> Problem:
    """One patch of several batches."""
    names = [f"B{n + 1}" for n in range(count)]
    return pour([batch(name, limits) for name in names], [patch("P", *names, whole=whole)])


def begun(problem: Problem, name: str, at_s: float, now_s: float) -> Problem:
    """The pour with one batch already mixing."""
    batches = tuple(
        replace(b, started_s=at_s, mixed_s=at_s + b.mix_s, option=0, person="M", station="S")
        if b.id == name
        else b
        for b in problem.batches
    )
    return replace(problem, batches=batches, now_s=now_s)
