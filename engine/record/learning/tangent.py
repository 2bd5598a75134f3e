"""A sign's distance from its limit, and how it moves with the unknowns: trajectories reckoned anew at trial values.

Packets, day factor and the rest of the rate act as one factor on a batch's clock, so that a trajectory needs only
the activation energy and that factor.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from itertools import groupby

from engine.mix.card import Retarder
from engine.mix.learned import stretch_key
from engine.mix.retarder import stretch
from engine.record.learning.seen import Seen
from engine.site.trajectory import BatchClock, Trajectory

ENERGY = "activation_energy"
ENERGY_UNIT = 10_000.0  # J/mol to one in the unknowns, so that all of them are of a size
ENERGY_STEP, FACTOR_STEP = 0.1, 0.02

Point = Mapping[str, float]  # energy in `ENERGY_UNIT`, stretch in ln, scales of the limits in ln


@dataclass(frozen=True)
class Row:
    """A sign made linear: ln of limit over set age at a point, and its slopes by the unknowns and by its day's ln k."""

    day: int
    off: float
    by: tuple[float, ...]
    by_day: float
    noise: float
    exact: bool


def tangents(signs: Sequence[Seen], names: Sequence[str], point: Point, days: Sequence[float]) -> list[Row]:
    """The signs of one card made linear at a point; `days` holds each day's ln k. Signs of a batch stand together."""
    rows: list[Row] = []
    for _, same in groupby(signs, key=lambda seen: (seen.day, seen.clock)):
        rows += _rows(list(same), names, point, days)
    return rows


def _rows(signs: Sequence[Seen], names: Sequence[str], point: Point, days: Sequence[float]) -> list[Row]:
    clock, day = signs[0].clock, signs[0].day
    points = _stretches(clock.card.retarder, point)
    energy, factor = point[ENERGY], days[day] - math.log(stretch(points, clock.packets))
    times = [seen.at for seen in signs]
    here = _ages(clock, energy, factor, times)
    warmer = _ages(clock, energy + ENERGY_STEP, factor, times)
    faster = _ages(clock, energy, factor + FACTOR_STEP, times)
    doses = _by_doses(points, clock.packets)
    rows = []
    for seen, age, at_energy, at_factor in zip(signs, here, warmer, faster, strict=True):
        by_factor = (at_factor - age) / FACTOR_STEP
        slopes = {ENERGY: -(at_energy - age) / ENERGY_STEP, seen.limit: 1.0}
        slopes |= {key: by_factor * part for key, part in doses.items()}
        off = math.log(seen.limit_s) + point[seen.limit] - age
        by = tuple(slopes.get(name, 0.0) for name in names)
        rows.append(Row(day, off, by, -by_factor, seen.noise, seen.exact))
    return rows


def _ages(clock: BatchClock, energy: float, factor: float, times: Sequence[float]) -> list[float]:
    """ln set age at times, where packets and day act as one factor (in ln) on the rate."""
    setting = replace(clock.card.setting, activation_j_mol=energy * ENERGY_UNIT)
    card = replace(clock.card, setting=setting, retarder=Retarder())
    path = Trajectory(replace(clock, card=card, packets=0.0, factor=((clock.water_at, math.exp(factor)),)))
    return [math.log(path.age_at(at)) for at in times]


def _stretches(retarder: Retarder, point: Point) -> Retarder:
    """The card's doses with the stretches of a point."""
    pairs = zip(retarder.packets, retarder.stretch, strict=True)
    values = (math.exp(point.get(stretch_key(packets), math.log(value))) for packets, value in pairs)
    return Retarder(retarder.packets, tuple(values))


def _by_doses(retarder: Retarder, packets: float) -> dict[str, float]:
    """How much ln stretch at a dose moves with the ln stretch of each point of the card."""
    whole, found = stretch(retarder, packets), {}
    for n, (at, value) in enumerate(zip(retarder.packets, retarder.stretch, strict=True)):
        one = tuple(float(n == other) for other in range(len(retarder.packets)))
        share = stretch(Retarder(retarder.packets, one), packets)
        if at > 0.0 and share > 0.0:
            found[stretch_key(at)] = share * value / whole
    return found
