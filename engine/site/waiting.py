"""What a mix does while it waits in its vessel: it ages and warms by its own heat, and stops being workable there."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from engine.site.trajectory import BatchClock, trajectory
from engine.site.windows import workable_until


@dataclass(frozen=True)
class Waited:
    """The mix a while after water contact. `share` of its workable age is used up; from 1 on it is stiff."""

    after_s: float
    share: float
    temperature_c: float


@dataclass(frozen=True)
class Waiting:
    """A mix that stays in its vessel: looked at now and then, and until when it is workable (log time)."""

    looks: tuple[Waited, ...]
    workable_until: float


def waiting(clock: BatchClock, after_s: Sequence[float]) -> Waiting:
    """The mix of a clock were it not tipped, looked at so many seconds after water contact."""
    kept = replace(clock, tip_at=None)
    path, limit_s = trajectory(kept), clock.card.workable_s
    looks = (
        Waited(after, path.age_at(at) / limit_s, path.temperature_at(at))
        for after, at in ((after, clock.water_at + after) for after in after_s)
    )
    return Waiting(tuple(looks), workable_until(path, clock.card))
