"""What goes wrong on a rehearsed day: batches lost in the vessel, people called away, passes begun late."""

from __future__ import annotations

from dataclasses import dataclass

from engine.rehearsal.fate import Fate

AWAY_S = (300.0, 900.0)
LATE_S = (60.0, 240.0)


@dataclass(frozen=True)
class Incidents:
    """How many of each a day holds; the seed says which and when."""

    lost_batches: int = 0
    absences: int = 0
    late_passes: int = 0


NONE = Incidents()


@dataclass(frozen=True)
class Absence:
    """Somebody, by number, away for so many seconds from so long after the start."""

    person: int
    after_s: float
    for_s: float


@dataclass(frozen=True)
class Mishaps:
    """The incidents of one day: numbers of batches in the order mixed, absences, and seconds late by stroke number."""

    lost: frozenset[int]
    absences: tuple[Absence, ...]
    late_s: dict[int, float]


def mishaps(incidents: Incidents, fate: Fate, batches: int, people: int, within_s: float) -> Mishaps:
    """Which batches, people and passes it hits on the day of a seed."""
    lost = frozenset(fate.choice(f"lost {n}", max(1, batches)) for n in range(incidents.lost_batches))
    absences = tuple(
        Absence(
            fate.choice(f"who is away {n}", people),
            fate.between(f"away after {n}", 0.0, within_s),
            fate.between(f"away for {n}", *AWAY_S),
        )
        for n in range(incidents.absences)
    )
    late = {
        fate.choice(f"late pass {n}", max(1, 3 * batches)): fate.between(f"late by {n}", *LATE_S)
        for n in range(incidents.late_passes)
    }
    return Mishaps(lost, absences, late)
