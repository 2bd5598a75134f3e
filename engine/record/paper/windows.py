"""Windows of a mix at one temperature throughout, for each dose: the clock of everything else, left without heat."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace

from engine.job.model import Job, PassName, UnitSystem
from engine.mix.card import Heat, MixCard
from engine.site.column import heat_from
from engine.site.trajectory import BatchClock, Trajectory, trajectory
from engine.site.windows import WindowTimes, pass_times, workable_until

STEPS: dict[UnitSystem, int] = {"us": 10, "metric": 5}  # whole degrees between two rows
FEWEST, MOST = 4, 10  # rows


@dataclass(frozen=True)
class Dose:
    """One cell: seconds from water contact; infinite where 14 days do not reach a limit."""

    packets: float
    workable_s: float
    passes: tuple[tuple[str, WindowTimes], ...]


def dose_at(
    card: MixCard, packets: float, temperature_c: float, passes: Sequence[PassName], job: Job
) -> Dose:
    """Limits of a mix that is, and stays, at one temperature: set age a is reached at a · R / γ, rate factor 1.

    Raises `ValueError` where the packets are more than the card allows or it has no window for a pass.
    """
    path = _steady(card, packets, temperature_c, job)
    return Dose(packets, workable_until(path, card), pass_times(card, passes, path, 0.0, 0.0))


def _steady(card: MixCard, packets: float, temperature_c: float, job: Job) -> Trajectory:
    """In its vessel, where nothing is lost, and with no heat of its own."""
    return trajectory(
        BatchClock(
            card=replace(card, heat=Heat()),
            packets=packets,
            water_at=0.0,
            mix_c=temperature_c,
            mix_readings=(),
            tip_at=None,
            slab_c=temperature_c,
            depth_m=card.depth.min_m,
            weather=(),
            covered=(),
            factor=(),
            heat=heat_from(job.practice),
        )
    )


def doses_of(card: MixCard) -> tuple[float, ...]:
    """None, every point of the card and every whole packet below its most."""
    most = card.retarder.packets[-1]
    whole = {float(n) for n in range(math.floor(most) + 1)}
    return tuple(sorted(whole | set(card.retarder.packets)))


def degrees_around(low_c: float, high_c: float, units: UnitSystem) -> tuple[tuple[float, bool], ...]:
    """Temperatures in °C at full steps, one beyond the range on each side; True: those nearest to the range."""
    low, high = (_shown(value, units) for value in (low_c, high_c))
    step = STEPS[units]
    while math.floor(high / step) - math.ceil(low / step) + 3 > MOST:
        step *= 2
    first, last = math.ceil(low / step) - 1, math.floor(high / step) + 1
    while last - first + 1 < FEWEST:
        first, last = (first - 1, last) if low / step - first < last - high / step else (first, last + 1)
    nearest = range(math.floor(low / step + 0.5), math.floor(high / step + 0.5) + 1)
    return tuple((_celsius(n * step, units), n in nearest) for n in range(first, last + 1))


def _shown(value_c: float, units: UnitSystem) -> float:
    return round(value_c * 1.8 + 32.0 if units == "us" else value_c, 6)


def _celsius(degrees: float, units: UnitSystem) -> float:
    return (degrees - 32.0) / 1.8 if units == "us" else degrees
