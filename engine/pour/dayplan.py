"""The day ahead as scheduled from a moment: who does what when, and the call for the next bag."""

from __future__ import annotations

from dataclasses import dataclass, field

from engine.pour.views import CallView
from engine.words import Say


@dataclass(frozen=True)
class Task:
    """A stretch of work of one person. `kind` is `mix`, `place`, or a pass; `batches` are ids, planned ones included."""

    person: str
    kind: str
    pour: str
    batches: tuple[str, ...]
    start: float
    end: float
    station: str = ""
    packets: float = 0.0


@dataclass(frozen=True)
class DayPlan:
    """Everything still to be done, timed. `doses` are packets per bag for the next batch of each pour.

    `misses` are the limits that no order of the work found keeps.
    """

    at: float
    tasks: tuple[Task, ...]
    call: CallView
    end: float
    misses: tuple[Say, ...] = ()
    doses: dict[str, float] = field(default_factory=dict)
    bags: dict[str, float] = field(default_factory=dict)  # by batch still to come

    def who(self, kind: str, pour: str, batch: str = "") -> str:
        """Who is planned for a task; the edge goes with the pass it stands beside."""
        kinds = (kind,) if kind != "edge" else ("second_trowel", "broom", "first_trowel", "float")
        for task in self.tasks:
            if task.kind in kinds and task.pour == pour and (not batch or batch in task.batches):
                return task.person
        return ""

    def station(self, pour: str, mixer: str) -> str:
        """The vessel planned for the next batch of a pour."""
        found = [task for task in self.tasks if task.kind == "mix" and task.pour == pour]
        own = [task for task in found if task.person == mixer]
        return (own or found)[0].station if found else ""

    def packets(self, pour: str) -> float:
        """Packets per bag planned for the next batch of a pour."""
        return self.doses.get(pour, 0.0)

    def called_pour(self) -> str:
        return self.call.pour
