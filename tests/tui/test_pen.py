"""How numbers are written. Conversions are held against their exact definitions: 1 US liquid quart = 231/4 in3,
1 mile = 1609.344 m, 1 lb = 0.45359237 kg, 1 ft = 0.3048 m (NIST SP 811, appendix B, from memory)."""

from __future__ import annotations

from zoneinfo import ZoneInfo

import pytest

from engine.words import amount, say
from tests.tui.days import NOW, WORDS, ZONE
from tui.glyphs import ASCII
from tui.paint.pen import Pen, decimal, span

US = Pen(WORDS, zone=ZoneInfo(ZONE))
METRIC = Pen(WORDS, units="metric")

# seconds to go, and what stands there: rounded up while positive, counting up with a plus once past
COUNTDOWNS = [
    (95.0, "1:35"),
    (94.1, "1:35"),
    (0.2, "0:01"),
    (0.0, "0:00"),
    (-0.4, "0:00"),
    (-1.0, "+0:01"),
    (-61.5, "+1:01"),
    (3600.0, "1:00:00"),
    (36000.0, "10 h"),
    (float("inf"), "─"),
]


@pytest.mark.parametrize(("left_s", "shown"), COUNTDOWNS)
def test_a_countdown_rounds_up_and_then_counts_up(left_s: float, shown: str) -> None:
    assert US.countdown(NOW + left_s, NOW) == shown


def test_one_minute_left_is_never_said_for_less_than_its_seconds() -> None:
    assert {US.countdown(NOW + left, NOW) for left in (55.0, 5.0)} == {"0:55", "0:05"}


@pytest.mark.parametrize(
    ("sure_s", "shown"), [(20.0, "±0:20"), (0.2, ""), (0.0, ""), (75.4, "±1:15"), (float("inf"), "")]
)
def test_how_sure_a_countdown_is_stands_beside_it(sure_s: float, shown: str) -> None:
    assert US.sure(sure_s) == shown


def test_plain_terminals_get_plain_signs() -> None:
    pen = Pen(WORDS, ASCII)
    assert pen.sure(20.0) == "~0:20"
    assert pen.degrees() == "F"


@pytest.mark.parametrize(
    ("count", "shown"), [(1.0, "1"), (0.5, "1/2"), (1.5, "1 1/2"), (12.0, "12"), (0.75, "0.75"), (0.0, "0")]
)
def test_amounts_come_in_halves(count: float, shown: str) -> None:
    assert amount(count) == shown


def test_counts_are_words() -> None:
    assert [US.packets(n) for n in (0, 0.5, 1, 2.5)] == [
        "no packets",
        "1/2 packet",
        "1 packet",
        "2 1/2 packets",
    ]
    assert [US.bags(n) for n in (0.5, 1, 2)] == ["1/2 bag", "1 bag", "2 bags"]


def test_water_is_in_quarts_or_litres() -> None:
    quart_l = 231 * 0.254**3 / 4  # cubic inches to litres (dm3)
    assert US.water(4.25 * quart_l) == "4.25 qt"
    assert METRIC.water(4.02) == "4.02 L"


def test_temperatures_and_wind_speak_the_units_of_the_job() -> None:
    assert US.temperature(0.0) + US.degrees() == "32°F"
    assert US.temperature(21.0 + 1 / 9) == "70"
    assert METRIC.temperature(6.1) + METRIC.degrees() == "6.1°C"
    assert US.speed(6 * 1609.344 / 3600) == "6 mph"
    assert METRIC.speed(10 / 3.6) == "10 km/h"


def test_drying_is_said_by_the_square_foot_or_metre() -> None:
    assert US.drying(0.2 * 0.45359237 / 0.3048**2) == "0.20 lb/ft2 an hour"
    assert METRIC.drying(1.0) == "1.00 kg/m2 an hour"


def test_the_clock_is_that_of_the_site() -> None:
    assert US.clock(NOW) == "09:41:07"
    assert US.clock(NOW, seconds=False) == "09:41"
    assert METRIC.clock(NOW) == "15:41:07"


def test_spans_and_decimals_have_no_empty_places() -> None:
    assert [span(n) for n in (0, 59, 60, 3599, 3600)] == ["0:00", "0:59", "1:00", "59:59", "1:00:00"]
    assert [decimal(n, 2) for n in (4.25, 4.0, 4.5)] == ["4.25", "4", "4.5"]


def test_a_sentence_missing_from_the_catalogue_shows_as_its_key() -> None:
    assert US.say(say("reason.never_heard", pour="P2")) == "reason.never_heard pour=P2"
    assert US.say(say("reason.edge")) == "reason.edge"


def test_values_in_a_sentence_are_made_harmless() -> None:
    assert US.say(say("line.tipped", batch="\x1b]0;x\x07")) == "?]0;x? tipped"
    assert US.say(say("line.tipped", batch="{0.__class__}")) == "{0.__class__} tipped"


@pytest.mark.parametrize(
    ("left_s", "said"),
    [
        (59.0, "0:59"),
        (3599.0, "59:59"),
        (3600.0, "1 h 00"),
        (3912.0, "1 h 06"),
        (-30.0, "+0:30"),
        (-3700.0, "+1 h"),
        (40_000.0, "11 h"),
    ],
)
def test_a_countdown_of_hours_fits_the_cells_of_a_row(left_s: float, said: str) -> None:
    assert Pen(WORDS).short_countdown(1000.0 + left_s, 1000.0) == said
    assert len(said) <= 6
