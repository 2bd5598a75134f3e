"""The day ahead as scheduled from a moment: who does what when, and the call for the next bag."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field
from functools import cached_property

from engine.pour.views import CallView, CrewTask
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
        for task in self._by_pour.get(pour, ()):
            if task.kind in kinds and (not batch or batch in task.batches):
                return task.person
        return ""

    def station(self, pour: str, mixer: str) -> str:
        """The vessel planned for the next batch of a pour."""
        found = self.mixes(pour)
        own = [task for task in found if task.person == mixer]
        return (own or found)[0].station if found else ""

    def mixes(self, pour: str) -> tuple[Task, ...]:
        """The batches of a pour still to be mixed, as planned."""
        return tuple(task for task in self._by_pour.get(pour, ()) if task.kind == "mix")

    def ahead_of(self, person: str, at: float) -> tuple[CrewTask, ...]:
        """What one person is planned for that is not over at a time, in order."""
        tasks = self._by_person.get(person, ())
        over = next((n for n, task in enumerate(tasks) if task.end > at), len(tasks))
        return tasks[over:]

    @cached_property
    def _by_pour(self) -> dict[str, tuple[Task, ...]]:
        return _grouped(self.tasks, lambda task: task.pour)

    @cached_property
    def _by_person(self) -> dict[str, tuple[CrewTask, ...]]:
        own = _grouped(self.tasks, lambda task: task.person)
        return {person: tuple(map(_as_shown, tasks)) for person, tasks in own.items()}

    def packets(self, pour: str) -> float:
        """Packets per bag planned for the next batch of a pour."""
        return self.doses.get(pour, 0.0)

    def called_pour(self) -> str:
        return self.call.pour


def _as_shown(task: Task) -> CrewTask:
    return CrewTask(task.kind, task.pour, ", ".join(task.batches), task.start, task.end)


def _grouped(tasks: tuple[Task, ...], of: Callable[[Task], str]) -> dict[str, tuple[Task, ...]]:
    found: dict[str, list[Task]] = {}
    for task in tasks:
        found.setdefault(of(task), []).append(task)
    return {name: tuple(own) for name, own in found.items()}
