"""What goes stale while work waits, curing compound, and the class of a mix.

GEO-15: UFC 3-270-03 (2001), 3.1. CURE-3, -4: UFGS 03311 (older edition), membrane curing. STR-6, -7: FHWA, Partial-Depth
Repairs (2015), 5.0. STR-10: Texas DOT, Concrete Repair Manual (2021), 3.4. STR-11: ASTM C928-05, table 1.
All read. Soaking: start values of this program; old readings: common practice, no source.
"""

from __future__ import annotations

import pytest
from fine_column import small_stone
from hypothesis import given
from hypothesis import strategies as st
from measured_jobs import FT2, GAL
from site_days import HOUR, SHIPPED, changed, still, strong

from engine.site.drying import Drying
from engine.site.membrane import compound_l, enough_alone
from engine.site.service import class_of, service_class
from engine.site.standing import clean_until, damp_until, is_stale

MIN = 60.0
SHADE, SUN, WIND = still(20.0, 0.5, 1.0), still(20.0, 0.5, 1.0, sun=True), still(20.0, 0.5, 3.0)


@pytest.mark.parametrize(("weather", "minutes"), [(SHADE, 30), (SUN, 10), (WIND, 10)])
def test_a_soaked_base_dries_sooner_in_sun_or_wind(weather: object, minutes: float) -> None:
    """Assumed start values: 10 minutes in sun or wind, 30 in shade."""
    assert damp_until(600.0, ((0.0, weather),), SHIPPED) == 600.0 + minutes * MIN  # type: ignore[arg-type]


def test_sun_that_comes_out_uses_up_what_damp_is_left() -> None:
    """Fifteen of thirty minutes used in shade; the other half takes five in sun."""
    assert damp_until(0.0, ((0.0, SHADE), (15 * MIN, SUN)), SHIPPED) == 20 * MIN
    assert damp_until(0.0, ((5 * MIN, SUN), (6 * MIN, SHADE)), SHIPPED) == 6 * MIN + 0.4 * 30 * MIN


@given(st.floats(0, 10), st.floats(0, 5), st.booleans())
def test_more_wind_or_sun_never_keeps_a_base_damp_longer(wind_ms: float, more: float, sun: bool) -> None:
    calm = damp_until(0.0, ((0.0, still(20.0, 0.5, wind_ms, sun)),), SHIPPED)
    assert damp_until(0.0, ((0.0, still(20.0, 0.5, wind_ms + more, True)),), SHIPPED) <= calm


def test_a_hole_open_for_a_day_is_cleaned_again() -> None:
    """GEO-15: re-clean after 24 h. UFC 3-270-03 (2001), 3.1, READ."""
    assert clean_until(100.0, SHIPPED) == 100.0 + 24 * HOUR
    assert clean_until(0.0, changed(cure__open_hole=4 * HOUR)) == 4 * HOUR


@pytest.mark.parametrize(("age_s", "stale"), [(0.0, False), (45 * MIN, False), (45 * MIN + 1, True)])
def test_an_old_reading_is_asked_for_again(age_s: float, stale: bool) -> None:
    """Common practice, no source."""
    assert is_stale(1000.0, 1000.0 + age_s, SHIPPED) is stale


def test_a_gallon_of_compound_covers_no_more_than_two_hundred_square_feet() -> None:
    """CURE-3: 200 ft²/gal, 4.908 m²/L. UFGS 03311 (older edition), READ."""
    assert compound_l(200 * FT2, SHIPPED) == pytest.approx(GAL)
    assert 1.0 / compound_l(1.0, SHIPPED) == pytest.approx(4.908, abs=0.0005)


@pytest.mark.parametrize(
    ("band", "alone"), [("dew", True), ("slow", True), ("fast", True), ("very fast", False)]
)
def test_compound_alone_is_not_enough_where_a_surface_dries_very_fast(band: str, alone: bool) -> None:
    """CURE-4: only with regard to evaporation over 1 kg/(m²·h). UFGS 03311 (older edition), READ."""
    assert enough_alone(Drying(0.0, band)) is alone  # type: ignore[arg-type]


@pytest.mark.parametrize(
    ("hours", "name"),
    [
        (3, "ultra rapid"),
        (3.01, "rapid"),
        (6, "rapid"),
        (6.01, "next day"),
        (24, "next day"),
        (48, "slow"),
        (96, "slow"),
        (96.1, "slower"),
    ],
)
def test_materials_are_sorted_by_when_they_take_traffic(hours: float, name: str) -> None:
    """STR-10: 3 h, 6 h, 24 h, 2 to 4 days. Texas DOT, Concrete Repair Manual (2021), 3.4, READ."""
    assert service_class(hours * HOUR, SHIPPED) == name


@pytest.mark.parametrize(
    ("psi", "name"),
    [
        ((3000, 5000, 5000), "ultra rapid"),  # class R3
        ((1000, 3000, 4000), "next day"),  # class R2
        ((500, 2000, 4000), "slow"),  # class R1: about 2.7 days, half way over log age
        ((500, 1500, 2500), None),
    ],
)
def test_the_class_of_a_card_follows_its_strengths(psi: tuple[float, ...], name: str | None) -> None:
    """STR-6, STR-7, STR-11: 3000 psi (FHWA 5.0) against the classes of ASTM C928 table 1, READ."""
    assert class_of(strong((3, 24, 168), psi), SHIPPED) == name


def test_a_card_without_strengths_has_no_class() -> None:
    assert class_of(small_stone(), SHIPPED) is None
