"""Quantities and times of day.

Factors: NIST SP 811 (2008), appendix B.8, as repeated in unit tables, reproduction; each is an exact definition or follows
from one. One by one they stand in unit_factors.csv.
"""

from __future__ import annotations

import datetime
import math
import subprocess
import sys
from collections.abc import Callable

import pytest
from hypothesis import given
from hypothesis import strategies as st

from engine import units
from engine.units import SYSTEMS, Dimension, System, moment, parse

# text, dimension, value in the unit of KINDS; worked by hand from 1 in = 25.4 mm, 1 lb = 0.45359237 kg,
# 1 US gal = 3.785411784 L, 1 mph = 0.44704 m/s
READ: list[tuple[str, Dimension, float]] = [
    ("2 1/4 in", "length", 0.05715),
    ("2-1/4 in", "length", 0.05715),
    ("2¼ in", "length", 0.05715),
    ("2.25 inches", "length", 0.05715),
    ("1/2 in", "length", 0.0127),
    (".5 in", "length", 0.0127),
    ("6 ft 3 1/2 in", "length", 1.9177),
    ("6' 3 1/2\"", "length", 1.9177),
    ("6′ 3½″", "length", 1.9177),
    ("1 ft 8 in", "length", 0.508),
    ("4 ft", "length", 1.2192),
    ("75 mm", "length", 0.075),
    ("-3 in", "length", -0.0762),
    ("3.2 ft^2", "area", 0.297289728),
    ("3.2 ft²", "area", 0.297289728),
    ("0.43 ft^3", "volume", 0.43 * 0.028316846592),
    ("4.25 qt", "water", 4.0220000205),
    ("2 gal", "water", 7.570823568),
    ("2 L", "water", 2.0),
    ("0.5 gal/ft^2", "cover", 0.5 * 3.785411784 / 0.09290304),
    ("50 lb", "mass", 22.6796185),
    ("25 kg", "mass", 25.0),
    ("45 degF", "temperature", 65 / 9),
    ("45 °F", "temperature", 65 / 9),
    ("-40 degF", "temperature", -40.0),
    ("7 degC", "temperature", 7.0),
    ("−5 °C", "temperature", -5.0),
    ("294.15 K", "temperature", 21.0),
    ("18 delta_degC", "difference", 18.0),
    ("18 delta_degF", "difference", 10.0),
    ("18 K", "difference", 18.0),
    ("1 min 30 s", "duration", 90.0),
    ("1 h 15 min", "duration", 4500.0),
    ("4 min 45 s", "duration", 285.0),
    ("28 day", "duration", 2419200.0),
    ("3 mph", "speed", 1.34112),
    ("9 km/h", "speed", 2.5),
    ("3 m/s", "speed", 3.0),
    ("12 s/ft^2", "stroke", 12 / 0.09290304),
    ("129 s/m^2", "stroke", 129.0),
    ("40 kJ/mol", "energy", 40000.0),
    ("800 psi", "pressure", 800 * 6894.757293168361),
    ("1.8 W/(m*K)", "conductivity", 1.8),
    ("1.8 W/(m K)", "conductivity", 1.8),
    ("1.8 W/(m·K)", "conductivity", 1.8),
    ("2300 kg/m^3", "density", 2300.0),
    ("1 kJ/(kg K)", "specific heat", 1000.0),
    ("10.79 W/(m^2 K)", "film", 10.79),
    ("4.192 W/(m^2 K)/(m/s)", "film per wind", 4.192),
    ("520 W/m^2", "flux", 520.0),
    ("2.45 MJ/kg", "latent heat", 2.45e6),
    ("0.1 lb/ft^2/h", "evaporation", 0.4882427636),
    ("1 kg/m^2/h", "evaporation", 1.0),
    ("73 %", "share", 0.73),
    ("0.73", "share", 0.73),
    ("33 1/3 %", "share", 1 / 3),
]


@pytest.mark.parametrize(("text", "dimension", "value"), READ)
def test_a_quantity_is_read_as_the_trade_writes_it(text: str, dimension: Dimension, value: float) -> None:
    assert parse(text, dimension) == pytest.approx(value, rel=1e-9)


