"""A card fitted to the signs of many days: what the logs say of its unknowns, and how surely.

At a sign the set age has reached (or not reached) a limit; each day has a factor of its own, log-normal around 1, with
a spread that the logs tell as well: it is averaged over, each spread weighed by how likely it makes the signs.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from engine.mix.card import MixCard
from engine.mix.learned import stretch_key
from engine.record.learning.modes import Field, Mode, Prior, mode
from engine.record.learning.seen import Seen
from engine.record.learning.tangent import ENERGY, ENERGY_UNIT, tangents

ENERGY_SD = (
    2.0  # of what is thought beforehand, in ENERGY_UNIT: start values of this program, all of them wide
)
SCALE_SD = 0.5  # in ln, of limits and stretches
DAY_SDS = (0.02, 0.035, 0.05, 0.07, 0.1, 0.14, 0.2, 0.28, 0.4)
DAY_SD_SPREAD = 0.7  # in ln, of the spread of days around the practice value
NEAREST, MOST_ROUNDS = 0.002, 12
FAR_OFF = 4.0  # noises away from everything else: set apart


@dataclass(frozen=True)
class Estimate:
    """An unknown: energy in `ENERGY_UNIT`, all else in ln of what the card says (stretch: in ln)."""

    mean: float
    sd: float


@dataclass(frozen=True)
class Fit:
    """What the signs say. `apart` are those left out, too far from all others."""

    estimates: Mapping[str, Estimate]
    day_sd: float
    days: tuple[float, ...]
    apart: tuple[Seen, ...] = ()


def fit(signs: Sequence[Seen], days: int, day_sd: float, held: bool = False) -> Fit:
    """The fit of one card's signs over so many days; `day_sd` is the practice's spread of ln k.

    `held`: the activation energy stays the card's. Raises `ValueError` without signs.
    """
    found, offs = _fitted(signs, days, day_sd, held)
    apart = tuple(seen for seen, off in zip(signs, offs, strict=True) if _far(seen, off))
    if not apart or len(apart) == len(signs):
        return found
    kept, _ = _fitted([seen for seen in signs if seen not in apart], days, day_sd, held)
    return Fit(kept.estimates, kept.day_sd, kept.days, apart)


def _far(seen: Seen, off: float) -> bool:
    """Whether a sign lies far from its limit; one that only says `not yet` may be as early as it likes."""
    return off < -FAR_OFF * seen.noise or (seen.exact and off > FAR_OFF * seen.noise)


def _fitted(signs: Sequence[Seen], days: int, day_sd: float, held: bool) -> tuple[Fit, list[float]]:
    """The fit, and how far (ln) each sign then lies from its limit."""
    card = signs[0].clock.card
    point = priors_of(card, signs)
    names = tuple(name for name in point if not (held and name == ENERGY))
    priors = [point[name] for name in names]
    at, at_days = {name: prior.mean for name, prior in point.items()}, (0.0,) * days
    for _ in range(MOST_ROUNDS):
        rows = tangents(signs, names, at, at_days)
        field = Field(rows, priors, [at[name] for name in names], at_days)
        modes = [mode(field, sd) for sd in DAY_SDS]
        weights = _weights(modes, day_sd)
        means = _means([one.unknowns for one in modes], weights)
        new_days = tuple(_means([one.days for one in modes], weights))
        moved = max(abs(a - b) for a, b in zip((*means, *new_days), (*field.at, *at_days), strict=True))
        at, at_days = at | dict(zip(names, means, strict=True)), new_days
        if moved < NEAREST:
            break
    sds = _sds(modes, weights, means)
    estimates = {name: Estimate(mean, sd) for name, mean, sd in zip(names, means, sds, strict=True)}
    spread = math.exp(sum(w * math.log(sd) for w, sd in zip(weights, DAY_SDS, strict=True)))
    return Fit(estimates, spread, at_days), field.offs(means, at_days)


def priors_of(card: MixCard, signs: Sequence[Seen]) -> dict[str, Prior]:
    """The unknowns that the signs touch at all, each around what the card says."""
    found = {ENERGY: Prior(card.setting.activation_j_mol / ENERGY_UNIT, ENERGY_SD)}
    found |= {limit: Prior(0.0, SCALE_SD) for limit in sorted({seen.limit for seen in signs})}
    return found | _doses(card, {seen.clock.packets for seen in signs})


def _doses(card: MixCard, packets: set[float]) -> dict[str, Prior]:
    values = {stretch_key(at): value for at, value in zip(*_points(card), strict=True)}
    return {key: Prior(math.log(values[key]), SCALE_SD) for key in doses_near(card, packets)}


def _points(card: MixCard) -> tuple[tuple[float, ...], tuple[float, ...]]:
    return card.retarder.packets, card.retarder.stretch


def doses_near(card: MixCard, packets: set[float]) -> tuple[str, ...]:
    """The points of the card, by key, whose stretch moves a batch of one of these doses."""
    points, _ = _points(card)
    return tuple(
        stretch_key(at)
        for n, at in enumerate(points)
        if at > 0.0 and any(_between(points, n, dose) for dose in packets)
    )


def _between(points: Sequence[float], n: int, dose: float) -> bool:
    """Whether a dose lies next to a point of the card, so that the point's stretch moves it."""
    below = points[n - 1]
    above = points[n + 1] if n + 1 < len(points) else points[n]
    return below < dose < above or dose == points[n]


def _weights(modes: Sequence[Mode], day_sd: float) -> list[float]:
    """How likely each spread of days is, between what practice thinks of it and what the signs say."""
    thought = (-0.5 * (math.log(sd / day_sd) / DAY_SD_SPREAD) ** 2 for sd in DAY_SDS)
    logs = [one.log_evidence + prior for one, prior in zip(modes, thought, strict=True)]
    parts = [math.exp(value - max(logs)) for value in logs]
    return [part / sum(parts) for part in parts]


def _means(values: Sequence[Sequence[float]], weights: Sequence[float]) -> list[float]:
    return [sum(w * x for w, x in zip(weights, column, strict=True)) for column in zip(*values, strict=True)]


def _sds(modes: Sequence[Mode], weights: Sequence[float], means: Sequence[float]) -> list[float]:
    """Spread within each mode and between them."""
    found = []
    for n, mean in enumerate(means):
        within = sum(w * one.covariance[n][n] for w, one in zip(weights, modes, strict=True))
        between = sum(w * (one.unknowns[n] - mean) ** 2 for w, one in zip(weights, modes, strict=True))
        found.append(math.sqrt(within + between))
    return found
