"""Wet cure, and what covers do to a patch.

COLD-6: ACI 306R in a handbook (2004), figure 3-37, reproduction. CURE-5, -6, GEO-19, STR-6: in each row of cure_limits.csv.
UNIT-12: NIST SP 811 (2008), B.8, from memory. Wet cure: common practice, no source; intervals: start values of this program.
"""

from __future__ import annotations

import dataclasses
import math

import pytest
from fine_column import celsius, clock, small_stone
from hypothesis import given
from hypothesis import strategies as st
from measured_jobs import table
from site_days import DAY, HOUR, SHIPPED, TO_SI, still

from engine.mix.rate import rate
from engine.site.column import advance, blanket_from, grid, surface_in
from engine.site.curing import WetCure, blanket_word, cure_list, wet_cure, wet_until
from engine.site.trajectory import BatchClock, trajectory

MIN = 60.0
NO_HEAT = small_stone(rise_k=0.0)
SHADE, SUN = still(20.0, 0.5, 1.0), still(20.0, 0.5, 1.0, sun=True)
WIND = still(20.0, 0.5, 3.0)


@pytest.mark.parametrize("row", table("cure_limits.csv"), ids=lambda row: f"{row['id']} {row['key']}")
def test_the_limits_are_the_published_ones(row: dict[str, str]) -> None:
    assert SHIPPED[row["key"]] == pytest.approx(TO_SI[row["unit"]](float(row["value"])))


def at_one_temperature(temp_f: float, packets: float = 0.0) -> BatchClock:
    temp_c = celsius(temp_f)
    weather = ((0.0, still(temp_c)),)
    return clock(card=NO_HEAT, packets=packets, mix_c=temp_c, slab_c=temp_c, weather=weather, factor=())


@pytest.mark.parametrize(("temp_f", "packets"), [(70, 0.0), (70, 1.0), (45, 0.0), (45, 2.0), (95, 0.0)])
def test_wet_for_the_label_hour_and_longer_when_cold_or_retarded(temp_f: float, packets: float) -> None:
    """Common practice, no source: an hour at 70 °F; in set age, and never under an hour on the clock."""
    pace = rate(celsius(temp_f), NO_HEAT.setting.reference_c, 40e3) / {0.0: 1.0, 1.0: 2.0, 2.0: 2.8}[packets]
    path = trajectory(at_one_temperature(temp_f, packets))
    found = wet_until([path], 900.0, SHIPPED)
    assert found - 900.0 == pytest.approx(max(HOUR, HOUR / pace), rel=1e-4)
    assert wet_until([path, trajectory(at_one_temperature(50))], 900.0, SHIPPED) >= found


def cure(wettings: list[float], weather: object, covers: object = (), since: float = 900.0) -> WetCure:
    paths = [trajectory(at_one_temperature(45, 2.0))]  # wet for hours
    return wet_cure("P1", paths, since, wettings, weather, covers, SHIPPED)  # type: ignore[arg-type]


@pytest.mark.parametrize(("weather", "minutes"), [(SHADE, 20), (SUN, 10), (WIND, 10)])
def test_wetted_again_sooner_in_sun_or_wind(weather: object, minutes: float) -> None:
    """Assumed start values: 10 minutes in sun or wind, 20 in shade."""
    assert cure([], ((0.0, weather),)).next_at == 900.0 + minutes * MIN
    later = cure([900.0, 2000.0, 1500.0], ((0.0, weather),))
    assert (later.wet_at, later.next_at) == (2000.0, 2000.0 + minutes * MIN)
    assert later.due(2000.0 + minutes * MIN)
    assert not later.due(1999.0 + minutes * MIN)


def test_sun_that_comes_out_half_way_halves_what_is_left() -> None:
    """Ten of twenty minutes used in shade; the other half takes five in sun."""
    assert cure([], ((0.0, SHADE), (900.0 + 10 * MIN, SUN))).next_at == 900.0 + 15 * MIN
    assert cure([], ((0.0, SUN), (900.0 + 5 * MIN, SHADE))).next_at == 900.0 + 15 * MIN


def test_under_a_cover_the_next_wetting_is_a_day_off_until_it_is_lifted() -> None:
    weather = ((0.0, SUN),)
    assert cure([], weather, ((900.0, True),)).next_at is None  # the cure is over before
    lifted = cure([], weather, ((900.0, True), (900.0 + 2 * HOUR, False)))
    left = 1.0 - 2 * HOUR / DAY
    assert lifted.next_at == pytest.approx(900.0 + 2 * HOUR + left * 10 * MIN)


def test_a_wetting_after_the_end_of_the_cure_is_not_asked_for() -> None:
    quick = wet_cure(
        "P1", [trajectory(at_one_temperature(70))], 900.0, [900.0 + 50 * MIN], ((0.0, SHADE),), (), SHIPPED
    )
    assert quick.next_at is None
    assert quick.until == pytest.approx(900.0 + HOUR, abs=1.0)


def test_the_list_is_in_the_order_of_the_next_wetting_without_cures_that_are_over() -> None:
    cures = [
        WetCure("P1", 0.0, None, 9000.0),
        WetCure("P2", 0.0, 1500.0, 9000.0),
        WetCure("P3", 0.0, 1200.0, 9000.0),
        WetCure("P4", 0.0, 100.0, 1000.0),
    ]
    assert [one.pour for one in cure_list(cures, 1000.0)] == ["P3", "P2", "P1"]


