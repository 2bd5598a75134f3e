"""What the foreman changes of the plan: doses, finishes, the order, pours added or divided, who lends a hand; ways out."""

from __future__ import annotations

from dataclasses import dataclass

from engine.job.model import Edges, Finish, Skill, Use
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
class PourAdded(Body):
    """A patch measured on site, put into the queue just before another pour, or (empty) last. Lengths in m.

    `mix` empty: chosen by depth; `packets` a bag, None: planned.
    """

    pour: str
    area_m2: float
    depths_m: tuple[float, ...]
    finish: Finish
    where: str = ""
    edges: Edges = "sawn"
    use: Use = "walk"
    mix: str = ""
    packets: float | None = None
    length_m: float | None = None
    width_m: float | None = None
    outline_m: tuple[tuple[float, float], ...] = ()
    before: str = ""


@dataclass(frozen=True)
class PourDivided(Body):
    """A pour not begun made two: it keeps `share` of its area, the rest is a pour of its own right behind it."""

    pour: str
    share: float
    rest: str


@dataclass(frozen=True)
class PourTakenUp(Body):
    """A pour that was left for a later visit is done today after all, in its place in the queue."""

    pour: str


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


@dataclass(frozen=True)
class CaughtUp(Body):
    """The screen was behind the work; `lines` before this one are stamps assumed at their due time."""

    lines: int = 0


KINDS: tuple[type[Body], ...] = (
    DoseSet,
    FinishSet,
    PourMoved,
    PourAdded,
    PourDivided,
    PourTakenUp,
    HandLent,
    WayTaken,
    CaughtUp,
)