@pytest.mark.parametrize("dimension", units.KINDS)
def test_the_example_shown_for_each_dimension_can_be_read(dimension: Dimension) -> None:
    assert parse(units.KINDS[dimension].example, dimension) > 0


@pytest.mark.parametrize(
    "dimension", [d for d in units.KINDS if d not in ("share", "temperature", "difference")]
)
def test_each_unit_said_to_fit_a_dimension_fits_it(dimension: Dimension) -> None:
    for unit in units.KINDS[dimension].fits.replace(" (US)", "").split(", "):
        assert parse(f"1 {unit}", dimension) > 0


# UNIT-17 to UNIT-19: 70 °F (derived), an interval of 20 °F, 0 K (SP 811, reproduction)
@pytest.mark.parametrize(
    ("text", "dimension", "value"),
    [
        ("70 degF", "temperature", 190 / 9),
        ("0 K", "temperature", -273.15),
        ("20 delta_degF", "difference", 100 / 9),
    ],
)
def test_points_and_intervals_of_temperature_are_kept_apart(
    text: str, dimension: Dimension, value: float
) -> None:
    assert parse(text, dimension) == pytest.approx(value, abs=1e-9)


def test_the_factors_used_for_showing_are_those_read() -> None:
    shown = [units.INCH_M, units.FOOT_M, units.QUART_L, units.POUND_KG, units.MPH_MS, units.PSI_PA]
    read = [parse("1 in", "length"), parse("1 ft", "length"), parse("1 qt", "water"), parse("1 lb", "mass")]
    read += [parse("1 mph", "speed"), parse("1 psi", "pressure")]
    assert shown == pytest.approx(read, rel=1e-14)


REFUSED: list[tuple[str, Dimension]] = [
    ("", "length"),
    ("in", "length"),
    ("two in", "length"),
    ("nan in", "length"),
    ("inf in", "length"),
    ("1e3 in", "length"),
    ("0x10 in", "length"),
    ("1,500 psi", "pressure"),
    ("1/0 in", "length"),
    ("1 5/4 in", "length"),
    ("1.5 1/4 in", "length"),
    ("--2 in", "length"),
    ("2 - 1/4 in", "length"),
    ("3 in 6 ft", "length"),
    ("1 ft 1 ft", "length"),
    ("1.5 ft 3 in", "length"),
    ("3 lb", "length"),
    ("2 in in", "length"),
    ("2 parsec", "length"),
    ("2 qt 1 pt", "water"),
    ("45 F", "temperature"),
    ("45 delta_degF", "temperature"),
    ("45 degF 2 degF", "temperature"),
    ("18 degC", "difference"),
    ("1.8 W/(m degC)", "conductivity"),
    ("1.8 W/(m K", "conductivity"),
    ("12 s", "stroke"),
    ("12 /ft^2", "stroke"),
    ("3 m//s", "speed"),
    ("3 m/s/", "speed"),
    ("2 ()", "length"),
    ("2 m^", "length"),
    ("2 m^4", "length"),
    ("2 m^2^2", "area"),
    ("5 % %", "share"),
    ("5 in", "share"),
    ("٣ in", "length"),
    ("2\x00in", "length"),
]


@pytest.mark.parametrize(("text", "dimension"), REFUSED)
def test_what_is_no_such_quantity_is_refused_with_what_fits(text: str, dimension: Dimension) -> None:
    with pytest.raises(ValueError, match=units.KINDS[dimension].name):
        parse(text, dimension)


def test_a_plain_number_is_told_which_units_fit() -> None:
    with pytest.raises(ValueError, match=r"^a length needs a unit: in, ft, yd, mm, cm, m$"):
        parse("2 1/4", "length")


def _tried(text: str, dimension: Dimension) -> tuple[float, str]:
    """The number, or 0 and the refusal."""
    try:
        return parse(text, dimension), ""
    except ValueError as refused:
        return 0.0, str(refused)


