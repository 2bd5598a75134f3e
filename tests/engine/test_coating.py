"""The gate before a coating.

CURE-5: UFGS 03300N and 03311 (older editions), sealer-hardener, read. CURE-6: ASTM D4263-83 (2012), procedure, read. Dew
points: a reference library of ASHRAE Fundamentals. The other lines: common practice, no source.
"""

from __future__ import annotations

import dataclasses
import math

import psychrolib
import pytest
from fine_column import celsius
from hypothesis import given
from hypothesis import strategies as st
from site_days import DAY, HOUR, SHIPPED

from engine.site.coating import (
    CoatingReadings,
    ExpectedDay,
    SheetTest,
    dew_margin_k,
    first_day,
    gate,
    ready_at,
    said,
    season_said,
)

MARGIN_K = 5 / 1.8
READY = CoatingReadings(
    at=28 * DAY,
    tipped_at=0.0,
    ramp=False,
    sheet=SheetTest(16 * HOUR, damp=False),
    surface_c=celsius(60),
    air_c=celsius(60),
    humidity=0.5,
    dry_for_s=24 * HOUR,
    dry_ahead_s=math.inf,
)


def failing(**changes: object) -> tuple[str, ...]:
    return gate(dataclasses.replace(READY, **changes), SHIPPED).failing  # type: ignore[arg-type]


def test_with_every_line_met_nothing_stands_against_it() -> None:
    found = gate(READY, SHIPPED)
    assert found.clear
    assert [line.name for line in found.lines] == ["age", "sheet test", "dew point", "rain", "surface"]


@pytest.mark.parametrize(
    ("line", "on_it", "past_it"),
    [
        ("age", {"at": 28 * DAY}, {"at": 28 * DAY - 1}),
        ("age", {"coat": "sealer", "at": 30 * DAY}, {"coat": "sealer", "at": 30 * DAY - 1}),
        ("age", {"label_age_s": 7 * DAY, "at": 7 * DAY}, {"label_age_s": 40 * DAY}),
        ("sheet test", {"sheet": SheetTest(16 * HOUR, False)}, {"sheet": SheetTest(24 * HOUR, True)}),
        ("rain", {"dry_for_s": 24 * HOUR}, {"dry_for_s": 23.9 * HOUR}),
        ("rain", {"dry_ahead_s": 24 * HOUR}, {"dry_ahead_s": 23.9 * HOUR}),
        ("surface", {"surface_c": celsius(50)}, {"surface_c": celsius(49.9), "humidity": 0.2}),
        ("surface", {"surface_c": celsius(90)}, {"surface_c": celsius(90.1)}),
        ("grit", {"ramp": True, "grit": True}, {"ramp": True, "grit": False}),
        ("ph", {"ph": 10.0}, {"ph": 10.1}),
    ],
)
def test_a_line_holds_on_its_limit_and_alone_fails_past_it(
    line: str, on_it: dict[str, object], past_it: dict[str, object]
) -> None:
    """CURE-5 and -6, READ; the others common practice, no source."""
    assert failing(**on_it) == ()
    assert failing(**past_it) == (line,)


@pytest.mark.parametrize(("above_k", "fails"), [(MARGIN_K + 0.01, False), (MARGIN_K - 0.01, True)])
def test_the_surface_stays_above_the_dew_point_by_the_margin(above_k: float, fails: bool) -> None:
    """Dew point by the reference library at 65 °F and 80 %."""
    psychrolib.SetUnitSystem(psychrolib.SI)
    dew_c = psychrolib.GetTDewPointFromRelHum(celsius(65), 0.80)
    found = failing(surface_c=dew_c + above_k, air_c=celsius(65), humidity=0.80)
    assert ("dew point" in found) == fails


def test_what_was_not_read_is_missing_and_neither_met_nor_failed() -> None:
    unread = CoatingReadings(at=60 * DAY, tipped_at=0.0, ramp=True)
    found = gate(unread, SHIPPED)
    assert found.failing == ()
    assert found.missing == ("sheet test", "dew point", "rain", "surface", "grit")
    assert not found.clear


def test_a_dry_sheet_tells_nothing_before_its_hours_are_up() -> None:
    """CURE-6, READ: at least 16 h (ASTM D4263); a damp one fails at any hour."""
    early = dataclasses.replace(READY, sheet=SheetTest(15.9 * HOUR, False))
    assert gate(early, SHIPPED).missing == ("sheet test",)
    assert failing(sheet=SheetTest(HOUR, True)) == ("sheet test",)


def test_grit_is_asked_for_under_a_film_on_a_ramp_only() -> None:
    names = {
        (ramp, coat): "grit" in {line.name for line in gate(of, SHIPPED).lines}
        for ramp in (False, True)
        for coat in ("film", "sealer")
        for of in [dataclasses.replace(READY, ramp=ramp, coat=coat)]  # type: ignore[arg-type]
    }
    assert [key for key, asked in names.items() if asked] == [(True, "film")]


def test_every_line_names_whose_limit_it_is() -> None:
    for line in gate(READY, SHIPPED).lines:
        assert line.limit == SHIPPED[line.key]
        assert said(line).key == f"coating.{line.name.replace(' ', '_')}"


def test_air_without_moisture_has_no_dew_to_fear() -> None:
    assert dew_margin_k(-20.0, 10.0, 0.0) == math.inf


# the season


def autumn(high_f: list[float], rain: set[int] = frozenset(), humidity: float = 0.6) -> list[ExpectedDay]:  # type: ignore[assignment]
    """Days by their highest temperature, at 14:00 of each, from day 0 on."""
    return [
        ExpectedDay(n * DAY + 14 * HOUR, celsius(high), humidity, n in rain) for n, high in enumerate(high_f)
    ]


def day_of(days: list[ExpectedDay], old_enough_at: float = 0.0) -> int | None:
    found = first_day(days, old_enough_at, SHIPPED)
    return None if found is None else days.index(found)


def test_the_first_day_that_is_warm_dry_and_old_enough() -> None:
    days = autumn([48, 55, 55, 56, 60, 60], rain={2})
    assert day_of(days) == 4  # day 0 too cold, days 1 and 3 beside the rain
    assert day_of(days, old_enough_at=5 * DAY) == 5
    assert day_of(autumn([55, 50, 49.9])) == 0


def test_when_no_day_is_left_it_is_not_this_season() -> None:
    assert day_of(autumn([48, 45, 49.9, 40])) is None
    assert day_of(autumn([60, 60, 60]), old_enough_at=28 * DAY) is None
    assert day_of(autumn([60] * 6, rain={1, 3, 5})) is None
    assert day_of(autumn([60] * 3, humidity=0.95)) is None
    assert day_of([]) is None
    said_none = season_said(first_day([], 0.0, SHIPPED))
    assert said_none is not None
    assert said_none.key == "coating.not_this_season"
    assert season_said(autumn([60])[0]) is None


@given(st.lists(st.floats(20, 100), max_size=12), st.floats(0, 20))
def test_colder_days_never_bring_the_coating_forward_in_autumn(highs: list[float], colder: float) -> None:
    warm = [min(high, 90.0) for high in highs]
    now, later = day_of(autumn(warm)), day_of(autumn([high - colder for high in warm]))
    assert later is None or (now is not None and now <= later)


def test_a_patch_is_old_enough_after_its_label_or_the_usual_age() -> None:
    assert ready_at(READY, SHIPPED) == 28 * DAY
    assert ready_at(dataclasses.replace(READY, label_age_s=3 * DAY, tipped_at=DAY), SHIPPED) == 4 * DAY
