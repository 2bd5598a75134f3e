"""One batch's clock: closed forms, a second and finer reckoning, and what a change may and may not move."""

from __future__ import annotations

import dataclasses
import math
import threading
from itertools import pairwise

import pytest
from fine_column import INCH, celsius, clock, fine, small_stone, weather
from scipy.integrate import solve_ivp

from engine.mix.rate import rate
from engine.site.trajectory import HORIZON_S, BatchClock, Trajectory, trajectory

MIN = 60.0
LIMITS_MIN = (4.0, 4.5, 4.75, 6.0, 7.0, 7.5, 8.5, 9.0, 10.0, 11.5, 12.0, 14.0)
HEATLESS = small_stone(rise_k=0.0)
AT_ONE = {"mix_c": 4.44, "slab_c": 4.44, "weather": ((0.0, weather(39.992, 1.0, 0)),)}

CASES = {
    "library": clock(),
    "cold": clock(mix_c=celsius(63), slab_c=celsius(35), weather=((0.0, weather(38, 0.8, 5)),)),
    "cold and thin": clock(
        mix_c=celsius(50), slab_c=celsius(33), depth_m=0.5 * INCH, weather=((0.0, weather(35, 0.6, 10)),)
    ),
    "cold, two packets": clock(
        packets=2.0, mix_c=celsius(60), slab_c=celsius(38), weather=((0.0, weather(40, 0.7, 5)),)
    ),
    "hot sun": clock(
        mix_c=celsius(80),
        slab_c=celsius(110),
        depth_m=1.5 * INCH,
        weather=((0.0, weather(92, 0.3, 10, True)),),
    ),
    "hot sun, thin, two packets": clock(
        packets=2.0,
        mix_c=celsius(85),
        slab_c=celsius(125),
        depth_m=0.75 * INCH,
        weather=((0.0, weather(98, 0.2, 3, True)),),
    ),
    "everything changes": clock(
        packets=1.0,
        mix_c=celsius(75),
        mix_readings=((70.0, 27.0),),
        slab_c=celsius(85),
        depth_m=3 * INCH,
        weather=(
            (0.0, weather(90, 0.3, 10, True)),
            (400.0, weather(90, 0.9, 5)),
            (900.0, weather(80, 0.5, 5, True)),
        ),
        covered=((700.0, True), (1000.0, False)),
        factor=((200.0, 1.2), (500.0, 0.9)),
    ),
    "a warm mix that sets in its heat": clock(
        card=small_stone(rise_k=45.0, heat_age_s=600.0), packets=1.0, mix_c=celsius(75), slab_c=celsius(60)
    ),
}


@pytest.mark.parametrize("name", CASES)
def test_windows_stand_where_a_fine_reckoning_puts_them(name: str) -> None:
    """Half-millimetre cells, an adaptive integrator, another library's vapour pressures: within a second in 20 min.

    A later limit may be off by a thousandth of its time.
    """
    sure, found = fine(CASES[name], 14 * MIN), Trajectory(CASES[name])
    for minutes in LIMITS_MIN:
        expected = sure.time_of(minutes * MIN)
        at = found.time_of(minutes * MIN)
        assert at == pytest.approx(expected, abs=max(1.0, 0.0005 * expected)), f"{minutes} min"


