"""The day hour by hour."""

from __future__ import annotations

import dataclasses
import datetime

import pytest
from fine_column import celsius
from hypothesis import given, settings
from hypothesis import strategies as st
from measured_jobs import job, rectangle
from site_days import DAY, HOUR, SHIPPED, strong

from engine.job.hours import HourOutlook, clears_at, hour_starts, last_start, morning_after, outlook
from engine.job.model import Job, Pour, Target
from engine.mix.rate import rate
from engine.site.conditions import ForecastRow, Materials

CARD = strong((1, 3, 24), (800, 1500, 3200))
NOON = datetime.datetime(2026, 11, 5, 18, tzinfo=datetime.UTC).timestamp()  # 12:00 in Chicago
PATCH = rectangle("P1", 20, 16, [1.75], finish="broom", use="walk")


def row(at: float, air_f: float, slab_f: float | None = None, **rest: object) -> ForecastRow:
    fields = {"humidity": 0.8, "wind_ms": 1.0, "sun": False, **rest}
    slab_c = None if slab_f is None else celsius(slab_f)
    return ForecastRow(at, celsius(air_f), slab_c=slab_c, **fields)  # type: ignore[arg-type]


def day(rows: list[ForecastRow], pour: Pour = PATCH, **rest: object) -> Job:
    fields: dict[str, object] = {"conditions": tuple(rows), "materials": Materials(), **rest}
    return job([pour], [CARD], SHIPPED, **fields)


def hours(of: Job, count: int = 4, **rest: object) -> tuple[HourOutlook, ...]:
    return outlook(of, of.pours[0], [NOON + n * HOUR for n in range(count)], **rest)  # type: ignore[arg-type]


def one_temperature(temp_f: float) -> Job:
    """Everything at one temperature in air that dries nothing."""
    return day([row(NOON - DAY, temp_f, humidity=1.0, wind_ms=0.0)])


@pytest.mark.parametrize("temp_f", [45, 70])
def test_at_one_temperature_an_hour_is_that_of_the_closed_form(temp_f: float) -> None:
    """Age is time by rate and stretch; 270 s to stiff, label times of 1 h and 2 h from the tip at the least."""
    (hour,) = hours(one_temperature(temp_f), 1)
    pace = rate(celsius(temp_f), CARD.setting.reference_c, 40e3)
    tip = NOON + CARD.mixing_s + 30.0
    assert [dose.packets for dose in hour.doses] == [0.0, 1.0, 2.0]
    for dose, stretch in zip(hour.doses, (1.0, 2.0, 2.8), strict=True):
        assert dose.workable_s == pytest.approx(270.0 * stretch / pace, rel=1e-4)
        assert dose.feet == pytest.approx(max(tip + HOUR, NOON + HOUR * stretch / pace), abs=1.0)
        assert dose.wheels == pytest.approx(max(tip + 2 * HOUR, NOON + 2 * HOUR * stretch / pace), abs=1.0)
    assert (hour.slab_c, hour.mix_c) == (pytest.approx(celsius(temp_f)), pytest.approx(celsius(temp_f)))


def test_the_pours_own_dose_is_looked_at_beside_the_cards() -> None:
    half = dataclasses.replace(PATCH, packets=1.5)
    (hour,) = hours(day([row(NOON, 60)], half), 1)
    assert [dose.packets for dose in hour.doses] == [0.0, 1.0, 1.5, 2.0]
    assert hour.dose(1.0).workable_s < hour.dose(1.5).workable_s < hour.dose(2.0).workable_s
    with pytest.raises(KeyError):
        hour.dose(0.5)


def test_each_hour_takes_the_forecast_of_its_time() -> None:
    cold, warmer = hours(day([row(NOON, 45), row(NOON + HOUR, 60, 50, sun=True)]), 2)
    assert cold.dose(0.0).workable_s > warmer.dose(0.0).workable_s
    assert (cold.slab_c, warmer.slab_c) == (pytest.approx(celsius(45)), pytest.approx(celsius(50)))


def test_a_faster_factor_shortens_the_day() -> None:
    of = one_temperature(60)
    slow, fast = (hours(of, 1, factor=k)[0].dose(0.0) for k in (1.0, 1.25))
    assert fast.workable_s == pytest.approx(slow.workable_s / 1.25, rel=1e-4)


def test_what_dries_is_the_patch_once_a_hot_slab_has_warmed_it() -> None:
    """A cool mix on a slab at 110 °F is far above its own temperature when the broom is due."""
    hot = day([row(NOON, 95, 110, humidity=0.2, wind_ms=3.0, sun=True)], materials=Materials(24.0, 13.0))
    (hour,) = hours(hot, 1)
    assert hour.surface_c > hour.mix_c + 5.0
    assert hour.drying.band in ("fast", "very fast")
    assert ("slab", "hot") in {(f.of, f.band) for f in hour.findings}


