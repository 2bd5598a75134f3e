"""Wet cure: when a patch is wetted next and until when, and when a blanket may come off.

A patch dries to its next wetting at the pace of its weather: sooner in sun or wind, later in shade, hardly at all under a
cover. Intervals are practice values; the label's own hours go first (change `cure.wet_least` in the job).
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from typing import Literal, TypeVar

from engine.site.column import Numbers
from engine.site.conditions import Weather
from engine.site.trajectory import Trajectory

GRAIN = 1e-6  # a reading this close to a limit is on it
Weathers = Sequence[tuple[float, Weather]]
Covers = Sequence[tuple[float, bool]]
Value = TypeVar("Value")
LiftWord = Literal["may come off", "too green", "too warm for the air", "too warm for the night"]


@dataclass(frozen=True)
class WetCure:
    """One pour's wet cure. `next_at` None: it ends before the next wetting; `until` infinite: longer than reckoned."""

    pour: str
    wet_at: float
    next_at: float | None
    until: float

    def due(self, now: float) -> bool:
        """Whether it should be wetted now."""
        return self.next_at is not None and self.next_at <= now


def wet_cure(
    pour: str,
    paths: Sequence[Trajectory],
    since: float,
    wettings: Sequence[float],
    weather: Weathers,
    covers: Covers,
    values: Numbers,
) -> WetCure:
    """The cure of a pour's batches from `since`, when the sheen has gone; times of wetting, else that is the first.

    `weather` is (from when, weather), `covers` (from when, covered), both in order; before its first step a pour is bare.
    """
    until, wet_at = wet_until(paths, since, values), max(wettings, default=since)
    next_at = _dry_at(wet_at, weather, covers, values)
    return WetCure(pour, wet_at, next_at if next_at < until else None, until)


def wet_until(paths: Sequence[Trajectory], since: float, values: Numbers) -> float:
    """When every batch has had the practice's wet time since then: on the clock at least, and in set age."""
    wet_s = values["cure.wet_least"]
    aged = (path.time_of(path.age_at(since) + wet_s) for path in paths)
    return max([since + wet_s, *(math.inf if at is None else at for at in aged)])


def _dry_at(wet_at: float, weather: Weathers, covers: Covers, values: Numbers) -> float:
    """When the water given at a time is used up."""

    def lasts_s(at: float) -> float:
        return _interval_s(_in_force(weather, at, weather[0][1]), _in_force(covers, at, False), values)

    return runs_out_at(wet_at, [at for at, _ in [*weather, *covers]], lasts_s)


def runs_out_at(since: float, changes: Iterable[float], lasts_s: Callable[[float], float]) -> float:
    """When something given at a time is used up, each stretch between changes taking its share.

    `lasts_s` says how long the whole of it would last under what is in force at a time.
    """
    left, at = 1.0, since
    for cut in [*sorted({change for change in changes if change > since}), math.inf]:
        whole_s = lasts_s(at)
        if at + left * whole_s <= cut:
            return at + left * whole_s
        left, at = left - (cut - at) / whole_s, cut
    return at


def _interval_s(weather: Weather, covered: bool, values: Numbers) -> float:
    if covered:
        return values["cure.rewet_covered"]
    return values["cure.rewet_sun" if is_exposed(weather, values) else "cure.rewet_shade"]


def is_exposed(weather: Weather, values: Numbers) -> bool:
    """Whether a surface dries as in sun: in it, or in as much wind."""
    return weather.sun or weather.wind_ms >= values["cure.windy"] - GRAIN


def _in_force(steps: Sequence[tuple[float, Value]], at: float, before: Value) -> Value:
    return next((value for start, value in reversed(steps) if start <= at), before)


def cure_list(cures: Iterable[WetCure], now: float) -> tuple[WetCure, ...]:
    """Cures still running, those wetted next first."""
    running = (cure for cure in cures if cure.until > now)
    return tuple(sorted(running, key=lambda cure: (cure.next_at or math.inf, cure.until, cure.pour)))


def blanket_word(patch_c: float, air_c: float, low_24h_c: float, strong: bool, values: Numbers) -> LiftWord:
    """Whether a blanket may come off: strong enough for a frost, patch near the air, no deep fall in the day after (ACI 306R)."""
    if not strong:
        return "too green"
    if patch_c - low_24h_c > values["frost.most_drop"] + GRAIN:
        return "too warm for the night"
    near = patch_c - air_c <= values["frost.blanket_difference"] + GRAIN
    return "may come off" if near else "too warm for the air"
