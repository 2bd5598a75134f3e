"""Today's rate factor: the prior, its update by signs, against integration and closed forms."""

from __future__ import annotations

import itertools
import math

import numpy as np
import pytest
from scipy.integrate import cumulative_trapezoid
from scipy.stats import norm

from engine.pour.posterior import Factor, Sign, posterior

STIFF = Sign(270.0, 265.04, 0.10, True)
READY = Sign(540.0, 520.0, 0.15, True)
NOT_YET = Sign(540.0, 600.0, 0.15, False)
STILL_MOVES = Sign(270.0, 290.0, 0.15, False)

CASES = {
    "prior": (),
    "stiff": (STIFF,),
    "not yet": (NOT_YET,),
    "ready and not yet": (READY, NOT_YET),
    "all": (STIFF, READY, NOT_YET, STILL_MOVES),
    "against each other": (Sign(540.0, 420.0, 0.15, True), Sign(540.0, 700.0, 0.15, False)),
    "many": (STIFF,) * 12,
}


def integrated(signs: tuple[Sign, ...]) -> tuple[float, float, float]:
    """Tenth, median and nine tenths of the posterior by cumulative integration, without clamps."""
    x = np.linspace(-1.2, 1.2, 100_001)
    density = norm.pdf(x, 0.0, 0.20)
    for sign in signs:
        gap = (math.log(sign.limit_s / sign.age_s) - x) / sign.noise
        density = density * (norm.pdf(gap) if sign.reached else norm.cdf(gap))
    area = cumulative_trapezoid(density, x, initial=0.0)
    low, middle, high = np.exp(np.interp(np.array([0.1, 0.5, 0.9]) * area[-1], area, x))
    return float(low), float(middle), float(high)


def ends(factor: Factor) -> tuple[float, float, float]:
    return factor.low, factor.value, factor.high


def test_without_a_sign_the_factor_is_one_and_roughly_a_quarter_either_way() -> None:
    """e to the power of ∓1.28155 · 0.20, the normal distribution's tenth."""
    assert ends(posterior(())) == pytest.approx((0.7739, 1.0, 1.2922), abs=0.00005)
    assert posterior(()).observations == 0


@pytest.mark.parametrize("name", CASES)
def test_the_factor_is_that_of_direct_integration(name: str) -> None:
    found = posterior(CASES[name])
    assert ends(found) == pytest.approx(integrated(CASES[name]), abs=0.0001)
    assert found.observations == len(CASES[name])


def test_reached_limits_weigh_by_their_noise() -> None:
    """Normal with normal: precisions add, in ln k."""
    weights = [1 / 0.20**2, 1 / 0.10**2, 1 / 0.15**2]
    seen = [0.0, math.log(270.0 / 265.04), math.log(540.0 / 520.0)]
    mean = sum(w * x for w, x in zip(weights, seen, strict=True)) / sum(weights)
    found = posterior((STIFF, READY))
    assert found.value == pytest.approx(math.exp(mean), abs=1e-5)
    assert math.log(found.high / found.low) == pytest.approx(2 * 1.281552 / math.sqrt(sum(weights)), abs=1e-4)


def test_the_trial_bucket_of_the_library_day() -> None:
    """Stiff after 5 min in a bucket that warms itself, set age 265.04 s of 270: the example day's own figures."""
    assert ends(posterior((STIFF,))) == pytest.approx((0.905, 1.0149, 1.1382), abs=0.0001)


@pytest.mark.parametrize("order", list(itertools.permutations((STIFF, READY, NOT_YET, STILL_MOVES)))[:12])
def test_the_order_of_signs_is_of_no_matter(order: tuple[Sign, ...]) -> None:
    assert posterior(order) == posterior((STIFF, READY, NOT_YET, STILL_MOVES))


def test_a_not_yet_only_ever_slows_and_the_more_the_later_it_comes() -> None:
    found = [posterior((Sign(540.0, age, 0.15, False),)).value for age in (100.0, 400.0, 540.0, 600.0, 800.0)]
    assert found[0] == pytest.approx(1.0, abs=1e-6)
    assert found == sorted(found, reverse=True)
    assert found[-1] < 0.9


def test_a_sign_before_its_time_quickens_and_one_after_it_slows() -> None:
    early, late = (posterior((Sign(540.0, age, 0.15, True),)).value for age in (450.0, 650.0))
    assert late < 1.0 < early


@pytest.mark.parametrize(
    ("signs", "expected"),
    [
        ((Sign(270.0, 60.0, 0.10, True),) * 2, 1.6),
        ((Sign(270.0, 1500.0, 0.10, True),) * 2, 0.6),
        ((Sign(540.0, 9000.0, 0.02, False),) * 3, 0.6),
        ((Sign(270.0, 1e-3, 0.10, True),) * 20, 1.6),
    ],
)
def test_wild_signs_end_at_the_clamps(signs: tuple[Sign, ...], expected: float) -> None:
    assert ends(posterior(signs)) == (expected, expected, expected)


def test_each_figure_is_clamped_on_its_own() -> None:
    found = posterior((Sign(540.0, 345.0, 0.15, True),), 0.20, 0.6, 1.4)
    free = posterior((Sign(540.0, 345.0, 0.15, True),), 0.20, 0.01, 9.0)
    assert (found.low, found.value, found.high) == (free.low, free.value, 1.4)
    assert free.high > 1.4


def test_a_sign_before_any_set_age() -> None:
    """Not reached is then certain and tells nothing; reached cannot be."""
    assert ends(posterior((Sign(540.0, 0.0, 0.15, False),))) == ends(posterior(()))
    with pytest.raises(ValueError, match="before there is any set age"):
        posterior((Sign(540.0, 0.0, 0.15, True),))
