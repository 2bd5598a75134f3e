"""Bands of drying and wind at the work.

EVAP-3, rows 17 and 18: PCA, Design and Control, after Lerch 1957, from memory. EVAP-12: algebra on ACI 305R-10, derived.
EVAP-13: Uno 1998, ACI Materials Journal 95-M34, form from memory, ratios derived. EVAP-15: Hover 2020, ACI SP-338, abstract,
read. EVAP-16 to -18: FHWA-HRT-05-038 (2006) chapter 5, UFGS 03311, Concrete Construction magazine, read. EVAP-21: the same
magazine, read. EVAP-22: ASHRAE Fundamentals 2005, coefficients read, factors derived. EVAP-14, -24: signs, derived.
"""

from __future__ import annotations

import math

import psychrolib
import pytest
from hypothesis import given
from hypothesis import strategies as st
from measured_jobs import table
from site_days import SHIPPED, still

from engine.site.drying import advice, crew_rate, drying, one_digit, wind_at_work_ms, wind_share
from engine.site.humid import dew_point_c, evaporation, evaporation_us, saturation_kpa
from engine.units import FT2_M2, POUND_KG

LB_FT2 = POUND_KG / FT2_M2
PSI_KPA = 6.894757293168361


def psi(temp_f: float) -> float:
    return saturation_kpa((temp_f - 32.0) / 1.8) / PSI_KPA


@pytest.mark.parametrize("row", table("evap_limits.csv"), ids=lambda row: f"{row['id']} in {row['unit']}")
def test_the_limits_are_the_published_ones(row: dict[str, str]) -> None:
    rate = float(row["rate"]) * (LB_FT2 if row["unit"] == "lb" else 1.0)
    assert SHIPPED[row["key"]] == pytest.approx(rate, rel=float(row["share"]))


def test_one_printed_row_stands_alone_against_every_form() -> None:
    """EVAP-3, row 17 (from memory): 100 °F, dew point 88 °F, 10 mph is printed as 0.180; the form gives 0.157."""
    found = evaporation_us(psi(100.0), psi(88.0), 10.0)
    assert found == pytest.approx(0.157, abs=0.0005)
    assert 0.180 / found == pytest.approx(1.15, abs=0.02)


def test_the_row_of_a_surface_at_the_dew_point_dries_nothing() -> None:
    """EVAP-3, row 18 (from memory): 70 °F under 80 °F air is printed as 0; its rounded 70 % gives 0.0043."""
    assert evaporation_us(psi(70.0), psi(70.0), 10.0) == 0.0
    assert evaporation_us(psi(70.0), 0.7 * psi(80.0), 10.0) == pytest.approx(0.0043, abs=0.00005)


def power_form(surface_f: float, air_f: float, humidity: float, wind_mph: float) -> float:
    """Another published formula in lb/(ft²·h): Uno 1998, ACI Materials Journal 95-M34, US form, from memory (MEM-H)."""
    return (surface_f**2.5 - humidity * air_f**2.5) * (1 + 0.4 * wind_mph) * 1e-6


@pytest.mark.parametrize("row", table("evap_lerch.csv"), ids=lambda row: row["row"])
def test_another_published_formula_comes_near(row: dict[str, str]) -> None:
    """EVAP-13, derived: over the printed rows the other form is 0.92 to 1.24 times this one."""
    surface_f, air_f, wind_mph = (float(row[name]) for name in ("surface_f", "air_f", "wind_mph"))
    humidity = float(row["humidity"]) / 100
    ours = evaporation_us(psi(surface_f), humidity * psi(air_f), wind_mph)
    assert 0.92 <= power_form(surface_f, air_f, humidity, wind_mph) / ours <= 1.24


def test_a_higher_rate_is_the_worse_one() -> None:
    """EVAP-21, READ: a trade magazine prints it the other way round."""
    order = ["slow", "fast", "very fast"]
    bands = [drying(25.0, still(20.0, 0.4, wind), SHIPPED).band for wind in (0.0, 2.0, 5.0, 20.0)]
    assert [order.index(band) for band in bands] == sorted(order.index(band) for band in bands)
    assert (bands[0], bands[-1]) == ("slow", "very fast")


def test_both_forms_of_the_formula_agree_as_far_as_they_are_printed() -> None:
    """EVAP-12, algebra: 0.44 and 0.096 in US units are 0.3116 and 0.0597; the SI form prints 0.315 and 0.060."""
    calm = evaporation(20.0, 5.0, 0.5, 0.0) / (evaporation_us(psi(68.0), 0.5 * psi(41.0), 0.0) * LB_FT2)
    assert calm == pytest.approx(0.315 / 0.3116, abs=0.0005)
    per_mph = evaporation_us(psi(68.0), psi(41.0), 1.0) / evaporation_us(psi(68.0), psi(41.0), 0.0) - 1.0
    per_kmh = evaporation(20.0, 5.0, 1.0, 1.0) / evaporation(20.0, 5.0, 1.0, 0.0) - 1.0
    assert per_mph / per_kmh == pytest.approx(0.0597 / 0.060 * 1.609344, rel=0.001)


