"""Whether a hole is ready to be filled: what was ticked and what was not, how old the soaking is, how long it stood open.

Nothing here blocks a bag. From the first water contact on the record keeps what was missing then.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any, Literal, get_args

from engine.job.model import Pour
from engine.pour.measured import Tick, Ticked
from engine.pour.reckoning import Moment
from engine.site.standing import clean_until, damp_until

TICKS: tuple[Tick, ...] = get_args(Tick)
Soak = Literal["not soaked", "damp", "dry again"]


@dataclass(frozen=True)
class Readiness:
    """A hole at `at`: its first water contact, or now. Ticks with the time they were found in order."""

    at: float
    ticked: tuple[tuple[Tick, float], ...]
    missing: tuple[Tick, ...]
    soak: Soak
    soaked_s: float | None  # age of the soaking
    clean_again: bool  # open longer since it was cleaned than a prepared hole may stand

    @property
    def complete(self) -> bool:
        """Nothing is missing."""
        return not self.missing and self.soak == "damp" and not self.clean_again


def readiness(moment: Moment, pour: Pour) -> Readiness:
    """What is known of a hole, as of its first bag."""
    at = min((batch.water_at for batch in moment.day.batches_of(pour.id)), default=moment.at)
    ticked = _ticked(moment, pour.id, at)
    soaked_s = _soaked_s(moment, pour.id, at)
    cleaned = ticked.get("clean")
    return Readiness(
        at=at,
        ticked=tuple(ticked.items()),
        missing=tuple(tick for tick in _asked(pour) if tick not in ticked),
        soak=_soak(moment, pour.id, at, soaked_s),
        soaked_s=soaked_s,
        clean_again=cleaned is not None and at > clean_until(cleaned, moment.job.practice),
    )


def _asked(pour: Pour) -> tuple[Tick, ...]:
    """Forms are asked for where a face is formed."""
    return tuple(tick for tick in TICKS if tick != "forms" or pour.use == "step")


def _ticked(moment: Moment, pour: str, at: float) -> dict[Tick, float]:
    found: dict[Tick, float] = {}
    for body, when in moment.day.recorded(Ticked, pour):
        if when <= at:
            found |= dict.fromkeys(body.ticks, when - body.ago_s)
    return found


def _soaked_s(moment: Moment, pour: str, at: float) -> float | None:
    times = [when for soaked, when in moment.day.soaked if soaked == pour and when <= at]
    return at - max(times) if times else None


def _soak(moment: Moment, pour: str, at: float, soaked_s: float | None) -> Soak:
    if soaked_s is None:
        return "not soaked"
    weather = moment.site.weather_from(pour, at - soaked_s)
    return "damp" if at <= damp_until(at - soaked_s, weather, moment.job.practice) else "dry again"


def readiness_table(ready: Readiness) -> dict[str, Any]:
    """As plain JSON values."""
    return {
        "ticked": [tick for tick, _ in ready.ticked],
        "missing": list(ready.missing),
        "soak": ready.soak,
        "soaked_min": None if ready.soaked_s is None else ready.soaked_s / 60.0,
        "clean_again": ready.clean_again,
        "complete": ready.complete,
    }
