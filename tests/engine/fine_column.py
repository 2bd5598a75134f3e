"""A second, finer clock to hold the engine's against: half-millimetre cells, adaptive steps, a psychrometric library.

Shares no code with the engine but the values of a `BatchClock`.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import Any

import numpy as np
import psychrolib
from scipy.integrate import solve_ivp
from scipy.interpolate import PchipInterpolator

from engine.mix.card import (
    Bag,
    Depth,
    Heat,
    MixCard,
    Opening,
    Passes,
    Retarder,
    Setting,
    Strength,
    Water,
    Window,
)
from engine.site import column
from engine.site.conditions import Weather
from engine.site.trajectory import BatchClock

CELL_M = 0.0005
PRACTICE = column.Heat(1.8, 2300.0, 1000.0, 0.6, 10.79, 4.192, 520.0, 2.45e6)
INCH = 0.0254
MPH = 0.44704


def celsius(temp_f: float) -> float:
    return (temp_f - 32.0) / 1.8


def small_stone(rise_k: float = 18.0, heat_age_s: float = 1500.0, activation_j_mol: float = 40e3) -> MixCard:
    """The example card of the library day, its heat and activation energy as asked."""
    return MixCard(
        key="small-stone",
        name="Small-stone rapid mix (example)",
        kind="small stone",
        bag=Bag(22.6796185, 0.0121762),
        water=Water(3.5488, 4.0220, 4.4952),
        depth=Depth(1.5 * INCH, 4 * INCH),
        mixing_s=90.0,
        setting=Setting(celsius(70), activation_j_mol, 180.0, "end of mixing", 720.0, 1200.0),
        passes=Passes(Window(240, 285, 360, 450), Window(450, 540, 690, 840), Window(360, 420, 510, 600)),
        retarder=Retarder((0.0, 1.0, 2.0), (1.0, 2.0, 2.8)),
        heat=Heat(rise_k, heat_age_s),
        strength=Strength(),
        opening=Opening(3600.0, 7200.0),
    )


def weather(air_f: float, humidity: float, wind_mph: float, sun: bool = False) -> Weather:
    return Weather(celsius(air_f), humidity, wind_mph * MPH, sun)


def clock(**changes: Any) -> BatchClock:
    """The first batch of the library day, tipped after 2 min 5 s, with changes; times count from its water contact."""
    fields: dict[str, Any] = {
        "card": small_stone(),
        "packets": 0.0,
        "water_at": 0.0,
        "mix_c": 17.4229,
        "mix_readings": (),
        "tip_at": 125.0,
        "slab_c": celsius(42),
        "depth_m": 1.75 * INCH,
        "weather": ((0.0, weather(45, 0.75, 3)),),
        "covered": (),
        "factor": ((0.0, 1.0149),),
        "heat": PRACTICE,
        **changes,
    }
    return BatchClock(**fields)


@dataclass(frozen=True)
class Fine:
    """Time by age, and mean and topmost temperature by time, of a fine reckoning."""

    time_of: Callable[[float], float]
    temperature_at: Callable[[float], float]
    top_at: Callable[[float], float]


def fine(of: BatchClock, until_age_s: float) -> Fine:
    """The clock reckoned finely to a set age."""
    psychrolib.SetUnitSystem(psychrolib.SI)
    times, ages, temps, tops = _run(of, until_age_s)
    later = np.concatenate([[True], (np.diff(times) > 0) & (np.diff(ages) > 0)])
    by_age = PchipInterpolator(ages[later], times[later])
    by_time, by_top = (PchipInterpolator(times[later], found[later]) for found in (temps, tops))
    return Fine(lambda age: float(by_age(age)), lambda at: float(by_time(at)), lambda at: float(by_top(at)))


def _run(of: BatchClock, until_age_s: float) -> tuple[np.ndarray, np.ndarray, np.ndarray, np.ndarray]:
    assert of.tip_at is not None
    law, found = _Law(of), []
    marks = {at for steps in (of.weather, of.covered, of.factor, of.mix_readings) for at, _ in steps}
    cuts = sorted({of.water_at, of.tip_at, of.water_at + 5e5} | {at for at in marks if at > of.water_at})
    state = np.array([0.0])
    for start, end in pairwise(cuts):
        if start == of.tip_at:
            state = law.tipped(state)
        law.change(start, state[0])
        solved = law.solve(state, start, end, until_age_s)
        temps = [law.mean_c(column) for column in solved.y.T]
        tops = temps if len(state) == 1 else solved.y[1]
        found.append((solved.t, solved.y[0], np.array(temps), np.array(tops)))
        state = solved.y[:, -1]
        if solved.status == 1:
            break
    times, ages, temps, tops = (np.concatenate(part) for part in zip(*found, strict=True))
    return times, ages, temps, tops


class _Law:
    """dA/dt and dT/dt of vessel (state: age) and of patch and base (state: age and cells)."""

    def __init__(self, of: BatchClock) -> None:
        self.of, self.card = of, of.card
        self.stretch = float(np.interp(of.packets, of.card.retarder.packets, of.card.retarder.stretch))
        self.cold_c, self.factor, self.surface_c = of.mix_c, 1.0, of.mix_c
        self.patch = max(1, round(of.depth_m / CELL_M))
        self.sizes = np.array([of.depth_m / self.patch] * self.patch + _base(of.heat.base_depth_m))
        self.between = of.heat.conductivity / ((self.sizes[1:] + self.sizes[:-1]) / 2)

    def given_k(self, age: float) -> float:
        return self.card.heat.rise_k * (1.0 - math.exp(-age / self.card.heat.age_s))

    def mean_c(self, state: np.ndarray) -> float:
        if len(state) == 1:
            return self.cold_c + self.given_k(state[0])
        return float(state[1 : 1 + self.patch].mean())

    def speed(self, state: np.ndarray) -> float:
        setting, kelvin = self.card.setting, self.mean_c(state) + 273.15
        gap = 1.0 / kelvin - 1.0 / (setting.reference_c + 273.15)
        return self.factor * math.exp(-setting.activation_j_mol / 8.314 * gap) / self.stretch

    def tipped(self, state: np.ndarray) -> np.ndarray:
        base = len(self.sizes) - self.patch
        self.surface_c = self.mean_c(state)
        return np.array([state[0], *[self.surface_c] * self.patch, *[self.of.slab_c] * base])

    def change(self, at: float, age: float) -> None:
        of = self.of
        self.factor = _last(of.factor, at, 1.0)
        self.weather = _last(of.weather, at, of.weather[0][1])
        self.bare = not _last(of.covered, at, False)
        for when, temp_c in of.mix_readings:
            if when == at:
                self.cold_c = temp_c - self.given_k(age)

    def solve(self, state: np.ndarray, start: float, end: float, until_age_s: float) -> Any:
        def there(_: float, state: np.ndarray) -> float:
            return float(state[0] - until_age_s)

        there.terminal = True  # type: ignore[attr-defined]
        band = {"lband": 1, "uband": 1} if len(state) > 1 else {}
        step = {} if len(state) > 1 else {"max_step": 20.0}
        change = self.column if len(state) > 1 else lambda _, state: [self.speed(state)]
        settings = {"method": "LSODA", "rtol": 1e-7, "atol": 1e-6, "first_step": min(0.01, (end - start) / 2)}
        return solve_ivp(change, (start, end), state, events=there, **settings, **band, **step)

    def column(self, _: float, state: np.ndarray) -> np.ndarray:
        cells, speed = state[1:], self.speed(state)
        flow = np.concatenate([[self.inward(cells[0])], self.between * (cells[:-1] - cells[1:]), [0.0]])
        warming = (flow[:-1] - flow[1:]) / (self.of.heat.density * self.of.heat.specific_heat * self.sizes)
        heat = self.card.heat
        warming[: self.patch] += heat.rise_k / heat.age_s * math.exp(-state[0] / heat.age_s) * speed
        return np.concatenate([[speed], warming])

    def inward(self, top_c: float) -> float:
        """Heat into the top cell, its surface balanced by Newton's method."""
        heat, weather = self.of.heat, self.weather
        film = heat.film_still + heat.film_wind * weather.wind_ms
        wall = 2.0 * heat.conductivity / self.sizes[0]
        sun = heat.sun_w_m2 if weather.sun else 0.0
        for _ in range(20):
            at = self.surface_c
            drying, slope = self.drying(at)
            gap = sun + film * (weather.air_c - at) - drying - wall * (at - top_c)
            self.surface_c += gap / (film + slope + wall)
            if abs(gap) < 1e-7:
                break
        return wall * (self.surface_c - top_c)

    def drying(self, surface_c: float) -> tuple[float, float]:
        air = self.weather.humidity * _kpa(self.weather.air_c)
        excess = _kpa(surface_c) - air
        if not self.bare or excess <= 0.0:
            return 0.0, 0.0
        each = self.of.heat.latent_j_kg / 3600.0 * 0.315 * (0.253 + 0.060 * self.weather.wind_ms * 3.6)
        return each * excess, each * (_kpa(surface_c + 0.01) - air - excess) / 0.01


def _kpa(temp_c: float) -> float:
    return float(psychrolib.GetSatVapPres(float(temp_c))) / 1000.0


def _base(depth_m: float) -> list[float]:
    """Fine for the first 50 mm, then growing slowly to 5 mm."""
    sizes, size, left = [], CELL_M, depth_m
    while left > 0.0:
        sizes.append(min(size, left))
        left -= sizes[-1]
        if depth_m - left > 0.05:
            size = min(size * 1.05, 0.005)
    return sizes


def _last(steps: Sequence[tuple[float, Any]], at: float, before: Any) -> Any:
    found = [value for start, value in steps if start <= at]
    return found[-1] if found else before
