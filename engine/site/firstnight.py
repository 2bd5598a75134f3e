"""The first night: is a patch strong enough before the air first freezes, as far as forecast and card can tell?

About 500 psi (3.4 MPa) bears one freeze (PCA, Design and Control), counted in set age, so that cold and packets
count against it. It says nothing of repeated freezing while wet, nor of salt.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import Literal

from engine.mix.card import MixCard
from engine.site.column import Numbers
from engine.site.conditions import Weather
from engine.site.strength import age_of_strength, strength_pa
from engine.site.trajectory import Trajectory
from engine.words import Say, say

GRAIN_K = 1e-6  # air this close to freezing is at it

LOOK_S = 600.0  # between looks at a patch under a blanket

Word = Literal["no freeze ahead", "reached", "reached before", "kept warm", "not reached", "cannot tell"]
Steps = Sequence[tuple[float, Weather]]


@dataclass(frozen=True)
class FirstNight:
    """A batch at the first freeze, or in the morning where none comes.

    `equivalent_s` is set age: seconds at the card's reference temperature; `needed_s` None where the card never states the
    strength; `reached_at` when it has it; `patch_c` the mean of the patch then. Log times.
    """

    word: Word
    freeze_at: float | None
    low_c: float
    low_at: float
    equivalent_s: float
    needed_s: float | None
    strength_pa: float | None
    reached_at: float | None
    patch_c: float

    @property
    def margin_s(self) -> float | None:
        """Seconds from strong enough to the first freeze; negative when the frost is first."""
        if self.freeze_at is None or self.reached_at is None:
            return None
        return self.freeze_at - self.reached_at


def first_night(
    path: Trajectory,
    card: MixCard,
    weather: Steps,
    span: tuple[float, float],
    known_until: float,
    values: Numbers,
    blankets: Sequence[tuple[float, bool]] = (),
) -> FirstNight:
    """A batch's first night. `span` runs from its tip to the morning, `known_until` is the last time the forecast states.

    `weather` is (from when, weather) in order, the first at or before the tip; `blankets` (from when, laid). Bare work
    freezes with the air; under a blanket once the patch itself is at freezing.
    """
    air = _air_in(weather, span)
    low_c, low_at = min((air_c, at) for at, air_c in air)
    frost_at = next((at for at, air_c in air if air_c <= values["frost.freezing"] + GRAIN_K), None)
    freeze_at = _freeze_at(path, air, span[1], blankets, values["frost.freezing"] + GRAIN_K)
    kept_warm = frost_at is not None and freeze_at is None and known_until >= min(span[1], frost_at)
    needed_s = needed_age_s(card, values)
    reached_at = None if needed_s is None else path.time_of(needed_s)
    at = span[1] if freeze_at is None else freeze_at
    return FirstNight(
        word="kept warm" if kept_warm else _word(freeze_at, reached_at, min(known_until, span[1]), span[1]),
        freeze_at=freeze_at,
        low_c=low_c,
        low_at=low_at,
        equivalent_s=path.age_at(at),
        needed_s=needed_s,
        strength_pa=strength_pa(card, path.age_at(at)),
        reached_at=reached_at,
        patch_c=path.temperature_at(at),
    )


def _freeze_at(
    path: Trajectory,
    air: Sequence[tuple[float, float]],
    end: float,
    blankets: Sequence[tuple[float, bool]],
    freezing_c: float,
) -> float | None:
    """When the work first freezes: bare, as the air does; under a blanket, as the patch does."""
    cuts = sorted({at for at, _ in air} | {at for at, _ in blankets if air[0][0] < at < end})
    for start, stop in pairwise([*cuts, end]):
        air_c = [value for at, value in air if at <= start][-1]
        laid = next((on for at, on in reversed(blankets) if at <= start), False)
        if air_c <= freezing_c:
            looks = [start + n * LOOK_S for n in range(int((stop - start) / LOOK_S) + 1)] if laid else [start]
            for at in looks:
                if not laid or path.temperature_at(at) <= freezing_c:
                    return at
    return None


def _word(freeze_at: float | None, reached_at: float | None, known_until: float, morning: float) -> Word:
    """A forecast that ends before the morning tells nothing of the rest of the night: `reached` is strong by its end."""
    if freeze_at is not None:
        return "reached before" if reached_at is not None and reached_at <= freeze_at else "not reached"
    if known_until >= morning:
        return "no freeze ahead"
    return "reached" if reached_at is not None and reached_at <= known_until else "cannot tell"


def _air_in(weather: Steps, span: tuple[float, float]) -> tuple[tuple[float, float], ...]:
    """(from when, air in °C) from the tip to the morning."""
    start, end = span
    before = [step.air_c for at, step in weather if at <= start][-1:] or [weather[0][1].air_c]
    return ((start, before[0]), *((at, step.air_c) for at, step in weather if start < at < end))


def needed_age_s(card: MixCard, values: Numbers) -> float | None:
    """The set age in seconds with strength for one freeze; None where the card states strengths and never that much.

    A card without strengths is taken as the slowest class of ASTM C928, which has it at `frost.class_age`.
    """
    if not card.strength.age_s:
        return values["frost.class_age"]
    return age_of_strength(card, values["frost.least_strength"])


def said(night: FirstNight) -> Say:
    """The answer in words, with the hours at the card's reference temperature."""
    needed = "?" if night.needed_s is None else f"{night.needed_s / 3600.0:.1f}"
    return say(
        f"firstnight.{night.word.replace(' ', '_')}",
        hours=f"{night.equivalent_s / 3600.0:.1f}",
        needed=needed,
    )
