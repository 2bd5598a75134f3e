"""How long a batch's clock takes, beside a general integrator on the very same cells.

    python -m tests.bench.clock_speed

Prints milliseconds and ratios; nothing here is timed by a test.
"""

from __future__ import annotations

import math
import sys
import time
from collections.abc import Callable
from pathlib import Path

import numpy as np
from scipy.integrate import solve_ivp

sys.path.insert(0, str(Path(__file__).parents[1] / "engine"))
from fine_column import clock

from engine.mix.rate import rate
from engine.site.column import grid, surface_in
from engine.site.trajectory import BatchClock, Trajectory

SPANS_S = (("near windows", 900.0), ("an hour", 3600.0), ("ten hours", 36000.0))
REPEATS = 7


def fastest_ms(work: Callable[[], object]) -> float:
    """The least of several runs."""
    taken = []
    for _ in range(REPEATS):
        start = time.perf_counter()
        work()
        taken.append(time.perf_counter() - start)
    return 1000.0 * min(taken)


def general(of: BatchClock, until: float) -> float:
    """Set age at a time by an adaptive stiff integrator on the engine's cells, from the tip on."""
    cells, card = grid(of.depth_m, of.heat), of.card
    surface, shares = surface_in(of.weather[0][1], False, of.heat), np.array(cells.shares)
    up, down = np.array(cells.up), np.array(cells.down)
    tip, factor = float(of.tip_at or 0.0), of.factor[-1][1]
    vessel = Trajectory(of)
    start = [vessel.age_at(tip), *cells.start(vessel.temperature_at(tip), of.slab_c)]

    def change(_: float, state: np.ndarray) -> np.ndarray:
        temps_c = state[1:]
        speed = factor * rate(float(shares @ temps_c[: cells.patch]), card.setting.reference_c, 40e3)
        warming = up * (np.roll(temps_c, 1) - temps_c) + down * (np.roll(temps_c, -1) - temps_c)
        drying, _ = surface.drying(float(temps_c[0]))
        inward = surface.sun_w_m2 + surface.film_w_m2k * (surface.air_c - temps_c[0]) - drying
        warming[0] += inward / cells.top_j_m2k
        warming[: cells.patch] += (
            card.heat.rise_k / card.heat.age_s * math.exp(-state[0] / card.heat.age_s) * speed
        )
        return np.concatenate([[speed], warming])

    solved = solve_ivp(change, (tip, until), start, method="LSODA", lband=1, uband=1, rtol=1e-5, atol=1e-4)
    return float(solved.y[0, -1])


def main() -> None:
    first = clock()
    for name, span_s in SPANS_S:
        own_ms = fastest_ms(lambda span_s=span_s: Trajectory(first).age_at(span_s))
        other_ms = fastest_ms(lambda span_s=span_s: general(first, span_s))
        off_s = Trajectory(first).age_at(span_s) - general(first, span_s)
        print(
            f"{name:13} {own_ms:7.2f} ms  general {other_ms:7.2f} ms  {other_ms / own_ms:5.1f} times  {off_s:+.2f} s"
        )
    windows = Trajectory(first)
    windows.age_at(900.0)
    print(f"a look-up     {1000 * fastest_ms(lambda: windows.time_of(285.0)):7.2f} µs")


if __name__ == "__main__":
    main()
