"""The strokes a simulated crew has ahead of it, most pressing first."""

from __future__ import annotations

from collections.abc import Container, Iterator, Mapping
from dataclasses import dataclass
from math import inf

from engine.job.model import Pour
from engine.pour.decide import row_batches
from engine.pour.events import StrokeName
from engine.pour.needs import bags_left, batches_needed
from engine.pour.reckoning import Moment
from engine.pour.stages import next_stroke
from engine.pour.state import Batch


@dataclass(frozen=True)
class Laid:
    """A batch in its patch: when it is struck off, and when each pass really opens and closes. Log time."""

    until: float
    opens: dict[str, float]
    closes: dict[str, float]


@dataclass(frozen=True)
class Stroke:
    """A pass over some batches: really open from `opens`, closing by the clock at `closes`, `seconds` as planned."""

    name: StrokeName
    pour: str
    batches: tuple[str, ...]
    opens: float
    closes: float
    seconds: float

    @property
    def which(self) -> str:
        """What a key press would name: the batch, or the pour where all of it is stroked."""
        return self.batches[0] if len(self.batches) == 1 and self.name != "edge" else self.pour


def strokes_ahead(
    moment: Moment, laid: Mapping[str, Laid], begun: Container[tuple[str, str]]
) -> list[Stroke]:
    """The next stroke of every batch or whole pour that nobody is at, by when the clock says it closes."""
    found = [
        stroke
        for pour in moment.day.pours
        for group in _groups(moment, pour, laid)
        if (stroke := _next(moment, pour, group, laid)) is not None
        and not any((stroke.name, batch) in begun for batch in stroke.batches)
    ]
    return sorted(found, key=lambda stroke: (stroke.closes, stroke.pour, stroke.batches))


def _groups(moment: Moment, pour: Pour, laid: Mapping[str, Laid]) -> Iterator[tuple[Batch, ...]]:
    """All of a filled pour that is finished whole, else each batch that lies."""
    full = bags_left(moment, pour) <= 0
    for row in row_batches(moment, pour.id):
        lying = tuple(moment.day.batch(name) for name in row if name in laid)
        if full and len(lying) == len(row) > 1:
            yield lying
        else:
            yield from ((batch,) for batch in lying)


def _next(moment: Moment, pour: Pour, group: tuple[Batch, ...], laid: Mapping[str, Laid]) -> Stroke | None:
    name = next_stroke(moment, group[0])
    if name is None:
        return None
    names = tuple(batch.id for batch in group)
    lies = [laid[batch] for batch in names]
    ready = max(one.until for one in lies)
    if name == "edge":
        return _edge(moment, pour, group[-1], ready)
    windows = [moment.windows(batch)[name] for batch in group]
    return Stroke(
        name=name,
        pour=pour.id,
        batches=names,
        opens=max(ready, *(one.opens.get(name, 0.0) for one in lies)),
        closes=min(window.late for window in windows),
        seconds=moment.job.times.stroke_s_m2(name) * pour.area_m2 * _share(moment, pour, len(group)),
    )


def _edge(moment: Moment, pour: Pour, batch: Batch, ready: float) -> Stroke | None:
    """Once a pour, when its last batch comes to it."""
    last = moment.day.batches_of(pour.id)[-1]
    if bags_left(moment, pour) > 0 or batch.id != last.id:
        return None
    ahead = [window.late for name, window in moment.windows(last).items() if not last.settled(name)]  # type: ignore[arg-type]
    return Stroke("edge", pour.id, (last.id,), ready, min(ahead, default=inf), moment.job.times.edge_s or 0.0)


def _share(moment: Moment, pour: Pour, batches: int) -> float:
    """What part of a lift's area so many batches cover."""
    return batches * moment.takeoffs[pour.id].lifts / max(1, batches_needed(moment, pour))
