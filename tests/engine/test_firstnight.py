"""The first night against the frost.

COLD-8: PCA, Design and Control of Concrete Mixtures, chapter 14, after Powers 1962, read. SPEC-1: ASTM C928-05, table 1,
read. The rest: closed forms at one temperature, derived.
"""

from __future__ import annotations

import math

import pytest
from fine_column import clock, small_stone
from site_days import HOUR, PSI, SHIPPED, changed, still, strong

from engine.mix.card import MixCard
from engine.mix.rate import rate
from engine.site.conditions import Weather
from engine.site.firstnight import FirstNight, first_night, needed_age_s, said
from engine.site.strength import strength_pa
from engine.site.trajectory import trajectory

TEMP_C = 4.0
CARD = strong((1, 3, 24), (800, 1500, 3200))
PACE = rate(TEMP_C, CARD.setting.reference_c, 40e3)
AGE_500_S = 1200.0 * 3.0 ** (500 / 800)  # 20 min to 1 h, straight over log age
MORNING = 18 * HOUR


def night(
    steps: tuple[tuple[float, Weather], ...],
    packets: float = 0.0,
    card: MixCard = CARD,
    known_until: float = MORNING,
) -> FirstNight:
    """A patch kept at 4 °C by its own weather; the air asked about is the forecast in `steps`."""
    of = clock(
        card=card,
        packets=packets,
        mix_c=TEMP_C,
        slab_c=TEMP_C,
        weather=((0.0, still(TEMP_C)),),
        factor=(),
    )
    return first_night(trajectory(of), card, steps, (125.0, MORNING), known_until, SHIPPED)


def frost_at(at: float, air_c: float = -2.0) -> tuple[tuple[float, Weather], ...]:
    return ((0.0, still(6.0)), (at, still(air_c)), (at + HOUR, still(-5.0)))


def test_the_strength_asked_for_is_that_of_one_freezing() -> None:
    """COLD-8, READ: 500 psi (3.447 MPa), PCA, Design and Control, chapter 14."""
    assert SHIPPED["frost.least_strength"] == pytest.approx(3.447e6, rel=2e-4)
    assert needed_age_s(CARD, SHIPPED) == pytest.approx(AGE_500_S, rel=1e-9)


def test_strong_enough_before_the_frost() -> None:
    """Closed form: age is time by the rate at 4 °C."""
    found = night(frost_at(8 * HOUR))
    assert (found.word, found.freeze_at) == ("reached before", 8 * HOUR)
    assert (found.low_c, found.low_at) == (-5.0, 9 * HOUR)
    assert found.reached_at == pytest.approx(AGE_500_S / PACE, rel=1e-4)
    assert found.equivalent_s == pytest.approx(8 * HOUR * PACE, rel=1e-4)
    assert found.strength_pa == pytest.approx(strength_pa(CARD, 8 * HOUR * PACE), rel=1e-4)
    assert found.margin_s == pytest.approx(8 * HOUR - AGE_500_S / PACE, rel=1e-4)
    assert found.patch_c == pytest.approx(TEMP_C, abs=1e-6)


def test_packets_in_the_cold_bring_the_frost_first() -> None:
    frost = 2.5 * HOUR
    assert night(frost_at(frost)).word == "reached before"
    retarded = night(frost_at(frost), packets=2.0)
    assert retarded.word == "not reached"
    assert retarded.reached_at == pytest.approx(AGE_500_S * 2.8 / PACE, rel=1e-4)
    assert retarded.margin_s is not None
    assert retarded.margin_s < 0.0
    assert (retarded.strength_pa or 0.0) < 500 * PSI


def test_frost_is_air_at_freezing_and_counts_from_the_tip() -> None:
    assert night(frost_at(8 * HOUR, 0.0)).freeze_at == 8 * HOUR
    assert night(frost_at(8 * HOUR, 0.1)).freeze_at == 9 * HOUR
    frozen_now = night(((0.0, still(-1.0)), (HOUR, still(5.0))))
    assert (frozen_now.freeze_at, frozen_now.word) == (125.0, "not reached")


def test_frost_after_the_morning_is_another_day() -> None:
    found = night(frost_at(MORNING + HOUR))
    assert (found.word, found.freeze_at, found.low_c) == ("no freeze ahead", None, 6.0)
    assert found.equivalent_s == pytest.approx(MORNING * PACE, rel=1e-4)
    assert found.margin_s is None


@pytest.mark.parametrize(
    ("known_until", "word"),
    [(MORNING, "no freeze ahead"), (10 * HOUR, "reached"), (0.5 * HOUR, "cannot tell")],
)
def test_a_forecast_that_ends_in_the_evening_tells_nothing_of_the_night(
    known_until: float, word: str
) -> None:
    assert night(((0.0, still(6.0)),), known_until=known_until).word == word


def test_a_card_without_strengths_counts_as_the_slowest_class() -> None:
    """SPEC-1, READ: class R1 of ASTM C928 has 500 psi at 3 h."""
    bare = small_stone(rise_k=0.0)
    assert needed_age_s(bare, SHIPPED) == 3 * HOUR
    found = night(frost_at(5 * HOUR), card=bare)
    assert (found.word, found.strength_pa) == ("not reached", None)
    assert night(frost_at(9 * HOUR), card=bare).word == "reached before"


def test_a_card_that_never_states_so_much_is_never_strong_enough() -> None:
    weak = strong((1, 24), (100, 400))
    found = night(frost_at(12 * HOUR), card=weak)
    assert (found.word, found.needed_s, found.reached_at) == ("not reached", None, None)
    assert dict(said(found).values)["needed"] == "?"


def test_the_hours_are_said_at_the_reference_temperature() -> None:
    found = night(frost_at(8 * HOUR))
    said_values = dict(said(found).values)
    assert said(found).key == "firstnight.reached_before"
    assert float(said_values["hours"]) == pytest.approx(8 * PACE, abs=0.05)
    assert math.isclose(float(said_values["needed"]), AGE_500_S / HOUR, abs_tol=0.05)


def test_a_job_may_ask_for_more_than_the_shipped_strength() -> None:
    assert needed_age_s(CARD, changed(frost__least_strength=800 * PSI)) == pytest.approx(HOUR)
