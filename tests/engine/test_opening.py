"""When a pour opens, and by what."""

from __future__ import annotations

import pytest
from fine_column import celsius, clock, small_stone
from hypothesis import given, settings
from hypothesis import strategies as st
from site_days import still

from engine.mix.rate import rate
from engine.site.opening import OpeningTime, Tipped, opening_time, said, target_result
from engine.site.trajectory import trajectory

NO_HEAT = small_stone(rise_k=0.0)
LABEL_S = NO_HEAT.opening.wheels_s


def tipped(name: str, temp_c: float, water_at: float = 0.0, packets: float = 0.0) -> Tipped:
    """A batch at one temperature throughout, tipped two minutes after water contact."""
    of = clock(
        card=NO_HEAT,
        packets=packets,
        water_at=water_at,
        mix_c=temp_c,
        tip_at=water_at + 120.0,
        slab_c=temp_c,
        weather=((0.0, still(temp_c)),),
        factor=(),
    )
    return Tipped(name, trajectory(of), water_at + 120.0)


def test_warm_and_without_packets_the_label_time_decides() -> None:
    opens = opening_time([tipped("P1.1", 30.0), tipped("P1.2", 30.0, 600.0)], LABEL_S)
    assert opens == OpeningTime(600.0 + 120.0 + LABEL_S, "label", "P1.2")
    assert dict(said(opens).values) == {"batch": "P1.2"}


def test_in_the_cold_set_age_decides_and_the_slowest_batch_is_named() -> None:
    """Closed form: the label's seconds of age take time by rate and stretch, from water contact."""
    pace = rate(celsius(45), NO_HEAT.setting.reference_c, 40e3)
    batches = [tipped("P1.1", celsius(45), packets=1.0), tipped("P1.2", celsius(45), 600.0)]
    opens = opening_time(batches, LABEL_S)
    assert (opens.basis, opens.batch) == ("set age", "P1.1")
    assert opens.at == pytest.approx(LABEL_S * 2.0 / pace, abs=1.0)


def test_a_pour_without_batches_and_one_that_never_gets_there_have_no_time() -> None:
    assert opening_time([], LABEL_S) == OpeningTime(None, "nothing tipped")
    frozen = opening_time([tipped("P1.1", 20.0), tipped("P1.2", -60.0)], LABEL_S)
    assert frozen == OpeningTime(None, "not reached", "P1.2")
    assert said(frozen).key == "opening.not_reached"


@settings(max_examples=30, deadline=None)
@given(st.floats(-5, 40), st.floats(0, 15), st.sampled_from([0.0, 1.0, 2.0]))
def test_colder_never_opens_sooner_and_nothing_opens_before_the_label(
    temp_c: float, colder: float, packets: float
) -> None:
    warm = opening_time([tipped("P1.1", temp_c, packets=packets)], LABEL_S)
    cold = opening_time([tipped("P1.1", temp_c - colder, packets=packets)], LABEL_S)
    assert warm.at is not None
    assert cold.at is not None
    assert cold.at >= warm.at >= 120.0 + LABEL_S


@pytest.mark.parametrize(
    ("expected", "met", "margin_s"), [(90.0, True, 10.0), (100.0, True, 0.0), (101.0, False, -1.0)]
)
def test_a_target_is_met_up_to_its_moment(expected: float, met: bool, margin_s: float) -> None:
    result = target_result(expected, 100.0)
    assert (result.met, result.margin_s) == (met, margin_s)


def test_a_pour_without_a_time_meets_no_target() -> None:
    assert target_result(None, 1e12).met is False
