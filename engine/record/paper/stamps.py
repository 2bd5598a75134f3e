"""Who does what to each batch, when after its water, and the line of a notes file that its stamp will be."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from engine.job.model import PASSES_OF, Pour
from engine.pour.dayplan import DayPlan, Task
from engine.pour.planning import pour_of
from engine.pour.reckoning import Moment
from engine.pour.stages import STAGE_AFTER


@dataclass(frozen=True)
class Stamp:
    """One cell. `what`, `which` and `value` are those of a notes line; seconds from the water of the row's batch.

    `below` names the row in which the stamp is written where a pour is finished as a whole; else it is empty.
    """

    what: str
    which: str
    who: str
    start_s: float
    end_s: float
    value: str = ""
    below: str = ""


@dataclass(frozen=True)
class Row:
    """A batch, or what is tipped of one into a second pour: then `source` is that batch and `id` the pour."""

    id: str
    pour: str
    source: str
    bags: float
    packets: float
    station: str
    water_at: float
    stamps: tuple[Stamp, ...]


def rows_of(moment: Moment, plan: DayPlan) -> tuple[Row, ...]:
    """The batches still to come in the order of their water, each followed by what is shared out of it."""
    mixes = sorted((task for task in plan.tasks if task.kind == "mix"), key=_order)
    last = {pour_of(mix.batches[0]): mix.batches[0] for mix in mixes}
    return tuple(row for mix in mixes for row in _rows(moment, plan, mix, last))


def _order(mix: Task) -> tuple[float, str, int]:
    pour, _, number = mix.batches[0].rpartition(".")
    return mix.start, pour, int(number)


def _rows(moment: Moment, plan: DayPlan, mix: Task, last: dict[str, str]) -> Iterator[Row]:
    batch = mix.batches[0]
    own = [task for task in plan.tasks if batch in task.batches and task is not mix]
    pours = dict.fromkeys((pour_of(batch), *(task.pour for task in own)))
    for name in pours:
        pour, tasks = moment.day.pour(name), [task for task in own if task.pour == name]
        portion = name != pour_of(batch)
        yield Row(
            id=name if portion else batch,
            pour=name,
            source=batch if portion else "",
            bags=plan.bags.get(batch, 0.0),
            packets=plan.packets(pour_of(batch)),
            station=mix.station,
            water_at=mix.start,
            stamps=tuple(_stamps(moment, pour, mix, tasks, last.get(name, batch), portion)),
        )


def _stamps(
    moment: Moment, pour: Pour, mix: Task, tasks: list[Task], last: str, portion: bool
) -> Iterator[Stamp]:
    batch, times = mix.batches[0], moment.job.times
    which = pour.id if portion else batch
    mixed_s = moment.card(pour_of(batch)).mixing_s
    if not portion:
        yield Stamp("water", pour.id, mix.person, 0.0, 0.0)
        yield Stamp("mixed", batch, mix.person, 0.0, mixed_s)
    for task in tasks:
        start_s, end_s = task.start - mix.start, task.end - mix.start
        if task.kind == "place":
            source = f"from {batch}" if portion else ""
            yield Stamp("tipped", which, task.person, start_s, start_s + times.tip_s, source)
        else:
            edge_s = times.edge_s if _holds_edge(pour, task, last) else None
            whole, below = len(task.batches) > 1, last if batch != last else ""
            name, done_s = (pour.id if whole else which), end_s - (edge_s or 0.0)
            yield Stamp(
                STAGE_AFTER[task.kind], name, task.person, start_s, done_s, "", below if whole else ""
            )
            if edge_s is not None:
                yield Stamp("edged", pour.id, task.person, done_s, end_s, "", below)


def _holds_edge(pour: Pour, task: Task, last: str) -> bool:
    """Whether the edge is done right after this pass: a broomed pour is edged before its broom."""
    names = PASSES_OF[pour.finish]
    host = names[-2] if names[-1] == "broom" else names[-1]
    return task.kind == host and last in task.batches
