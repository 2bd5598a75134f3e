"""Moist air and evaporation against published tables and a reference library.

EVAP-1, -2: ASHRAE Fundamentals, psychrometrics, equations 5 and 6, derived by a reference library. EVAP-3: PCA, Design and
Control, after Lerch 1957, evaporation table, from memory, corroborated. EVAP-4: ACI 305R, nomograph example, from memory.
EVAP-5 to -10: ACI 305R-10, Menzel's SI form, from memory, values derived. EVAP-14, -24: signs of the form, derived.
"""

from __future__ import annotations

import psychrolib
import pytest
from measured_jobs import table

from engine.site.humid import dew_point_c, evaporation, evaporation_us, saturation_kpa

PSI_KPA = 6.894757293168361
FT2_LB_KG = 4.882427636  # 1 lb/(ft²·h) in kg/(m²·h)


@pytest.fixture(autouse=True)
def _si() -> None:
    psychrolib.SetUnitSystem(psychrolib.SI)


def psi(temp_f: float) -> float:
    return saturation_kpa((temp_f - 32.0) / 1.8) / PSI_KPA


@pytest.mark.parametrize("row", table("evap_saturation.csv"), ids=lambda row: row["temp_c"])
def test_saturation_pressure_as_tabled(row: dict[str, str]) -> None:
    found = saturation_kpa(float(row["temp_c"]))
    assert found == pytest.approx(float(row["pressure_kpa"]), rel=0.0005)


@pytest.mark.parametrize(
    ("temp_f", "expected"),
    [(40, 0.1217), (50, 0.1781), (60, 0.2563), (70, 0.3633), (80, 0.5074), (90, 0.6989), (100, 0.9503)],
)
def test_saturation_pressure_in_psi(temp_f: float, expected: float) -> None:
    """EVAP-2, derived by the reference library."""
    assert psi(temp_f) == pytest.approx(expected, abs=0.0002)


@pytest.mark.parametrize("temp_c", [-30.0, -10.0, -0.5, 0.0, 0.01, 0.02, 12.0, 45.0])
def test_saturation_over_ice_and_water_as_in_the_reference_library(temp_c: float) -> None:
    assert saturation_kpa(temp_c) == pytest.approx(psychrolib.GetSatVapPres(temp_c) / 1000.0, rel=1e-6)


@pytest.mark.parametrize("air_c", [-8.0, 3.0, 20.0, 35.0])
@pytest.mark.parametrize("humidity", [0.1, 0.5, 0.9, 1.0])
def test_the_dew_point_as_in_the_reference_library(air_c: float, humidity: float) -> None:
    expected = psychrolib.GetTDewPointFromRelHum(air_c, humidity)
    assert dew_point_c(air_c, humidity) == pytest.approx(expected, abs=0.01)


def test_dry_air_has_no_dew_point() -> None:
    with pytest.raises(ValueError, match="no dew point"):
        dew_point_c(20.0, 0.0)


@pytest.mark.parametrize("row", table("evap_menzel.csv"), ids=lambda row: row["id"])
def test_evaporation_by_the_si_form(row: dict[str, str]) -> None:
    surface_c, air_c, per_cent, wind = (float(row[k]) for k in ("surface_c", "air_c", "humidity", "wind_kmh"))
    found = evaporation(surface_c, air_c, per_cent / 100.0, wind)
    assert found == pytest.approx(float(row["kg_m2_h"]), abs=0.0005)


@pytest.mark.parametrize("row", table("evap_lerch.csv"), ids=lambda row: row["row"])
def test_evaporation_by_the_published_table(row: dict[str, str]) -> None:
    """EVAP-3: by the US form and the printed dew point."""
    found = evaporation_us(psi(float(row["surface_f"])), psi(float(row["dew_f"])), float(row["wind_mph"]))
    assert found == pytest.approx(float(row["lb_ft2_h"]), abs=0.004)


def test_the_nomograph_example() -> None:
    """EVAP-4: concrete 87 °F, air 80 °F, 50 %, 12 mph: about 0.25 lb/(ft²·h) (ACI 305R, from memory), within a tenth."""
    us = evaporation_us(psi(87.0), 0.5 * psi(80.0), 12.0)
    si = evaporation(55 / 1.8, 48 / 1.8, 0.5, 12 * 1.609344) / FT2_LB_KG
    assert us == pytest.approx(0.25, rel=0.10)
    assert si == pytest.approx(us, rel=0.02)


def test_evaporation_goes_with_the_weather() -> None:
    """EVAP-24: up with surface temperature and wind, down with humidity, down as the air warms at one humidity."""
    by_surface = [evaporation(t, 15.0, 0.5, 10.0) for t in (15, 20, 25, 30)]
    by_wind = [evaporation(20.0, 15.0, 0.5, v) for v in (0, 5, 15, 40)]
    by_humidity = [evaporation(20.0, 15.0, h, 10.0) for h in (0.9, 0.6, 0.3, 0.0)]
    by_air = [evaporation(20.0, t, 0.5, 10.0) for t in (25, 15, 5, -5)]
    for found in (by_surface, by_wind, by_humidity, by_air):
        assert found == sorted(set(found))


@pytest.mark.parametrize(
    ("surface_c", "air_c", "humidity"), [(5.0, 25.0, 0.8), (20.0, 20.0, 1.0), (-12.0, 3.0, 0.9)]
)
def test_a_surface_below_the_dew_point_dries_nothing(surface_c: float, air_c: float, humidity: float) -> None:
    """EVAP-14: condensation is not counted."""
    assert evaporation(surface_c, air_c, humidity, 20.0) == 0.0
    assert evaporation_us(0.2, 0.3, 10.0) == 0.0
