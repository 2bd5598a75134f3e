"""One batch's clock: set age and temperature from water contact on, reckoned only as far as anybody asks.

dA/dt = k · γ(T) / R, with T from the vessel until the tip and from the column of patch and base after it.
"""

from __future__ import annotations

import functools
import math
import threading
from bisect import bisect_left
from collections import deque
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import NamedTuple, TypeVar

from engine.mix.card import MixCard
from engine.mix.rate import rate
from engine.mix.retarder import stretch
from engine.site.column import Heat, Surface, advance, grid, surface_in
from engine.site.conditions import Weather
from engine.site.correcting import Doubt

HORIZON_S = 14 * 86400.0
TIP_STEP_S = 0.5
CHANGE_STEP_S = 5.0
STEP_GROWTH = 1.25
LONGEST_STEP_S = 1800.0
HEAT_PART = 0.05  # of the card's heat age in one step, while there is heat to come
MOST_HELD, MOST_KNOWN = 512, 16384  # trajectories kept with their way, and with the times found on it
MOST_AGES = 32  # known of one trajectory
SPENT_K = 0.001  # heat still to come that no longer shortens the steps

Value = TypeVar("Value")


@dataclass(frozen=True)
class BatchClock:
    """Everything that decides one batch's clock. Times in epoch seconds, temperatures in °C."""

    card: MixCard
    packets: float  # per bag
    water_at: float
    mix_c: float  # in the vessel at water contact
    mix_readings: tuple[tuple[float, float], ...]  # (when, °C) in the vessel
    tip_at: float | None  # None: stays in the vessel
    slab_c: float  # base at the tip
    depth_m: float
    weather: tuple[tuple[float, Weather], ...]  # (from when, weather), first at or before the tip
    covered: tuple[tuple[float, bool], ...]  # (from when, covered); before the first: bare
    factor: tuple[tuple[float, float], ...]  # (from when, k); before the first: 1
    heat: Heat
    blankets: tuple[tuple[float, float], ...] = ()  # (from when, m²·K/W on top); before the first: none
    surfaces: tuple[tuple[float, float], ...] = ()  # (when, °C) read on top of the patch, after the tip
    off_k: tuple[float, float] = (
        1.0,
        1.0,
    )  # how far mix and slab may be off, which readings on top are laid to


class Piece(NamedTuple):
    """A span over which the clock runs smoothly: times, set ages, rates and temperatures at its two ends.

    `temp` is the mean over the patch depth, `top` that of its top cell, a fraction of a millimetre down.
    """

    start: float
    end: float
    age_0: float
    age_1: float
    rate_0: float
    rate_1: float
    temp_0: float
    temp_1: float
    top_0: float
    top_1: float

    def age_at(self, at: float) -> float:
        """Set age inside the span: the cubic through both ages and both rates."""
        span_s, gain = self.end - self.start, self.age_1 - self.age_0
        x = (at - self.start) / span_s
        bend = (self.rate_0 * span_s - gain) * (1.0 - x) + (gain - self.rate_1 * span_s) * x
        return self.age_0 + gain * x + x * (1.0 - x) * bend

    def time_of(self, age_s: float) -> float:
        """When an age inside the span is reached."""
        span_s = self.end - self.start
        at = self.start + span_s * (age_s - self.age_0) / (self.age_1 - self.age_0)
        for _ in range(4):
            near = self.rate_0 + (self.rate_1 - self.rate_0) * (at - self.start) / span_s
            at += (age_s - self.age_at(at)) / near
        return min(max(at, self.start), self.end)

    def temperature_at(self, at: float) -> float:
        return self.temp_0 + (self.temp_1 - self.temp_0) * (at - self.start) / (self.end - self.start)

    def top_at(self, at: float) -> float:
        return self.top_0 + (self.top_1 - self.top_0) * (at - self.start) / (self.end - self.start)


class Trajectory:
    """Set age and temperature over time. When an age is reached stays known, and the last few ages asked for; the way
    there is let go of where many others were reckoned since, and reckoned again when asked for.
    """

    def __init__(self, clock: BatchClock) -> None:
        self._clock = clock
        self._times: dict[float, float | None] = {}
        self._ages: dict[float, float] = {}
        self._way: _Way | None = None

    def age_at(self, at: float) -> float:
        """Set age in seconds on the card's scale; past the reckoned days the last rate is kept."""
        if at <= self._clock.water_at:
            return 0.0
        age_s = self._ages.get(at)
        if age_s is None:
            piece = self._reckoned().piece_at(at)
            age_s = piece.age_at(at) if at <= piece.end else piece.age_1 + piece.rate_1 * (at - piece.end)
            if len(self._ages) >= MOST_AGES:
                self._ages.clear()
            self._ages[at] = age_s
        return age_s

    def temperature_at(self, at: float) -> float:
        """°C in the vessel, after the tip the mean over the patch depth."""
        if at <= self._clock.water_at:
            return self._clock.mix_c
        piece = self._reckoned().piece_at(at)
        return piece.temperature_at(min(at, piece.end))

    def top_at(self, at: float) -> float:
        """°C at the top of the patch, in the vessel that of the mix; at a reading on top, what stood before it."""
        if at <= self._clock.water_at:
            return self._clock.mix_c
        piece = self._reckoned().piece_at(at)
        return piece.top_at(min(at, piece.end))

    def time_of(self, age_s: float) -> float | None:
        """When a set age in seconds is reached; None where that takes more than 14 days."""
        if age_s <= 0.0:
            return self._clock.water_at
        if age_s not in self._times:
            self._times[age_s] = self._reckoned().time_of(age_s)
        return self._times[age_s]

    def _reckoned(self) -> _Way:
        way = self._way
        if way is None:
            way = self._way = _Way(self._clock)
            _HELD.append(self)
            if len(_HELD) > MOST_HELD:
                _HELD.popleft()._way = None
        return way