@pytest.mark.parametrize("row", table("evap_wind.csv"), ids=lambda row: row["terrain"])
def test_a_stations_wind_is_less_at_the_work(row: dict[str, str]) -> None:
    share = wind_share(row["terrain"])  # type: ignore[arg-type]
    assert share == pytest.approx(float(row["share"]), abs=0.005)
    assert wind_at_work_ms(8.0, row["terrain"]) == 8.0 * share  # type: ignore[arg-type]


@pytest.mark.parametrize(
    ("share", "band"), [(0.3, "slow"), (1.0, "slow"), (1.001, "fast"), (2.0, "fast"), (2.001, "very fast")]
)
def test_a_rate_on_a_limit_is_not_past_it(share: float, band: str) -> None:
    """A wind is found that gives the rate exactly: shares of 0.5 kg/(m²·h)."""
    per_kpa = share * SHIPPED["evaporation.caution"] / (saturation_kpa(25.0) - 0.2 * saturation_kpa(20.0))
    wind_kmh = (per_kpa / 0.315 - 0.253) / 0.060
    found = drying(25.0, still(20.0, 0.2, wind_kmh / 3.6), SHIPPED)
    assert found.rate == pytest.approx(share * 0.5, rel=1e-9)
    assert found.band == band


def test_a_surface_under_the_dew_point_is_told_apart_from_slow_drying() -> None:
    """EVAP-14: no negative rate, and it is said."""
    dew_c = dew_point_c(25.0, 0.8)
    for above, band in ((-0.5, "dew"), (0.5, "slow")):
        found = drying(dew_c + above, still(25.0, 0.8), SHIPPED)
        assert (found.rate > 0.0, found.band) == (band != "dew", band)
    assert advice(drying(5.0, still(25.0, 0.8), SHIPPED), "us").key == "drying.dew"


@pytest.mark.parametrize(
    ("rate_lb", "us", "metric"),
    [(0.0, "0", "0"), (0.234, "0.2", "1"), (0.17, "0.2", "0.8"), (0.096, "0.1", "0.5"), (1.7, "2", "8")],
)
def test_the_crew_is_shown_one_digit(rate_lb: float, us: str, metric: str) -> None:
    """EVAP-15, READ: the formula may be off by 40 % (ACI SP-338, 2020)."""
    assert crew_rate(rate_lb * LB_FT2, "us").split(" ")[0] == us
    assert crew_rate(rate_lb * LB_FT2, "metric").split(" ")[0] == metric


@given(st.floats(1e-4, 1e3))
def test_one_digit_is_never_further_off_than_a_half_of_it(value: float) -> None:
    unit = 10.0 ** math.floor(math.log10(value))
    assert abs(one_digit(value) - value) <= unit * 0.5 * (1.0 + 1e-9)


@given(st.floats(-5, 45), st.floats(-10, 45), st.floats(0.05, 1), st.floats(0, 15), st.floats(0, 5))
def test_more_wind_never_dries_less_and_more_damp_never_more(
    surface_c: float, air_c: float, humidity: float, wind_ms: float, more: float
) -> None:
    """EVAP-24."""
    rate = drying(surface_c, still(air_c, humidity, wind_ms), SHIPPED).rate
    assert drying(surface_c, still(air_c, humidity, wind_ms + more), SHIPPED).rate >= rate
    assert drying(surface_c, still(air_c, min(1.0, humidity + more / 5), wind_ms), SHIPPED).rate <= rate
    assert drying(surface_c + more, still(air_c, humidity, wind_ms), SHIPPED).rate >= rate
    assert drying(surface_c, still(air_c + more, humidity, wind_ms), SHIPPED).rate <= rate


@pytest.mark.parametrize("surface_f", range(35, 120, 12))
@pytest.mark.parametrize("air_f", range(10, 110, 14))
@pytest.mark.parametrize("humidity", [0.05, 0.4, 0.95])
def test_rates_over_a_grid_follow_the_reference_library(surface_f: int, air_f: int, humidity: float) -> None:
    """Vapour pressures of the air by the library's own way from humidity to pressure, in Pa; 12 km/h."""
    psychrolib.SetUnitSystem(psychrolib.SI)
    surface_c, air_c = (surface_f - 32) / 1.8, (air_f - 32) / 1.8
    over_kpa = psychrolib.GetSatVapPres(surface_c) - psychrolib.GetVapPresFromRelHum(air_c, humidity)
    expected = max(0.315 * over_kpa / 1000.0 * (0.253 + 0.060 * 12.0), 0.0)
    found = drying(surface_c, still(air_c, humidity, 12.0 / 3.6), SHIPPED)
    assert found.rate == pytest.approx(expected, rel=1e-6, abs=1e-9)
    assert dew_point_c(air_c, humidity) == pytest.approx(
        psychrolib.GetTDewPointFromRelHum(air_c, humidity), abs=0.002
    )
