"""What has been timed, by number: handed from the planners to those who judge it and write it up."""

from __future__ import annotations

from dataclasses import dataclass, field

from engine.plan.work import Work


@dataclass
class Timed:
    """Every task with its start, end and person; every batch with its dose, call, mixers and station."""

    work: Work
    option: list[int]
    call: list[float | None]
    start: list[float | None]
    end: list[float | None]
    who: list[int]
    mixed_by: dict[int, tuple[int, ...]] = field(default_factory=dict)
    mixed_at: dict[int, int] = field(default_factory=dict)
    wash_start: dict[int, float] = field(default_factory=dict)