class _Way:
    """The pieces of a trajectory, added as they are asked for, and kept."""

    def __init__(self, clock: BatchClock) -> None:
        self._coming = _pieces(clock, _Pace(clock))
        self._pieces: list[Piece] = []
        self._ends: list[float] = []
        self._ages: list[float] = []
        self._lock = threading.Lock()  # trajectories are shared, and a screen asks from more than one thread

    def time_of(self, age_s: float) -> float | None:
        while not self._ages or self._ages[-1] < age_s:
            if not self._add():
                return None
        return self._pieces[bisect_left(self._ages, age_s)].time_of(age_s)

    def piece_at(self, at: float) -> Piece:
        """The piece that holds a time after water contact; past the reckoned days the last one."""
        while not self._ends or self._ends[-1] < at:
            if not self._add():
                return self._pieces[-1]
        return self._pieces[bisect_left(self._ends, at)]

    def _add(self) -> bool:
        """Reckon one piece more; False at the end of the reckoned days."""
        with self._lock:
            piece = next(self._coming, None)
            if piece is None:
                return False
            self._pieces.append(piece)
            self._ends.append(piece.end)
            self._ages.append(piece.age_1)
            return True


_HELD: deque[Trajectory] = deque()  # those whose way is kept, the one reckoned longest ago first


@functools.lru_cache(maxsize=MOST_KNOWN)
def trajectory(clock: BatchClock) -> Trajectory:
    """The trajectory of a clock; equal clocks share one.

    Raises `ValueError` where the packets are more than the card allows.
    """
    stretch(clock.card.retarder, clock.packets)
    return Trajectory(clock)


class _Pace:
    """The card's law at one dose: how fast age runs at a temperature, and how much heat an age has given."""

    def __init__(self, clock: BatchClock) -> None:
        setting, self.heat = clock.card.setting, clock.card.heat
        self.reference_c, self.activation_j_mol = setting.reference_c, setting.activation_j_mol
        self.stretch = stretch(clock.card.retarder, clock.packets)

    def speed(self, temp_c: float, factor: float) -> float:
        return factor * rate(temp_c, self.reference_c, self.activation_j_mol) / self.stretch

    def given_k(self, age_s: float) -> float:
        """Adiabatic rise so far."""
        return self.heat.rise_k * -math.expm1(-age_s / self.heat.age_s)

    def step_s(self, age_s: float, speed: float) -> float:
        """The longest step that still follows the heat."""
        if self.heat.rise_k - self.given_k(age_s) < SPENT_K:
            return LONGEST_STEP_S
        return min(HEAT_PART * self.heat.age_s / speed, LONGEST_STEP_S)


def _pieces(clock: BatchClock, pace: _Pace) -> Iterator[Piece]:
    last = clock.water_at + HORIZON_S
    tip = last if clock.tip_at is None else min(max(clock.tip_at, clock.water_at), last)
    age, temp_c = 0.0, clock.mix_c
    for piece in _in_vessel(clock, pace, tip):
        age, temp_c = piece.age_1, piece.temp_1
        yield piece
    if tip < last:
        yield from _in_patch(clock, pace, tip, last, _Patch(clock, pace, age, temp_c))


def _in_vessel(clock: BatchClock, pace: _Pace, tip: float) -> Iterator[Piece]:
    """Warms by its own heat and loses none; a reading starts it anew with the heat still to come."""
    age, temp_c = 0.0, clock.mix_c
    for start, end in _spans(clock.water_at, tip, clock.factor, clock.mix_readings):
        factor = _in_force(clock.factor, start, 1.0)
        temp_c = dict(clock.mix_readings).get(start, temp_c)
        cold_c = temp_c - pace.given_k(age)
        at = start
        while at < end:
            speed = pace.speed(temp_c, factor)
            till = min(end, at + pace.step_s(age, speed))
            new_age = _vessel_age(pace, factor, cold_c, age, till - at)
            new_c = cold_c + pace.given_k(new_age)
            yield Piece(
                at, till, age, new_age, speed, pace.speed(new_c, factor), temp_c, new_c, temp_c, new_c
            )
            at, age, temp_c = till, new_age, new_c


