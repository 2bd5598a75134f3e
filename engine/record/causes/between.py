"""Why one batch's limits lie later after its water than another's: the seconds between two clocks, by what differs.

Both clocks are counted from water contact. A share is what the limit moves when one thing alone is taken over from the
other batch, once in the first batch and once, back, in the second, the mean of both: with two things apart nothing is
left over. With more there may be a rest, and it is told.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass, replace
from typing import Any, Literal

from engine.site.trajectory import BatchClock

Part = Literal["temperature", "cover", "packet", "materials", "pace", "waiting", "mix", "rest"]
Limit = Callable[[BatchClock], float]  # seconds from water contact
FIELDS: dict[Part, tuple[str, ...]] = {
    "temperature": ("slab_c", "weather", "surfaces"),
    "cover": ("covered", "blankets"),
    "packet": ("packets",),
    "materials": ("mix_c", "mix_readings"),
    "pace": ("factor",),
    "waiting": ("tip_at",),
    "mix": ("card", "depth_m", "heat", "off_k"),
}
TIMED = ("mix_readings", "weather", "covered", "factor", "blankets", "surfaces")


@dataclass(frozen=True)
class PartShare:
    """Seconds that one thing puts between two limits; negative: the other way."""

    part: Part
    seconds: float


def from_water(clock: BatchClock) -> BatchClock:
    """The same clock with its water contact at 0."""
    by = clock.water_at
    moved: dict[str, Any] = {
        name: tuple((at - by, value) for at, value in getattr(clock, name)) for name in TIMED
    }
    tip = None if clock.tip_at is None else clock.tip_at - by
    return replace(clock, water_at=0.0, tip_at=tip, **moved)


def between(first: BatchClock, second: BatchClock, limit: Limit) -> tuple[float, tuple[PartShare, ...]]:
    """By how many seconds a limit lies later on the second clock, and the shares of it, `rest` last.

    Both from water contact. Of different cards the packets go with the mix. Infinite and without shares where either
    never gets there.
    """
    apart_s = limit(second) - limit(first)
    if not math.isfinite(apart_s):
        return math.inf, ()
    shares = []
    for part, names in _parts(first, second).items():
        seconds = (_moved(first, second, names, limit) - _moved(second, first, names, limit)) / 2.0
        shares.append(PartShare(part, seconds))
    left_s = apart_s - math.fsum(share.seconds for share in shares)
    return apart_s, (*shares, PartShare("rest", left_s))


def _parts(first: BatchClock, second: BatchClock) -> dict[Part, tuple[str, ...]]:
    if first.card == second.card:
        return FIELDS
    parts = dict(FIELDS)
    parts["mix"] += parts.pop("packet")
    return parts


def _moved(clock: BatchClock, other: BatchClock, names: tuple[str, ...], limit: Limit) -> float:
    """By how much a limit moves with some of the other clock's values in place; never reached counts as not told."""
    taken: dict[str, Any] = {name: getattr(other, name) for name in names}
    if all(getattr(clock, name) == value for name, value in taken.items()):
        return 0.0
    by_s = limit(replace(clock, **taken)) - limit(clock)
    return by_s if math.isfinite(by_s) else 0.0