# A general unit library works through a tower of powers for ever, and through a million characters slowly.
@pytest.mark.parametrize(
    "text",
    [
        "2**2**2**99 m",
        "2 m**9**9**9",
        "1 m^3^3^3^3^3",
        "1" * 1_000_000,
        "9" * 58 + " m",
        "1 " + "(" * 50,
        "m" * 10**6,
    ],
)
@pytest.mark.parametrize("dimension", ["length", "duration"])
def test_towers_and_floods_are_refused_or_harmless(text: str, dimension: Dimension) -> None:
    number, refusal = _tried(text, dimension)
    assert math.isfinite(number)
    assert len(refusal) < 200


@given(
    st.text(alphabet="0123456789 ./-+^*()'\"%°½²²inftmskghKJWdegFC_lbqt"),
    st.sampled_from(sorted(units.KINDS)),
)
def test_any_text_is_a_finite_number_or_a_plain_refusal(text: str, dimension: Dimension) -> None:
    number, refusal = _tried(text, dimension)
    assert math.isfinite(number)
    assert not refusal or units.KINDS[dimension].name in refusal


def test_pint_is_not_loaded_before_the_first_reading() -> None:
    code = "import sys, engine.units as u; u.show_length(1.0, 'us'); assert 'pint' not in sys.modules"
    subprocess.run([sys.executable, "-c", code], check=True)


# Half of the last place shown, in the unit of KINDS
STEPS: list[tuple[Dimension, System, float]] = [
    ("length", "us", 0.0254 / 32),
    ("length", "metric", 0.0005),
    ("area", "us", 0.005 * 0.09290304),
    ("area", "metric", 0.0005),
    ("volume", "us", 0.005 * 0.028316846592),
    ("volume", "metric", 0.00005),
    ("water", "us", 0.005 * 0.946352946),
    ("water", "metric", 0.005),
    ("mass", "us", 0.05 * 0.45359237),
    ("mass", "metric", 0.005),
    ("speed", "us", 0.5 * 0.44704),
    ("speed", "metric", 0.5 / 3.6),
    ("temperature", "us", 0.5 / 1.8),
    ("temperature", "metric", 0.5),
    ("pressure", "us", 0.5 * 6894.757293168361),
    ("pressure", "metric", 0.05e6),
    ("evaporation", "us", 0.005 * 4.882427636),
    ("evaporation", "metric", 0.05),
    ("share", "us", 0.0005),
]


@pytest.mark.parametrize(("dimension", "system", "step"), STEPS)
@given(value=st.floats(0, 100))
def test_what_is_shown_reads_back_to_the_last_place(
    dimension: Dimension, system: System, step: float, value: float
) -> None:
    assert parse(units.show(value, dimension, system), dimension) == pytest.approx(value, abs=step * 1.0001)


@given(st.integers(0, 20_000), st.sampled_from(["us", "metric"]))
def test_a_sixteenth_of_an_inch_survives_showing_and_reading(sixteenths: int, system: System) -> None:
    length_m = sixteenths * 0.0254 / 16
    again = parse(units.show_length(length_m, system), "length")
    assert again == pytest.approx(length_m, abs=1e-9 if system == "us" else 0.0005001)


@pytest.mark.parametrize(
    ("length_m", "us", "metric"),
    [
        (0.05715, "2 1/4 in", "57 mm"),
        (0.0, "0 in", "0 mm"),
        (0.0047625, "3/16 in", "5 mm"),
        (0.508, "20 in", "508 mm"),
        (1.2192, "4 ft", "1219 mm"),
        (1.9177, "6 ft 3 1/2 in", "1918 mm"),
        (-0.0254, "-1 in", "-25 mm"),
    ],
)
def test_lengths_are_shown_as_the_trade_writes_them(length_m: float, us: str, metric: str) -> None:
    assert (units.show_length(length_m, "us"), units.show_length(length_m, "metric")) == (us, metric)


def test_eighths_can_be_asked_for() -> None:
    assert units.show_length(0.05334, "us") == "2 1/8 in"
    assert units.show_length(0.0555625, "us", parts=8) == "2 1/4 in"