def _vessel_age(pace: _Pace, factor: float, cold_c: float, age: float, step_s: float) -> float:
    """Age a step later, by the classical four-stage rule."""

    def speed(at_age: float) -> float:
        return pace.speed(cold_c + pace.given_k(at_age), factor)

    first = speed(age)
    second = speed(age + step_s / 2.0 * first)
    third = speed(age + step_s / 2.0 * second)
    fourth = speed(age + step_s * third)
    return age + step_s / 6.0 * (first + 2.0 * second + 2.0 * third + fourth)


def _in_patch(clock: BatchClock, pace: _Pace, tip: float, last: float, patch: _Patch) -> Iterator[Piece]:
    """In the column of patch and base; steps grow from each change on, slowest from the tip."""
    changes = clock.factor, clock.weather, clock.covered, clock.blankets, clock.surfaces
    for start, end in _spans(tip, last, *changes):
        factor, surface = _in_force(clock.factor, start, 1.0), _surface(clock, start)
        patch.changed()
        patch.read(start, surface)
        at, grown_s = start, TIP_STEP_S if start == tip else CHANGE_STEP_S
        while at < end:
            step_s = min(grown_s, pace.step_s(patch.age, pace.speed(patch.temp_c, factor)))
            piece = patch.step(at, min(end, at + step_s), factor, surface)
            at, grown_s = piece.end, grown_s * STEP_GROWTH
            yield piece


class _Patch:
    """A batch in its patch: column, set age, and the heat it has given."""

    def __init__(self, clock: BatchClock, pace: _Pace, age: float, temp_c: float) -> None:
        self.pace, self.age, self.temp_c = pace, age, temp_c
        self.cells = grid(clock.depth_m, clock.heat)
        self.temps_c = self.cells.start(temp_c, clock.slab_c)
        self.given_k = pace.given_k(age)
        self.surfaces = dict(clock.surfaces)
        self.doubt = Doubt(self.cells, *clock.off_k) if clock.surfaces else None
        self.changed()

    def read(self, at: float, surface: Surface) -> None:
        """Take a reading on top, if there is one now: temperatures move with it, set age already earned stays."""
        surface_c = self.surfaces.pop(at, None)
        if self.doubt is None or surface_c is None:
            return
        self.temps_c = self.doubt.corrected(self.temps_c, surface, surface_c)
        self.temp_c = self.cells.patch_c(self.temps_c)
        if not self.surfaces:
            self.doubt = None

    def changed(self) -> None:
        """The rate may jump here: what it did before tells nothing of its curve."""
        self.slope, self.before_s = 0.0, math.inf

    def step(self, at: float, till: float, factor: float, surface: Surface) -> Piece:
        """One step on; the heat given keeps to the age expected at its end, and makes good in the next."""
        step_s, age_0, temp_0, top_0 = till - at, self.age, self.temp_c, self.temps_c[0]
        speed_0 = self.pace.speed(temp_0, factor)
        coming_k = self.pace.given_k(age_0 + speed_0 * step_s)
        if self.doubt is not None:
            self.doubt.advance(surface, top_0, step_s)
        self.temps_c = advance(self.cells, self.temps_c, surface, coming_k - self.given_k, step_s)
        self.given_k, self.temp_c = coming_k, self.cells.patch_c(self.temps_c)
        speed_1 = self.pace.speed(self.temp_c, factor)
        self.age += (speed_0 + speed_1) / 2.0 * step_s - self._bow(step_s, (speed_1 - speed_0) / step_s)
        return Piece(at, till, age_0, self.age, speed_0, speed_1, temp_0, self.temp_c, top_0, self.temps_c[0])

    def _bow(self, step_s: float, slope: float) -> float:
        """What a straight line between two rates counts too much, from how the slope changed since the step before."""
        bow = step_s**3 / 6.0 * (slope - self.slope) / (step_s + self.before_s)
        self.slope, self.before_s = slope, step_s
        return bow


def _surface(clock: BatchClock, at: float) -> Surface:
    weather = _in_force(clock.weather, at, clock.weather[0][1])
    covered, blanket = _in_force(clock.covered, at, False), _in_force(clock.blankets, at, 0.0)
    return surface_in(weather, covered, clock.heat, blanket)


def _in_force(steps: Sequence[tuple[float, Value]], at: float, before: Value) -> Value:
    """The value of the last step at or before a time."""
    for start, value in reversed(steps):
        if start <= at:
            return value
    return before


def _spans(
    start: float, end: float, *changes: Sequence[tuple[float, object]]
) -> Iterator[tuple[float, float]]:
    """The time from start to end, cut at every change."""
    cuts = {at for steps in changes for at, _ in steps if start < at < end}
    return pairwise((start, *sorted(cuts), end)) if start < end else iter(())
