"""Rate of hardening, equivalent age and the linear sum, by the forms of ASTM C1074."""

from __future__ import annotations

import itertools

import pytest
from measured_jobs import table

from engine.mix.rate import activation_from, equivalent_age, rate, temperature_time_factor

HALF_HOURS = [(0.5, 12.0), (0.5, 16.0), (0.5, 20.0), (0.5, 23.0)]  # MAT-11: means of a log from 10 to 24 °C


@pytest.mark.parametrize("row", table("mat_rate.csv"), ids=lambda row: "-".join(row.values()))
def test_the_rate_follows_the_standard_form(row: dict[str, str]) -> None:
    found = rate(float(row["temp_c"]), float(row["reference_c"]), float(row["activation_j_mol"]))
    assert found == pytest.approx(float(row["rate"]), abs=0.001)


@pytest.mark.parametrize("activation_j_mol", [0.0, 33.5e3, 40e3, 60e3])
@pytest.mark.parametrize("reference_c", [20.0, 21.11, 23.0])
def test_the_rate_is_one_at_the_reference_temperature(activation_j_mol: float, reference_c: float) -> None:
    """MAT-1, an identity: catches °C used as kelvin."""
    assert rate(reference_c, reference_c, activation_j_mol) == pytest.approx(1.0, abs=1e-12)


@pytest.mark.parametrize("row", table("mat_age.csv"), ids=lambda row: "-".join(row.values()))
def test_equivalent_age_of_a_log_by_its_interval_means(row: dict[str, str]) -> None:
    age_h = equivalent_age(HALF_HOURS, float(row["reference_c"]), float(row["activation_j_mol"]))
    assert age_h == pytest.approx(float(row["age_h"]), abs=0.0005)


def test_an_activation_energy_that_grows_in_the_cold_ages_slower() -> None:
    """MAT-6 and MAT-12: 33.5 kJ/mol, and 1.47 more per kelvin below 20 °C (Freiesleben Hansen and Pedersen 1977)."""
    age_h = sum(h * rate(t, 20.0, 33.5e3 + 1470.0 * max(20.0 - t, 0.0)) for h, t in HALF_HOURS)
    assert age_h == pytest.approx(1.7715, abs=0.0005)


@pytest.mark.parametrize(("datum_c", "expected"), [(0.0, 35.5), (-10.0, 55.5)])
def test_the_linear_sum_of_a_log(datum_c: float, expected: float) -> None:
    """MAT-11, Nurse-Saul; the order of the intervals is of no matter."""
    for intervals in itertools.permutations(HALF_HOURS):
        assert temperature_time_factor(intervals, datum_c) == pytest.approx(expected, abs=1e-9)


@pytest.mark.parametrize(
    ("temp_c", "from_zero", "from_minus_ten"),
    [(5, 0.25, 0.5), (10, 0.5, 2 / 3), (15, 0.75, 5 / 6), (30, 1.5, 4 / 3), (40, 2.0, 5 / 3)],
)
def test_the_linear_sum_relative_to_twenty_degrees(
    temp_c: float, from_zero: float, from_minus_ten: float
) -> None:
    """MAT-10, derived from the form."""
    for datum_c, expected in ((0.0, from_zero), (-10.0, from_minus_ten)):
        at_twenty = temperature_time_factor([(1.0, 20.0)], datum_c)
        found = temperature_time_factor([(1.0, temp_c)], datum_c) / at_twenty
        assert found == pytest.approx(expected, abs=1e-9)


def test_frost_below_the_datum_earns_nothing_and_takes_nothing_back() -> None:
    assert temperature_time_factor([(2.0, 10.0), (5.0, -4.0)]) == 20.0


@pytest.mark.parametrize(("temp_c", "minutes"), [(10, 37.8), (5, 51.2), (30, 12.3), (35, 9.5)])
def test_twenty_minutes_at_twenty_one_degrees_elsewhere(temp_c: float, minutes: float) -> None:
    """Table 1C of the same form with E = 40 kJ/mol, derived."""
    assert 20.0 / rate(temp_c, 21.0, 40e3) == pytest.approx(minutes, abs=0.05)


def test_two_working_times_tell_the_activation_energy() -> None:
    """MAT-14, derived: 38 min at 10 °C and 20 min at 21 °C."""
    assert activation_from(38 * 60, 10.0, 20 * 60, 21.0) == pytest.approx(40.4e3, abs=100)


@pytest.mark.parametrize(("cold_f", "warm_f", "expected"), [(50, 70, 43.2e3), (70, 90, 46.6e3)])
def test_half_the_time_per_twenty_fahrenheit_is_an_ordinary_energy(
    cold_f: float, warm_f: float, expected: float
) -> None:
    """SET-5: the rule of a builders' magazine citing ACI 306R-16 and 305R-10 (READ), energy derived."""
    found = activation_from(2.0, (cold_f - 32) / 1.8, 1.0, (warm_f - 32) / 1.8)
    assert found == pytest.approx(expected, abs=100)


def test_the_energy_found_gives_the_times_back() -> None:
    energy = activation_from(600.0, 8.0, 240.0, 25.0)
    assert 600.0 * rate(8.0, 25.0, energy) == pytest.approx(240.0, rel=1e-12)


@pytest.mark.parametrize(
    "times", [(300.0, 20.0, 200.0, 20.0), (0.0, 10.0, 200.0, 20.0), (300.0, 10.0, -1.0, 20.0)]
)
def test_two_readings_that_tell_nothing_are_refused(times: tuple[float, float, float, float]) -> None:
    with pytest.raises(ValueError, match=r"two different temperatures|above zero"):
        activation_from(*times)
