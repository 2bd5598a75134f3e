"""A mix that waits in its vessel."""

from __future__ import annotations

import math

import pytest
from fine_column import celsius, clock, small_stone

from engine.mix.rate import rate
from engine.site.trajectory import trajectory
from engine.site.waiting import waiting
from engine.site.windows import workable_until

NO_HEAT = small_stone(rise_k=0.0)


def test_without_heat_of_its_own_a_mix_ages_at_one_pace() -> None:
    """Closed form: age is time by rate, here at 55 °F with one packet, which doubles the working time."""
    of = clock(card=NO_HEAT, mix_c=celsius(55), packets=1.0, factor=())
    pace = rate(celsius(55), NO_HEAT.setting.reference_c, 40e3) / 2.0
    found = waiting(of, [0.0, 60.0, 300.0])
    assert [look.share for look in found.looks] == pytest.approx([0.0, 60 * pace / 270, 300 * pace / 270])
    assert {look.temperature_c for look in found.looks} == {celsius(55)}
    assert found.workable_until == pytest.approx(270.0 / pace, abs=0.01)


def test_its_own_heat_warms_it_by_the_age_it_has() -> None:
    """The card's law: rise · (1 − exp(−age / 25 min)) over the temperature at water contact, nothing lost."""
    of = clock(mix_c=20.0, factor=())
    for look in waiting(of, [120.0, 600.0, 3600.0]).looks:
        age_s = look.share * of.card.workable_s
        assert look.temperature_c == pytest.approx(20.0 + 18.0 * (1 - math.exp(-age_s / 1500.0)), abs=0.02)


def test_a_mix_left_in_its_vessel_on_a_cold_slab_is_stiff_before_one_that_was_tipped() -> None:
    of = clock(mix_c=celsius(70), slab_c=celsius(40))
    assert waiting(of, []).workable_until < workable_until(trajectory(of), of.card)


def test_at_the_end_of_its_workable_time_all_of_it_is_used() -> None:
    of = clock()
    until = waiting(of, []).workable_until
    (look,) = waiting(of, [until - of.water_at]).looks
    assert look.share == pytest.approx(1.0, abs=1e-6)
