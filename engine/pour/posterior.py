"""Today's rate factor from what the surface said: a log-normal prior and signs of a limit reached or not.

Worked on a grid over ln k, which is exact for one-sided signs as well.
"""

from __future__ import annotations

import functools
import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from itertools import accumulate, pairwise

REACH = 1.25  # the grid runs over ln k from −REACH to REACH
STEPS = 1001
GRID = tuple(REACH * (2.0 * n / (STEPS - 1) - 1.0) for n in range(STEPS))
SHARES = (0.1, 0.5, 0.9)


@dataclass(frozen=True, order=True)
class Sign:
    """A limit in set age reached, or not yet, at an age reckoned with k = 1; `noise` is in ln of set age."""

    limit_s: float
    age_s: float
    noise: float
    reached: bool


@dataclass(frozen=True)
class Factor:
    """The rate factor: median, 10 and 90 per cent, and how many signs it rests on."""

    value: float
    low: float
    high: float
    observations: int


def posterior(signs: Iterable[Sign], prior_sd: float = 0.20, low: float = 0.6, high: float = 1.6) -> Factor:
    """The factor after the signs, in any order; median and both ends are clamped to low and high afterwards.

    Raises `ValueError` for a limit said to be reached at no set age at all.
    """
    return _posterior(tuple(sorted(signs)), prior_sd, low, high)


@functools.lru_cache(maxsize=512)
def _posterior(signs: tuple[Sign, ...], prior_sd: float, low: float, high: float) -> Factor:
    tenth, median, ninth = (
        min(max(math.exp(x), low), high) for x in _quantiles(GRID, _density(signs, prior_sd))
    )
    return Factor(median, tenth, ninth, len(signs))


def _density(signs: tuple[Sign, ...], prior_sd: float) -> list[float]:
    """How likely each ln k of the grid is, against the likeliest."""
    terms = [[-0.5 * (x / prior_sd) ** 2 for x in GRID], *map(_on_grid, signs)]
    logs = [math.fsum(term) for term in zip(*terms, strict=True)]
    top = max(logs)
    return [math.exp(value - top) for value in logs]


def spreads_off(sign: Sign, before: Iterable[Sign], prior_sd: float) -> float:
    """How far a sign lies from what the signs before it led to expect, in spreads of that and of its own noise.

    Never negative. A limit not reached is off only where it was expected long before; nought on the other side.
    """
    if sign.age_s <= 0.0:
        return 0.0
    mean, spread = _moments(tuple(sorted(before)), prior_sd)
    off = (math.log(sign.limit_s / sign.age_s) - mean) / math.hypot(spread, sign.noise)
    return abs(off) if sign.reached else max(0.0, -off)


@functools.lru_cache(maxsize=512)
def _moments(signs: tuple[Sign, ...], prior_sd: float) -> tuple[float, float]:
    """Mean and standard deviation of ln k."""
    density = _density(signs, prior_sd)
    whole = math.fsum(density)
    mean = math.fsum(x * share for x, share in zip(GRID, density, strict=True)) / whole
    square = math.fsum((x - mean) ** 2 * share for x, share in zip(GRID, density, strict=True)) / whole
    return mean, math.sqrt(square)


def shares(
    signs: Iterable[Sign], prior_sd: float = 0.20, low: float = 0.6, high: float = 1.6, parts: int = 40
) -> tuple[float, ...]:
    """How sure each part of the way from low to high is: equal parts of ln k, a share of one each.

    What lies beyond an end is counted in the part at that end.
    """
    return _shares(tuple(sorted(signs)), prior_sd, low, high, parts)


@functools.lru_cache(maxsize=64)
def _shares(
    signs: tuple[Sign, ...], prior_sd: float, low: float, high: float, parts: int
) -> tuple[float, ...]:
    areas, width = _areas(GRID, _density(signs, prior_sd)), GRID[1] - GRID[0]
    edges = (math.log(low) + math.log(high / low) * n / parts for n in range(1, parts))
    below = [0.0, *(_under(areas, (edge - GRID[0]) / width) for edge in edges), areas[-1]]
    return tuple((b - a) / areas[-1] for a, b in pairwise(below))


def _under(areas: Sequence[float], place: float) -> float:
    """Area up to a place between the points of the grid; the limits of a factor lie well inside it."""
    n = min(max(math.floor(place), 0), len(areas) - 2)
    return areas[n] + (areas[n + 1] - areas[n]) * min(max(place - n, 0.0), 1.0)


@functools.lru_cache(maxsize=512)
def _on_grid(sign: Sign) -> tuple[float, ...]:
    """A sign's log likelihood over the grid: the same for every moment after it."""
    return tuple(_log_likelihood(sign, GRID))


def _log_likelihood(sign: Sign, grid: Sequence[float]) -> list[float]:
    """Log of how likely a sign is at each ln k, up to a constant."""
    if sign.age_s <= 0.0:
        return _before_any_age(sign, grid)
    seen = math.log(sign.limit_s / sign.age_s)
    gaps = [(seen - x) / sign.noise for x in grid]
    return [-0.5 * gap * gap for gap in gaps] if sign.reached else [log_normal_share(gap) for gap in gaps]


def _before_any_age(sign: Sign, grid: Sequence[float]) -> list[float]:
    """Nothing hardens in no time: not reached is certain and tells nothing, reached cannot be."""
    if sign.reached:
        raise ValueError("a limit cannot be reached before there is any set age: check the time of the sign")
    return [0.0] * len(grid)


def log_normal_share(z: float) -> float:
    """ln Φ(z); far down the tail by its leading term, where Φ itself is too small a number."""
    if z > -30.0:
        return math.log(0.5 * math.erfc(-z / math.sqrt(2.0)))
    return -0.5 * z * z - math.log(-z * math.sqrt(2.0 * math.pi))


def _areas(grid: Sequence[float], density: Sequence[float]) -> list[float]:
    """The area up to each point."""
    width = grid[1] - grid[0]
    return list(accumulate(((a + b) / 2.0 * width for a, b in pairwise(density)), initial=0.0))


def _quantiles(grid: Sequence[float], density: Sequence[float]) -> list[float]:
    """Where the tenth, the half and nine tenths of the area lie, straight lines between the points."""
    areas = _areas(grid, density)
    return [_where(grid, areas, share * areas[-1]) for share in SHARES]


def _where(grid: Sequence[float], areas: Sequence[float], area: float) -> float:
    n = next(n for n, value in enumerate(areas) if value >= area)
    return grid[n - 1] + (grid[n] - grid[n - 1]) * (area - areas[n - 1]) / (areas[n] - areas[n - 1])