@given(st.floats(0, 10), st.floats(0, 5), st.booleans())
def test_more_wind_or_sun_never_puts_a_wetting_off(wind_ms: float, more: float, sun: bool) -> None:
    calm = cure([], ((0.0, still(20.0, 0.5, wind_ms, sun)),)).next_at
    rough = cure([], ((0.0, still(20.0, 0.5, wind_ms + more, True)),)).next_at
    assert calm is not None
    assert rough is not None
    assert rough <= calm


@pytest.mark.parametrize(
    ("patch_f", "air_f", "low_f", "word"),
    [
        (60, 40, 30, "may come off"),
        (60.1, 40, 30, "too warm for the air"),
        (60, 50, 10, "may come off"),
        (60, 50, 9.9, "too warm for the night"),
    ],
)
def test_a_blanket_stays_on_a_patch_much_warmer_than_the_air(
    patch_f: float, air_f: float, low_f: float, word: str
) -> None:
    """Common practice 20 °F, no source; COLD-6, READ-2: at most 50 °F in the first day after protection (ACI 306R)."""
    assert blanket_word(celsius(patch_f), celsius(air_f), celsius(low_f), True, SHIPPED) == word


@pytest.mark.parametrize("air_f", [28, 50, 70])
def test_a_blanket_never_comes_off_work_that_would_not_stand_a_frost(air_f: float) -> None:
    """COLD-8: 500 psi before the first freeze. PCA, Design and Control, ch. 14, READ."""
    assert blanket_word(celsius(air_f), celsius(air_f), celsius(air_f), False, SHIPPED) == "too green"


# covers in the column


def lump(blanket_m2k_w: float, seconds: float) -> float:
    """A plate that conducts so well that it is of one temperature, 2 × 20 mm, at 30 °C in still air at 10 °C."""
    heat = dataclasses.replace(clock().heat, conductivity=5000.0, base_depth_m=0.02)
    cells = grid(0.02, heat)
    temps_c = cells.start(30.0, 30.0)
    surface = surface_in(still(10.0), True, heat, blanket_m2k_w)
    for _ in range(60):
        temps_c = advance(cells, temps_c, surface, 0.0, seconds / 60)
    return cells.patch_c(temps_c)


@pytest.mark.parametrize("blanket_m2k_w", [0.0, 0.1, 1.0 / 2.8, 1.0])
def test_a_blanket_slows_cooling_by_its_resistance_in_series_with_the_film(blanket_m2k_w: float) -> None:
    """Closed form: exp(−t / (ρ·c·L·(1/h + R))), with ρc 2.3e6 J/(m³·K), L 40 mm, h 10.79 W/(m²·K)."""
    expected = 10.0 + 20.0 * math.exp(-3600.0 / (2.3e6 * 0.04 * (1 / 10.79 + blanket_m2k_w)))
    assert lump(blanket_m2k_w, 3600.0) == pytest.approx(expected, abs=0.02)


def test_the_shipped_blanket_has_a_us_r_value_of_two() -> None:
    """R-2 in h·ft²·°F/Btu is 0.352 m²·K/W (1 Btu/(h·ft²·°F) = 5.678 W/(m²·K), UNIT-12)."""
    assert blanket_from(SHIPPED) == pytest.approx(0.35222, abs=1e-5)


def test_a_sheet_ends_evaporation_and_a_blanket_lets_less_sun_in_as_well() -> None:
    weather, heat = still(20.0, 0.3, 2.0, sun=True), clock().heat
    bare, sheet, blanket = (
        surface_in(weather, *how) for how in ((False, heat), (True, heat), (True, heat, 0.35))
    )
    assert bare.drying(30.0)[0] > 100.0
    assert sheet.drying(30.0) == blanket.drying(30.0) == (0.0, 0.0)
    assert (bare.film_w_m2k, bare.sun_w_m2) == (sheet.film_w_m2k, sheet.sun_w_m2)
    settled = [one.air_c + one.sun_w_m2 / one.film_w_m2k for one in (sheet, blanket)]
    assert settled[0] == pytest.approx(settled[1])  # at rest the sun on either outside means the same
    assert blanket.film_w_m2k < sheet.film_w_m2k / 4.0


def test_a_blanket_keeps_a_batch_warmer_and_older_through_a_cold_night_from_its_own_time_on() -> None:
    cold = clock(covered=((900.0, True),), weather=((0.0, still(2.0, 0.8, 2.0)),))
    kept = dataclasses.replace(cold, blankets=((900.0, blanket_from(SHIPPED)),))
    lifted = dataclasses.replace(cold, blankets=((900.0, blanket_from(SHIPPED)), (4 * HOUR, 0.0)))
    bare, warm, again = (trajectory(one) for one in (cold, kept, lifted))
    assert bare.age_at(900.0) == warm.age_at(900.0)
    assert warm.temperature_at(4 * HOUR) > bare.temperature_at(4 * HOUR) + 0.5
    assert bare.age_at(12 * HOUR) < again.age_at(12 * HOUR) < warm.age_at(12 * HOUR)