@pytest.mark.parametrize("name", CASES)
def test_temperatures_are_those_of_a_fine_reckoning(name: str) -> None:
    sure, found = fine(CASES[name], 14 * MIN), Trajectory(CASES[name])
    end = int(sure.time_of(13.9 * MIN))
    assert all(
        found.temperature_at(at) == pytest.approx(sure.temperature_at(at), abs=0.06)
        for at in range(130, end, end // 100)
    )


def test_a_retarded_batch_in_the_cold_opens_when_a_fine_reckoning_says() -> None:
    """Two packets through a cold day with hourly weather: wheels after about nine hours, within a minute."""
    hours = tuple((3600.0 * n, weather(45 - n, 0.7, 2 + n % 5, sun=n in (2, 3))) for n in range(12))
    cold = clock(packets=2.0, mix_c=celsius(60), slab_c=celsius(40), weather=hours, covered=((4000.0, True),))
    sure, found = fine(cold, 120 * MIN), Trajectory(cold)
    for minutes in (20.0, 60.0, 120.0):
        assert found.time_of(minutes * MIN) == pytest.approx(sure.time_of(minutes * MIN), abs=8.0)


def test_the_first_batch_of_the_library_day() -> None:
    """Worked by a fine model of its own beside the example day: water 09:10:00, tipped 09:12:05."""
    first = Trajectory(clock())
    limits = {4.0: 283, 4.5: 319, 4.75: 337, 6.0: 428, 7.5: 537, 9.0: 647, 11.5: 831}
    for minutes, seconds in limits.items():
        assert first.time_of(minutes * MIN) == pytest.approx(seconds, abs=1.0)
    assert first.age_at(330.0) / MIN == pytest.approx(4.6558, abs=0.002)
    assert first.temperature_at(330.0) == pytest.approx(17.53, abs=0.01)
    assert first.temperature_at(60.0) == pytest.approx(18.01, abs=0.01)


@pytest.mark.parametrize(("packets", "stretch"), [(0.0, 1.0), (1.0, 2.0), (1.5, 2.4), (2.0, 2.8)])
@pytest.mark.parametrize("factor", [0.8, 1.0, 1.3])
def test_at_one_temperature_age_is_time_by_rate_and_stretch(
    packets: float, stretch: float, factor: float
) -> None:
    still = Trajectory(clock(card=HEATLESS, packets=packets, factor=((0.0, factor),), **AT_ONE))
    speed = factor * rate(4.44, celsius(70), 40e3) / stretch
    for seconds in (30.0, 125.0, 126.0, 600.0, 20_000.0):
        assert still.age_at(seconds) == pytest.approx(seconds * speed, rel=1e-6)
        assert still.time_of(seconds * speed) == pytest.approx(seconds, rel=1e-6)
        assert still.temperature_at(seconds) == pytest.approx(4.44, abs=1e-3)


@pytest.mark.parametrize(("card", "packets"), [(small_stone(), 0.0), (small_stone(45.0, 600.0), 1.0)])
def test_a_trial_in_its_bucket_warms_by_its_own_heat_and_loses_none(card: object, packets: float) -> None:
    trial = clock(card=card, packets=packets, tip_at=None, mix_c=17.42, weather=(), factor=())
    heat, setting, stretch = trial.card.heat, trial.card.setting, (1.0, 2.0)[int(packets)]

    def warm(age: float) -> float:
        return 17.42 + heat.rise_k * (1.0 - math.exp(-age / heat.age_s))

    def speed(_: float, age: list[float]) -> list[float]:
        return [rate(warm(age[0]), setting.reference_c, setting.activation_j_mol) / stretch]

    times = (20.0, 300.0, 900.0, 4000.0)
    sure = solve_ivp(speed, (0.0, times[-1]), [0.0], rtol=1e-10, atol=1e-8, t_eval=times)
    found = trajectory(trial)
    for at, age in zip(times, sure.y[0], strict=True):
        assert found.age_at(at) == pytest.approx(age, abs=0.05)
        assert found.temperature_at(at) == pytest.approx(warm(age), abs=0.02)


def test_a_mix_reading_starts_the_vessel_anew_with_the_heat_still_to_come() -> None:
    read = trajectory(clock(mix_readings=((60.0, 24.0),), tip_at=None, weather=()))
    before = trajectory(clock(tip_at=None, weather=()))
    assert read.age_at(60.0) == pytest.approx(before.age_at(60.0), abs=1e-3)
    given = [1.0 - math.exp(-read.age_at(at) / 1500.0) for at in (60.0, 200.0)]
    assert read.temperature_at(200.0) == pytest.approx(24.0 + 18.0 * (given[1] - given[0]), abs=0.01)


def test_a_mix_reading_after_the_tip_says_nothing() -> None:
    late = clock(mix_readings=((200.0, 60.0),))
    assert Trajectory(late).time_of(300.0) == Trajectory(clock()).time_of(300.0)


CHANGES = {
    "factor": {"factor": ((0.0, 1.0149), (400.0, 1.4))},
    "weather": {"weather": ((0.0, weather(45, 0.75, 3)), (400.0, weather(80, 0.5, 3, sun=True)))},
    "cover": {"covered": ((400.0, True),)},
}


@pytest.mark.parametrize("what", CHANGES)
def test_a_change_acts_from_its_time_and_leaves_what_is_earned(what: str) -> None:
    plain, changed = Trajectory(clock()), Trajectory(clock(**CHANGES[what]))
    for at in (50.0, 125.0, 300.0, 400.0):
        assert changed.age_at(at) == pytest.approx(plain.age_at(at), abs=0.02)
    assert changed.age_at(900.0) > plain.age_at(900.0) + 0.5


def test_the_factor_drives_from_its_moment_exactly() -> None:
    still = Trajectory(clock(card=HEATLESS, factor=((100.0, 1.5), (700.0, 0.5)), **AT_ONE))
    speed = rate(4.44, celsius(70), 40e3)
    assert still.age_at(100.0) == pytest.approx(100.0 * speed, rel=1e-6)
    assert still.age_at(700.0) == pytest.approx((100.0 + 600.0 * 1.5) * speed, rel=1e-6)
    assert still.age_at(1000.0) == pytest.approx((1000.0 + 150.0) * speed, rel=1e-6)


@pytest.mark.parametrize("name", CASES)
def test_age_and_time_answer_each_other(name: str) -> None:
    path = Trajectory(CASES[name])
    for age in (1.0, 61.3, 119.9, 277.7, 540.0, 1200.0, 3600.0):
        at = path.time_of(age)
        assert at is not None
        assert path.age_at(at) == pytest.approx(age, abs=0.01)


@pytest.mark.parametrize("name", CASES)
def test_age_never_runs_back(name: str) -> None:
    path = Trajectory(CASES[name])
    ages = [path.age_at(float(at)) for at in range(-5, 3000, 7)]
    assert all(a <= b for a, b in pairwise(ages))
    assert ages[0] == 0.0


def test_the_order_of_questions_changes_no_answer() -> None:
    ages, times = (100.0, 4000.0, 300.0), (700.0, 20.0, 9000.0)
    near, far = Trajectory(clock()), Trajectory(clock())
    first = [near.time_of(age) for age in ages], [near.age_at(at) for at in times]
    backward = [far.age_at(at) for at in reversed(times)], [far.time_of(age) for age in reversed(ages)]
    assert first == (backward[1][::-1], backward[0][::-1])


def test_equal_clocks_share_one_trajectory() -> None:
    assert trajectory(clock()) is trajectory(clock())
    assert trajectory(clock()) is not trajectory(clock(packets=1.0))


def test_before_water_contact_there_is_no_age() -> None:
    path = Trajectory(clock())
    assert path.age_at(-100.0) == path.age_at(0.0) == 0.0
    assert path.temperature_at(-100.0) == 17.4229
    assert path.time_of(0.0) == 0.0


def test_an_age_beyond_a_fortnight_is_not_told() -> None:
    frozen = {"mix_c": -40.0, "slab_c": -40.0, "weather": ((0.0, weather(-40, 1.0, 0)),)}
    path = Trajectory(clock(card=HEATLESS, packets=2.0, factor=(), **frozen))
    assert path.time_of(120 * MIN) is None
    assert path.time_of(30 * MIN) is not None
    speed = rate(-40.0, celsius(70), 40e3) / 2.8
    assert path.age_at(HORIZON_S + 86400.0) == pytest.approx((HORIZON_S + 86400.0) * speed, rel=1e-6)


def test_more_packets_than_the_card_allows_are_refused_at_once() -> None:
    with pytest.raises(ValueError, match="0 to 2"):
        trajectory(clock(packets=2.5))


def test_epoch_seconds_serve_as_well_as_small_ones() -> None:
    start = 1_794_000_000.0

    def moved(steps: tuple[tuple[float, object], ...]) -> tuple[tuple[float, object], ...]:
        return tuple((start + at, value) for at, value in steps)

    near = CASES["everything changes"]
    fields = ("mix_readings", "weather", "covered", "factor")
    steps = {name: moved(getattr(near, name)) for name in fields}
    far = dataclasses.replace(near, water_at=start, tip_at=start + 125.0, **steps)
    for age in (200.0, 285.0, 900.0):
        assert Trajectory(far).time_of(age) == pytest.approx(
            start + (Trajectory(near).time_of(age) or 0.0), abs=0.001
        )


def test_two_threads_may_ask_at_once() -> None:
    path, sure = Trajectory(clock()), Trajectory(clock())
    found: list[float | None] = []
    ages = [60.0 * n for n in range(1, 60)]
    askers = [
        threading.Thread(target=lambda: found.extend(path.time_of(age) for age in ages)) for _ in range(4)
    ]
    for asker in askers:
        asker.start()
    for asker in askers:
        asker.join()
    assert sorted(map(float, found)) == sorted(4 * [float(sure.time_of(age) or 0.0) for age in ages])


def test_a_batch_that_waits_in_its_bucket_ages_faster_on_a_cold_day() -> None:
    """A bucket keeps its heat, a cold slab takes it: the earlier tip works longer."""

    def late(of: BatchClock) -> float:
        return Trajectory(of).time_of(360.0) or 0.0

    assert late(clock(tip_at=100.0)) > late(clock(tip_at=200.0)) > late(clock(tip_at=None))
