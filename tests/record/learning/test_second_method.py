"""The fit held to other solvers: scipy on the whole posterior written out anew, numpy on the small systems.

Reference: scipy.optimize (BFGS), scipy.stats for the normal law, numpy.linalg; the closed form of two equal working
times at two temperatures is that of ASTM C1074's rate, here on days without hydration heat.
"""

from __future__ import annotations

import math
from dataclasses import replace
from random import Random

import numpy as np
import pytest
from scipy.optimize import minimize
from scipy.stats import norm

from engine.job.model import Job
from engine.mix.rate import activation_from
from engine.pour import events as e
from engine.record.learning import fit as fit_module
from engine.record.learning.fit import ENERGY_SD, SCALE_SD, fit
from engine.record.learning.modes import Field, Prior, mode
from engine.record.learning.seen import Seen
from engine.record.learning.solving import inverse, log_determinant, root, solve
from engine.record.learning.tangent import Row
from engine.site.conditions import Materials
from engine.site.trajectory import Trajectory
from tests.pour.driving import mild
from tests.record.learning.simulated import Writer, signs, simulated

DAY_SD = 0.1
NAMES = ("activation_energy", "first_trowel_due", "second_trowel_due", "working_time", "stretch_1")


def test_small_systems_are_solved_as_numpy_solves_them() -> None:
    rng = np.random.default_rng(4)
    for size in (1, 3, 9):
        square = rng.normal(size=(size, size))
        matrix = square @ square.T + 0.1 * np.eye(size)
        right = rng.normal(size=size)
        low = root(matrix.tolist())
        assert solve(low, right.tolist()) == pytest.approx(np.linalg.solve(matrix, right), rel=1e-8)
        assert np.array(inverse(low)) == pytest.approx(np.linalg.inv(matrix), rel=1e-7, abs=1e-9)
        assert log_determinant(low) == pytest.approx(np.linalg.slogdet(matrix)[1])


def test_unknowns_that_cannot_be_told_apart_are_refused() -> None:
    with pytest.raises(ValueError, match="told apart"):
        root([[1.0, 1.0], [1.0, 1.0]])


def _worth(values: np.ndarray, seen: list[Seen]) -> float:
    """Minus the log posterior, from trajectories of a card with these values and days as rate factors."""
    named, factors = dict(zip(NAMES, values, strict=False)), values[len(NAMES) :]
    total = 0.5 * ((named["activation_energy"] - 4.0) / ENERGY_SD) ** 2 + 0.5 * sum((factors / DAY_SD) ** 2)
    total += 0.5 * sum((named[key] / SCALE_SD) ** 2 for key in NAMES[1:4])
    total += 0.5 * ((named["stretch_1"] - math.log(2.0)) / SCALE_SD) ** 2
    for one in seen:
        card = one.clock.card
        setting = replace(card.setting, activation_j_mol=1e4 * named["activation_energy"])
        stretch = (1.0, math.exp(named["stretch_1"]), card.retarder.stretch[2])
        card = replace(card, setting=setting, retarder=replace(card.retarder, stretch=stretch))
        factor = ((one.clock.water_at, math.exp(factors[one.day])),)
        age = Trajectory(replace(one.clock, card=card, factor=factor)).age_at(one.at)
        z = (math.log(one.limit_s / age) + named[one.limit]) / one.noise
        total -= norm.logpdf(z) if one.exact else norm.logcdf(z)
    return float(total)


def test_the_fit_is_where_scipy_finds_the_whole_posterior_highest(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(fit_module, "DAY_SDS", (DAY_SD,))
    seen = signs(simulated(2, (6.0, 30.0)))
    found = fit(seen, 2, DAY_SD)
    start = np.array([4.0, 0.0, 0.0, 0.0, math.log(2.0), 0.0, 0.0])
    best = minimize(_worth, start, args=(seen,), method="BFGS", options={"gtol": 1e-3})
    for n, name in enumerate(NAMES):
        assert found.estimates[name].mean == pytest.approx(best.x[n], abs=0.01), name
        assert found.estimates[name].sd == pytest.approx(math.sqrt(best.hess_inv[n][n]), rel=0.25), name
    assert found.days == pytest.approx(best.x[len(NAMES) :], abs=0.01)


def test_the_evidence_of_a_spread_of_days_is_that_of_the_joint_normal_law() -> None:
    rng = Random(5)
    rows = [Row(n % 4, rng.gauss(0.1, 0.2), (1.0, rng.gauss(0.0, 1.0)), -1.0, 0.1, True) for n in range(12)]
    field = Field(rows, (Prior(0.0, 0.5), Prior(0.0, 2.0)), (0.0, 0.0), (0.0,) * 4)
    slopes, offs = np.array([row.by for row in rows]), np.array([row.off for row in rows])
    same = np.array([[one.day == other.day for other in rows] for one in rows])
    logs = []
    for sd in (0.05, 0.2):
        scatter = slopes @ np.diag([0.25, 4.0]) @ slopes.T + sd**2 * same + 0.01 * np.eye(12)
        logs.append(-0.5 * (offs @ np.linalg.solve(scatter, offs) + np.linalg.slogdet(scatter)[1]))
    ours = [mode(field, sd).log_evidence for sd in (0.05, 0.2)]
    assert ours[1] - ours[0] == pytest.approx(logs[1] - logs[0], abs=1e-6)


def test_buckets_without_heat_at_two_temperatures_give_the_energy_of_the_closed_form() -> None:
    """Two temperatures, no noise: the energy is that of the two times, whatever the card thought."""
    job, days = mild(), []
    for number in range(12):
        temp_c, stiff_s = ((10.0, 500.0), (30.0, 200.0))[number % 2]
        days.append(_bucket_day(job, number, temp_c, stiff_s))
    seen = signs([day.day(str(n)) for n, day in enumerate(days)])
    expected = activation_from(500.0, 10.0, 200.0, 30.0)
    found = fit(seen, 12, 0.05).estimates["activation_energy"]
    assert found.mean * 1e4 == pytest.approx(expected, rel=0.01)


def _bucket_day(job: Job, number: int, temp_c: float, stiff_s: float) -> Writer:
    row = replace(job.conditions[0], air_c=temp_c, slab_c=temp_c)
    writer = Writer(replace(job, conditions=(row,), materials=Materials(temp_c, temp_c)))
    writer.at(60.0 + number, e.TrialStarted("T", job.mixes[0].key))
    writer.at(60.0 + number + stiff_s, e.SignSeen("stiff", "T"))
    return writer
