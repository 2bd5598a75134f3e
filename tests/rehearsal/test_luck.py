"""Draws of a rehearsed day. Source of the spreads: the scheduling study, section 5; of the mean of a log-normal, textbook."""

from __future__ import annotations

from dataclasses import replace
from random import Random
from statistics import fmean, pstdev

import pytest

from engine.rehearsal.fate import Fate
from engine.rehearsal.luck import AS_PLANNED, draw, stretch_of
from tests.rehearsal.small import problem, single

POUR = problem([single("1"), single("2")])


def test_a_seed_always_gives_the_same_day_and_another_seed_another() -> None:
    assert draw(POUR, 7) == draw(POUR, 7)
    assert draw(POUR, 7) != draw(POUR, 8)


def test_a_day_as_planned_strays_nowhere() -> None:
    luck = draw(POUR, 3, AS_PLANNED)
    assert luck.window_factor(0) == luck.window_factor(1) == 1.0
    assert luck.mix_s == (120.0, 120.0)
    assert luck.pass_s[0] == ((60.0, 60.0, 70.0),)


def test_durations_keep_their_mean_and_stray_by_a_quarter() -> None:
    rng = Random(1)
    drawn = [stretch_of(rng, 0.25) for _ in range(20000)]
    assert fmean(drawn) == pytest.approx(1.0, abs=0.006)  # three standard errors
    assert pstdev(drawn) / fmean(drawn) == pytest.approx(0.25, abs=0.006)


def test_setting_strays_a_fifth_by_the_day_and_a_twentieth_by_the_batch() -> None:
    days = [draw(POUR, seed) for seed in range(400)]
    factors = [day.day_factor for day in days]
    assert 0.8 <= min(factors) < 0.82
    assert 1.18 < max(factors) <= 1.2
    assert all(0.95 <= factor <= 1.05 for day in days for factor in day.batch_factor)


def test_a_batch_more_at_the_end_leaves_the_setting_of_the_day_alone() -> None:
    longer = problem([single("1"), single("2"), single("3")])
    assert draw(longer, 5).day_factor == draw(POUR, 5).day_factor


def test_a_jobs_draws_go_by_name_whatever_the_order() -> None:
    fate, again = Fate(4), Fate(4)
    first = [fate.stretch("mix", "P1.1"), fate.rate("P2.1"), fate.stretch("float", "P1.1")]
    other_way = [again.stretch("float", "P1.1"), again.rate("P2.1"), again.stretch("mix", "P1.1")]
    assert first == other_way[::-1]
    assert Fate(5).rate("P2.1") != fate.rate("P2.1")


def test_batches_of_a_day_share_its_factor() -> None:
    fate = Fate(4)
    rates = [fate.rate(f"P{n}.1") for n in range(50)]
    assert max(rates) / min(rates) <= 1.05 / 0.95 + 1e-9
    assert len(set(rates)) == 50


def test_a_job_as_planned_sets_as_its_clock_says() -> None:
    fate = Fate(9, AS_PLANNED)
    assert (fate.rate("P1.1"), fate.stretch("mix", "P1.1"), fate.misjudged("P1.1", 0.15)) == (1.0, 1.0, 1.0)


def test_a_spread_of_its_own_is_kept_to() -> None:
    sure = replace(AS_PLANNED, day=(0.9, 0.9))
    assert Fate(1, sure).rate("P1.1") == pytest.approx(1.0 / 0.9)
