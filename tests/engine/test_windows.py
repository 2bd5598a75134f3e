"""Windows, sets and openings on the clock."""

from __future__ import annotations

import csv
import dataclasses
import math
from pathlib import Path

import pytest
from fine_column import celsius, clock, small_stone, weather

from engine.mix.card import MixCard, Window
from engine.site.trajectory import BatchClock, Trajectory, trajectory
from engine.site.windows import WindowTimes, opening, pass_times, set_times, window_state, workable_until

CARD = small_stone()
ISOTHERMAL = Path(__file__).parents[1] / "data" / "scenarios" / "isothermal"
WATER_AT = {"N0": 7 * 3600.0, "N1": 7 * 3600.0 + 600.0, "N2": 7 * 3600.0 + 1200.0}
SEEN_AT = 7 * 3600.0 + 25 * 60.0


def seconds(text: str) -> float:
    hours, minutes, rest = text.split(":")
    return int(hours) * 3600.0 + int(minutes) * 60.0 + int(rest)


def still(temp_f: float, pour: str) -> BatchClock:
    """A batch at one temperature, with as many packets as its pour's name says."""
    return clock(
        card=small_stone(rise_k=0.0),
        packets=float(pour[1]),
        water_at=WATER_AT[pour],
        mix_c=celsius(temp_f),
        tip_at=WATER_AT[pour] + 120.0,
        slab_c=celsius(temp_f),
        weather=((0.0, weather(temp_f, 1.0, 0)),),
        factor=(),
    )


def told(of: BatchClock, quantity: str) -> float:
    """A quantity of the status by its name."""
    path, tip = trajectory(of), of.tip_at or 0.0
    plain = {
        "workable_until": lambda: workable_until(path, of.card),
        "initial_set": lambda: set_times(path, of.card)[0],
        "final_set": lambda: set_times(path, of.card)[1],
        "feet": lambda: opening(path, tip, of.card.opening.feet_s) or math.inf,
        "wheels": lambda: opening(path, tip, of.card.opening.wheels_s) or math.inf,
        "set_age_min": lambda: path.age_at(SEEN_AT) / 60.0,
        "temperature_c": lambda: path.temperature_at(SEEN_AT),
    }
    if quantity in plain:
        return plain[quantity]()
    name, edge = quantity.split(".")
    return float(getattr(dict(pass_times(of.card, [name], path, tip, 20.0))[name], edge))


@pytest.mark.parametrize("temp_f", [40, 55, 70, 90])
def test_at_one_temperature_every_limit_is_that_of_the_closed_form(temp_f: int) -> None:
    """Water contact + a · R / γ with E = 40 kJ/mol, R = 8.314 J/(mol·K), worked to the second beside the data."""
    with (ISOTHERMAL / f"{temp_f}F" / "expected.csv").open(encoding="utf-8") as file:
        rows = list(csv.DictReader(file))
    assert len(rows) > 40
    for row in rows:
        found = told(still(temp_f, row["which"][:2]), row["quantity"])
        expected = seconds(row["expected"]) if ":" in row["expected"] else float(row["expected"])
        assert found == pytest.approx(expected, abs=float(row["tolerance"].split()[0])), row


@pytest.mark.parametrize(
    ("temp_f", "minutes"),
    [(40, (12.0, 24.0, 33.6)), (55, (7.25, 14.5, 20.3)), (70, (4.5, 9.0, 12.6)), (90, (2.5, 5.0, 7.0))],
)
def test_a_packet_doubles_the_working_time_at_any_temperature(
    temp_f: int, minutes: tuple[float, ...]
) -> None:
    """The same closed form, in minutes to a twentieth."""
    for pour, expected in zip(("N0", "N1", "N2"), minutes, strict=True):
        found = (workable_until(trajectory(still(temp_f, pour)), CARD) - WATER_AT[pour]) / 60.0
        assert found == pytest.approx(expected, abs=0.05)


def test_the_workable_limit_counts_from_where_the_label_says() -> None:
    setting = dataclasses.replace(CARD.setting, working_from="water contact")
    from_water = dataclasses.replace(CARD, setting=setting)
    path = Trajectory(clock())
    assert workable_until(path, from_water) == path.time_of(180.0)
    assert workable_until(path, CARD) == path.time_of(270.0)


def test_a_float_follows_the_tip_and_the_first_trowel() -> None:
    path = Trajectory(clock())
    windows = dict(pass_times(CARD, ("float", "first_trowel"), path, 125.0, 20.0))
    trowel = windows["first_trowel"]
    assert windows["float"] == WindowTimes(125.0, 145.0, trowel.due, trowel.late)


def test_a_float_with_a_window_of_its_own_keeps_to_the_card() -> None:
    passes = dataclasses.replace(CARD.passes, float=Window(150.0, 180.0, 260.0, 300.0))
    path = Trajectory(clock())
    ((name, window),) = pass_times(dataclasses.replace(CARD, passes=passes), ["float"], path, 125.0, 20.0)
    expected = [path.time_of(age) for age in (150.0, 180.0, 260.0, 300.0)]
    assert name == "float"
    assert [window.open, window.due, window.late, window.lost] == expected


def test_windows_come_in_the_order_asked_for() -> None:
    names = ("broom", "float", "second_trowel", "first_trowel")
    assert tuple(name for name, _ in pass_times(CARD, names, Trajectory(clock()), 125.0, 20.0)) == names


@pytest.mark.parametrize("name", ["second_trowel", "edge"])
def test_a_pass_without_a_window_is_refused(name: str) -> None:
    bare: MixCard = dataclasses.replace(CARD, passes=dataclasses.replace(CARD.passes, second_trowel=None))
    with pytest.raises(ValueError, match=f"no window for the pass {name}"):
        pass_times(bare, [name], Trajectory(clock()), 125.0, 20.0)


def test_a_limit_that_never_comes_is_infinitely_far() -> None:
    frozen = clock(
        card=dataclasses.replace(small_stone(rise_k=0.0), opening=CARD.opening),
        packets=2.0,
        mix_c=-60.0,
        slab_c=-60.0,
        weather=((0.0, weather(-76, 0.9, 0)),),
        factor=(),
    )
    path = Trajectory(frozen)
    assert set_times(path, CARD)[1] == math.inf
    assert opening(path, 125.0, 7200.0) is None
    window = WindowTimes(100.0, 200.0, math.inf, math.inf)
    assert window_state(window, 1e12) == "due"


def test_a_label_time_is_never_shortened_by_warmth_nor_by_packets() -> None:
    hot = clock(mix_c=32.0, slab_c=45.0, weather=((0.0, weather(95, 0.3, 3, sun=True)),))
    assert opening(Trajectory(hot), 125.0, 3600.0) == 125.0 + 3600.0
    cold = Trajectory(clock(packets=1.0))
    assert opening(cold, 125.0, 3600.0) == cold.time_of(3600.0)
    assert (cold.time_of(3600.0) or 0.0) > 2 * 3600.0


@pytest.mark.parametrize(
    ("now", "state"),
    [
        (99.9, "early"),
        (100.0, "open"),
        (199.9, "open"),
        (200.0, "due"),
        (299.9, "due"),
        (300.0, "late"),
        (399.9, "late"),
        (400.0, "lost"),
        (1e9, "lost"),
    ],
)
def test_a_boundary_belongs_to_the_state_it_begins(now: float, state: str) -> None:
    assert window_state(WindowTimes(100.0, 200.0, 300.0, 400.0), now) == state