def test_targets_are_met_or_missed_by_dose_and_the_last_start_is_told() -> None:
    by = NOON + 5.2 * HOUR
    promised = day([row(NOON - DAY, 70, humidity=1.0, wind_ms=0.0)], targets=(Target(("P1",), "wheels", by),))
    found = hours(promised, 6)
    for hour in found:
        for dose in hour.doses:
            ((open_to, result),) = dose.targets
            assert open_to == "wheels"
            assert result.met == (dose.wheels is not None and dose.wheels <= by)
    assert last_start(found, 0.0) == NOON + 3 * HOUR  # opens two hours and two minutes later
    assert last_start(found, 2.0) is None  # two packets: five hours and a half at 70 °F
    others = day([row(NOON, 70)], targets=(Target(("P9",), "wheels", NOON),))
    assert hours(others, 1)[0].dose(0.0).targets == ()


def test_the_last_start_is_also_before_the_frost_comes_too_soon() -> None:
    """Cold evening: frost at 16:00; closed forms of the age needed at 38 °F."""
    frosty = day(
        [row(NOON - DAY, 38, humidity=1.0, wind_ms=0.0), row(NOON + 4 * HOUR, 30), row(NOON + DAY, 30)]
    )
    found = hours(frosty, 5)
    words = {dose.packets: [hour.dose(dose.packets).night.word for hour in found] for dose in found[0].doses}
    assert words[0.0] == ["reached before"] * 3 + ["not reached"] * 2
    assert words[2.0] == ["not reached"] * 5
    assert last_start(found, 0.0) == NOON + 2 * HOUR
    assert last_start(found, 2.0) is None


def test_a_night_nobody_knows_of_holds_no_start_back() -> None:
    (hour,) = hours(day([row(NOON - DAY, 70)]), 1)
    assert hour.dose(2.0).night.word == "cannot tell"
    assert last_start([hour], 2.0) == NOON


def test_a_blanket_earns_more_by_the_morning() -> None:
    chilly = day([row(NOON, 50, 55), row(NOON + 6 * HOUR, 36), row(NOON + DAY, 36)])
    bare, kept = (hours(chilly, 1, blanket=blanket)[0].dose(1.0) for blanket in (False, True))
    assert kept.night.equivalent_s > bare.night.equivalent_s * 1.02
    assert kept.workable_s == bare.workable_s
    assert (kept.wheels or 0.0) <= (bare.wheels or 0.0)


def test_a_finding_clears_when_the_forecast_does() -> None:
    rising = hours(day([row(NOON, 45, 38), row(NOON + 2 * HOUR, 50, 44), row(NOON + DAY, 50)]), 4)
    (too_cold,) = [f for f in rising[0].findings if f.of == "slab"]
    assert too_cold.band == "too cold"
    assert clears_at(rising, too_cold) == NOON + 2 * HOUR
    assert clears_at(rising[:2], too_cold) is None


def test_hours_start_at_the_first_time_and_go_on_at_full_local_hours() -> None:
    start = NOON + 20 * 60.0
    assert hour_starts(start, NOON + 2 * HOUR, "America/Chicago") == (start, NOON + HOUR, NOON + 2 * HOUR)
    assert hour_starts(NOON, NOON, "America/Chicago") == (NOON,)
    assert hour_starts(NOON + 1, NOON, "America/Chicago") == ()
    half_zone = hour_starts(NOON, NOON + HOUR, "Asia/Kolkata")  # an hour's thirty-minute neighbour
    assert half_zone == (NOON, NOON + HOUR / 2)


def test_the_morning_after_is_local_even_when_clocks_change() -> None:
    """Clocks go back on 1 November 2026 in Chicago: from 12:00 to 08:00 the next day is 21 hours."""
    saturday = datetime.datetime(2026, 10, 31, 12, tzinfo=datetime.UTC).timestamp() + 5 * HOUR
    of = one_temperature(60)
    assert morning_after(NOON, of) == NOON + 20 * HOUR
    assert morning_after(saturday, of) == saturday + 21 * HOUR


def test_the_unit_system_changes_no_answer() -> None:
    us = day([row(NOON, 45, 42), row(NOON + 3 * HOUR, 33)])
    metric = dataclasses.replace(us, units="metric")
    assert hours(us) == hours(metric)


@settings(max_examples=15, deadline=None)
@given(st.floats(35, 100), st.floats(0.5, 20), st.booleans())
def test_a_colder_day_never_works_shorter_nor_opens_sooner(temp_f: float, colder_f: float, sun: bool) -> None:
    warm, cold = (
        hours(day([row(NOON - DAY, t, humidity=0.5, sun=sun)]), 1)[0] for t in (temp_f, temp_f - colder_f)
    )
    for of, later in zip(warm.doses, cold.doses, strict=True):
        assert later.workable_s >= of.workable_s - 1e-6
        assert of.feet is not None
        assert later.feet is not None
        assert later.feet >= of.feet - 1e-6
        assert (later.wheels or 0.0) >= (of.wheels or 0.0) - 1e-6
        assert of.feet >= NOON + CARD.mixing_s + 30.0 + CARD.opening.feet_s
