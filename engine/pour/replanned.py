"""What the foreman changes of the plan while the day runs: doses, finishes, the order, who lends a hand; ways out taken."""

from __future__ import annotations

from dataclasses import dataclass

from engine.job.model import Finish, Skill
from engine.pour.body import Body

Parts = tuple[
    tuple[str, tuple[tuple[str, str], ...]], ...
]  # kinds of a way out, each with the names in its sentence


@dataclass(frozen=True)
class DoseSet(Body):
    """Packets per bag of a pour's bags still to come; None: the plan chooses again."""

    pour: str
    packets: float | None = None


@dataclass(frozen=True)
class FinishSet(Body):
    """Another finish for a pour; strokes made stay."""

    pour: str
    finish: Finish


@dataclass(frozen=True)
class PourMoved(Body):
    """A pour's place in the queue: just before another one, or (empty) at the end."""

    pour: str
    before: str = ""


@dataclass(frozen=True)
class HandLent(Body):
    """Somebody also does, from now on, what the job file did not name."""

    person: str
    skill: Skill


@dataclass(frozen=True)
class WayTaken(Body):
    """A way out of trouble, chosen; `lines` before this one belong to it."""

    parts: Parts
    lines: int = 0


KINDS: tuple[type[Body], ...] = (DoseSet, FinishSet, PourMoved, HandLent, WayTaken)
