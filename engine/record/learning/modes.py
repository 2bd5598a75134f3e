"""The most likely unknowns for signs made linear, at one spread of days: Newton's way, days eliminated first.

Exact signs weigh as squares, one-sided ones by the normal share beyond them; both are log-concave, so the way is short.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from engine.pour.posterior import log_normal_share
from engine.record.learning.solving import Matrix, inverse, log_determinant, root, solve
from engine.record.learning.tangent import Row

ROUNDS = 25
NEAR = 1e-7


@dataclass(frozen=True)
class Prior:
    """What is thought of an unknown before any log: a mean and a spread far wider than what logs tell."""

    mean: float
    sd: float


@dataclass(frozen=True)
class Mode:
    """Unknowns and days' ln k where they are most likely, their covariance, and how likely the spread of days is."""

    unknowns: tuple[float, ...]
    days: tuple[float, ...]
    covariance: Matrix
    log_evidence: float


@dataclass(frozen=True)
class Field:
    """Signs made linear around unknowns and days' ln k, with what is thought of the unknowns beforehand."""

    rows: Sequence[Row]
    priors: Sequence[Prior]
    at: Sequence[float]
    at_days: Sequence[float]

    def offs(self, unknowns: Sequence[float], days: Sequence[float]) -> list[float]:
        """ln of limit over set age of each sign, at other unknowns and days."""
        moved = [a - b for a, b in zip(unknowns, self.at, strict=True)]
        moved_days = [a - b for a, b in zip(days, self.at_days, strict=True)]
        return [
            row.off
            + sum(slope * step for slope, step in zip(row.by, moved, strict=True))
            + row.by_day * moved_days[row.day]
            for row in self.rows
        ]


@dataclass
class _Sums:
    """Slope and curvature of the log posterior, in blocks of unknowns and days."""

    slope: list[float]
    curve: Matrix
    day_slope: list[float]
    day_curve: list[float]
    between: Matrix


def mode(field: Field, day_sd: float) -> Mode:
    """The mode where days are normal in ln k around 0 with `day_sd`. Raises `ValueError` where there is none."""
    found, days = list(field.at), list(field.at_days)
    for _ in range(ROUNDS):
        sums = _sums(field, found, days, day_sd)
        step, day_step = _step(sums, root(_reduced(sums)))
        found = [a + b for a, b in zip(found, step, strict=True)]
        days = [a + b for a, b in zip(days, day_step, strict=True)]
        if max(map(abs, (*step, *day_step)), default=0.0) < NEAR:
            break
    sums = _sums(field, found, days, day_sd)
    low = root(_reduced(sums))
    log_curve = log_determinant(low) + sum(map(math.log, sums.day_curve))
    likely = _log_posterior(field, found, days, day_sd)
    return Mode(tuple(found), tuple(days), inverse(low), likely - 0.5 * log_curve)


def _log_posterior(field: Field, found: Sequence[float], days: Sequence[float], day_sd: float) -> float:
    logs = [_log_likelihood(off, row) for off, row in zip(field.offs(found, days), field.rows, strict=True)]
    logs += [-0.5 * ((x - prior.mean) / prior.sd) ** 2 for x, prior in zip(found, field.priors, strict=True)]
    logs += [-0.5 * (x / day_sd) ** 2 - math.log(day_sd) for x in days]
    return math.fsum(logs)


def _sums(field: Field, found: Sequence[float], days: Sequence[float], day_sd: float) -> _Sums:
    priors, size = field.priors, len(field.priors)
    sums = _Sums(
        slope=[(prior.mean - x) / prior.sd**2 for x, prior in zip(found, priors, strict=True)],
        curve=[[(n == m) / priors[n].sd ** 2 for m in range(size)] for n in range(size)],
        day_slope=[-x / day_sd**2 for x in days],
        day_curve=[1.0 / day_sd**2] * len(days),
        between=[[0.0] * size for _ in days],
    )
    for row, off in zip(field.rows, field.offs(found, days), strict=True):
        _add(sums, row, *_pull(off, row))
    return sums


def _add(sums: _Sums, row: Row, pull: float, weight: float) -> None:
    for n, slope in enumerate(row.by):
        sums.slope[n] += slope * pull
        sums.between[row.day][n] += weight * slope * row.by_day
        for m, other in enumerate(row.by):
            sums.curve[n][m] += weight * slope * other
    sums.day_slope[row.day] += row.by_day * pull
    sums.day_curve[row.day] += weight * row.by_day**2


def _pull(off: float, row: Row) -> tuple[float, float]:
    """Slope of the log likelihood of a sign by its distance, and the curvature against it."""
    z = off / row.noise
    if row.exact:
        return -z / row.noise, 1.0 / row.noise**2
    hazard = _hazard(z)
    return hazard / row.noise, max(hazard * (hazard + z), 1e-12) / row.noise**2


def _hazard(z: float) -> float:
    """Density over share of the normal law up to z."""
    if z < -30.0:
        return -z - 1.0 / z
    return math.exp(-0.5 * z * z) / math.sqrt(2.0 * math.pi) / (0.5 * math.erfc(-z / math.sqrt(2.0)))


def _log_likelihood(off: float, row: Row) -> float:
    z = off / row.noise
    return -0.5 * z * z if row.exact else log_normal_share(z)


def _reduced(sums: _Sums) -> Matrix:
    """Curvature of the unknowns once each day has taken its share."""
    size = len(sums.slope)
    taken = [list(row) for row in sums.curve]
    for between, own in zip(sums.between, sums.day_curve, strict=True):
        for n in range(size):
            for m in range(size):
                taken[n][m] -= between[n] * between[m] / own
    return taken


def _step(sums: _Sums, low: Matrix) -> tuple[list[float], list[float]]:
    blocks = list(zip(sums.between, sums.day_slope, sums.day_curve, strict=True))
    right = [
        slope - sum(between[n] * day / own for between, day, own in blocks)
        for n, slope in enumerate(sums.slope)
    ]
    step = solve(low, right)
    days = [
        (day - sum(b * s for b, s in zip(between, step, strict=True))) / own for between, day, own in blocks
    ]
    return step, days
