"""What retarder packets do to the clock."""

from __future__ import annotations

import pytest

from engine.mix.card import Retarder
from engine.mix.rate import rate
from engine.mix.retarder import stretch

CARD = Retarder((0.0, 1.0, 2.0), (1.0, 2.0, 2.8))


@pytest.mark.parametrize(
    ("packets", "expected"), [(0, 1.0), (0.5, 1.5), (1, 2.0), (1.25, 2.2), (1.5, 2.4), (2, 2.8)]
)
def test_the_stretch_runs_straight_between_the_points_of_the_card(packets: float, expected: float) -> None:
    assert stretch(CARD, packets) == pytest.approx(expected, abs=1e-12)


def test_more_retarder_never_shortens_the_clock() -> None:
    """RET-7: extension never below zero, none at no dose, not falling with dose."""
    doses = [n / 50 for n in range(101)]
    found = [stretch(CARD, dose) for dose in doses]
    assert found[0] == 1.0
    assert found == sorted(found)


@pytest.mark.parametrize("packets", [-0.5, 2.01, 3.0, float("nan")])
def test_a_dose_outside_the_card_is_refused_with_its_limit(packets: float) -> None:
    """RET-1: an overdose can stop the set for days; nothing is read past the label."""
    with pytest.raises(ValueError, match="0 to 2"):
        stretch(CARD, packets)


def test_a_card_without_retarder_takes_none() -> None:
    assert stretch(Retarder(), 0.0) == 1.0
    with pytest.raises(ValueError, match="0 to 0"):
        stretch(Retarder(), 0.5)


@pytest.mark.parametrize(
    ("working_min", "mixing_min"), [(2.0, 1.5), (2.5, 1.5), (3.0, 1.5), (3.0, 0.0), (4.0, 0.0)]
)
def test_one_packet_about_doubles_two_to_four_minutes(working_min: float, mixing_min: float) -> None:
    """Common practice, no source: at 70 °F a packet brings 2 to 4 min of working time to about 5 to 8.

    The clock runs from water contact: where a label counts from the end of mixing, that time is stretched with it.
    """
    found = (working_min + mixing_min) * stretch(CARD, 1.0) - mixing_min
    assert 5.0 <= found <= 8.0


def test_a_packet_gains_fewer_minutes_when_it_is_hot() -> None:
    """RET-2, sign only: the effect shrinks as temperature rises (Zou, Zhang and Wang 2020, abstract READ)."""
    gains = [
        4.5 * (stretch(CARD, 1.0) - 1.0) / rate(temp_c, 21.11, 40e3) for temp_c in (5.0, 20.0, 30.0, 40.0)
    ]
    assert gains == sorted(gains, reverse=True)
    assert gains[1] > 1.5 * gains[2]