def test_amounts_are_shown_with_their_unit_in_either_system() -> None:
    values: list[tuple[Callable[[float, System], str], float]] = [
        (units.show_area, 0.371612),
        (units.show_volume, 0.0198218),
        (units.show_water, 4.0220000205),
        (units.show_mass, 22.6796185),
        (units.show_speed, 1.34112),
        (units.show_pressure, 20.684e6),
        (units.show_temperature, 7.2),
        (units.show_difference, 10.0),
        (units.show_evaporation, 0.488),
    ]
    shown = [[show(value, system) for show, value in values] for system in SYSTEMS]
    assert shown[0] == [
        "4 ft²",
        "0.7 ft³",
        "4.25 qt",
        "50 lb",
        "3 mph",
        "3000 psi",
        "45 °F",
        "18 °F",
        "0.1 lb/ft²/h",
    ]
    assert shown[1] == [
        "0.372 m²",
        "19.8 L",
        "4.02 L",
        "22.68 kg",
        "5 km/h",
        "20.7 MPa",
        "7 °C",
        "10 °C",
        "0.5 kg/m²/h",
    ]


@pytest.mark.parametrize(
    ("seconds", "shown"),
    [
        (0, "0:00"),
        (55.4, "0:55"),
        (59.6, "1:00"),
        (250, "4:10"),
        (3900, "1:05:00"),
        (-45, "-0:45"),
        (-0.2, "0:00"),
    ],
)
def test_durations_count_minutes_and_seconds(seconds: float, shown: str) -> None:
    assert units.show_duration(seconds) == shown


DAY = datetime.date(2026, 11, 5)
CHICAGO = "America/Chicago"


def _utc(*when: int) -> float:
    return datetime.datetime(*when, tzinfo=datetime.UTC).timestamp()  # type: ignore[arg-type]


# Chicago is six hours behind UTC in winter; clocks go back on 2026-11-01, forward on 2026-03-08 (US law)
@pytest.mark.parametrize(
    ("text", "day", "at"),
    [
        ("09:00", DAY, _utc(2026, 11, 5, 15)),
        ("9:00:30", DAY, _utc(2026, 11, 5, 15, 0, 30)),
        ("27:30", DAY, _utc(2026, 11, 6, 9, 30)),
        ("01:30", datetime.date(2026, 11, 1), _utc(2026, 11, 1, 6, 30)),
        ("27:30", datetime.date(2026, 10, 31), _utc(2026, 11, 1, 9, 30)),
        ("03:00", datetime.date(2026, 3, 8), _utc(2026, 3, 8, 8)),
    ],
)
def test_times_of_day_are_on_the_jobs_date_in_its_zone(text: str, day: datetime.date, at: float) -> None:
    assert moment(text, day, CHICAGO) == at


def test_the_hour_that_comes_twice_is_the_second_one_where_the_first_would_run_backwards() -> None:
    day = datetime.date(2026, 11, 1)
    late = moment("01:50", day, CHICAGO)
    assert moment("01:10", day, CHICAGO, not_before=late) == late + 20 * 60


def test_an_hour_that_the_clocks_leave_out_is_refused() -> None:
    with pytest.raises(ValueError, match="a time that exists"):
        moment("02:30", datetime.date(2026, 3, 8), CHICAGO)


@pytest.mark.parametrize(
    "text", ["", "9", "9am", "09:60", "48:00", "-1:00", "09:00:60", "1:2:3", "０９:00", "09:00Z"]
)
def test_other_texts_are_no_times_of_day(text: str) -> None:
    with pytest.raises(ValueError, match="a time of day"):
        moment(text, DAY, CHICAGO)


def test_a_moment_is_shown_on_the_jobs_clock_and_never_rounded_up() -> None:
    at = _utc(2026, 11, 5, 15, 14, 59) + 0.9
    assert units.show_clock(at, CHICAGO) == "09:14"
    assert units.show_clock(at, CHICAGO, seconds=True) == "09:14:59"
