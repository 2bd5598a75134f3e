"""A thermometer on a patch: exact where one start was off, against a finer column, and what it may not move.

Second methods: closed sums of the linear heat equation, and a fine column run anew for each start that may be off.
"""

from __future__ import annotations

import dataclasses
from typing import Any

import pytest
from fine_column import INCH, celsius, clock, fine, small_stone, weather

from engine.site.column import grid, surface_in
from engine.site.trajectory import BatchClock, Trajectory

MIN = 60.0
READ_AT = 480.0
STILL: dict[str, Any] = {"card": small_stone(rise_k=0.0), "covered": ((0.0, True),)}


def surface_c(of: BatchClock, at: float) -> float:
    """The surface of a covered column in the shade, from its top cell: heat through both is the same."""
    wall = grid(of.depth_m, of.heat).top_w_m2k
    air = of.weather[0][1]
    film = surface_in(air, True, of.heat).film_w_m2k
    return (wall * Trajectory(of).top_at(at) + film * air.air_c) / (wall + film)


def read(of: BatchClock, surface_c: float, at: float = READ_AT, **changes: Any) -> BatchClock:
    return dataclasses.replace(of, surfaces=((at, surface_c),), **changes)


@pytest.mark.parametrize("at", [READ_AT, 3600.0])
@pytest.mark.parametrize(
    ("true", "off_k"),
    [
        ({"slab_c": celsius(70)}, (0.0, 1.0)),
        ({"slab_c": celsius(30)}, (0.0, 2.0)),
        ({"mix_c": celsius(75)}, (1.0, 0.0)),
    ],
)
def test_where_one_start_alone_is_in_doubt_the_reading_finds_the_true_column(
    true: dict[str, float], off_k: tuple[float, float], at: float
) -> None:
    """Without heat and drying the column is linear: one reading gives back the one start that was wrong."""
    truth, believed = clock(**STILL, **true), clock(**STILL)
    mended = Trajectory(read(believed, surface_c(truth, at), at, off_k=off_k))
    sure, wrong = Trajectory(truth), Trajectory(believed)
    for later in (at + 1.0, at + 60.0, at + 600.0, at + 7200.0):
        off_before = abs(wrong.temperature_at(later) - sure.temperature_at(later))
        assert abs(mended.temperature_at(later) - sure.temperature_at(later)) < 0.02 + 0.01 * off_before
    assert abs(wrong.temperature_at(at + 60.0) - sure.temperature_at(at + 60.0)) > 0.3


WARM_SUN = clock(
    mix_c=celsius(80), slab_c=celsius(95), depth_m=2 * INCH, weather=((0.0, weather(88, 0.4, 6, True)),)
)
STARTS = {"library": clock(), "in the sun": WARM_SUN, "two packets": clock(packets=2.0)}
OFF_K = (1.0, 2.5)


@pytest.mark.parametrize("at", [200.0, READ_AT])
@pytest.mark.parametrize("name", STARTS)
def test_the_mean_moves_by_the_share_that_a_fine_column_gives_its_starts(name: str, at: float) -> None:
    """Least squares over fine columns with heat and drying, each start half a kelvin up in turn; heat feeds back a little."""
    of, until = STARTS[name], 40 * MIN
    base = fine(of, until)
    moved = [
        fine(dataclasses.replace(of, **{key: getattr(of, key) + 0.5}), until) for key in ("mix_c", "slab_c")
    ]
    tops = [off * (one.top_at(at) - base.top_at(at)) for one, off in zip(moved, OFF_K, strict=True)]
    means = [
        off * (one.temperature_at(at) - base.temperature_at(at))
        for one, off in zip(moved, OFF_K, strict=True)
    ]
    share = sum(top * mean for top, mean in zip(tops, means, strict=True)) / sum(top * top for top in tops)
    plain = Trajectory(of)
    before_c, top_c = plain.temperature_at(at), plain.top_at(at)
    mended = Trajectory(read(of, top_c + 3.0, at, off_k=OFF_K))
    jump_k = mended.temperature_at(at + 0.01) - before_c
    assert jump_k / 3.0 == pytest.approx(share, rel=0.05)


@pytest.mark.parametrize(
    ("depth_in", "at", "true", "share"),
    [
        (0.75, READ_AT, {"slab_c": celsius(75)}, 0.1),
        (0.75, 720.0, {"slab_c": celsius(30)}, 0.1),
        (1.75, 720.0, {"slab_c": celsius(75)}, 0.5),
        (1.75, 1200.0, {"slab_c": celsius(75)}, 0.1),
        (1.75, 240.0, {"mix_c": 17.4229 + 7 / 1.8}, 0.1),
    ],
)
def test_most_of_a_start_other_than_believed_is_made_good(
    depth_in: float, at: float, true: dict[str, float], share: float
) -> None:
    """The truth is a fine column on its real start; of the clock's error one reading leaves a share, for 5 min on."""
    believed = clock(depth_m=depth_in * INCH)
    sure = fine(clock(depth_m=depth_in * INCH, **true), 60 * MIN)
    plain, mended = Trajectory(believed), Trajectory(read(believed, sure.top_at(at), at, off_k=OFF_K))
    for later in (at + 5.0, at + 300.0):
        missed_k, left_k = (
            abs(one.temperature_at(later) - sure.temperature_at(later)) for one in (plain, mended)
        )
        assert left_k < share * missed_k


def test_soon_after_the_tip_the_surface_cannot_tell_of_the_slab_and_moves_little() -> None:
    """At 4 min a slab 33 °F warmer has warmed the top of 1 3/4 in by a tenth of a kelvin."""
    sure = fine(clock(slab_c=celsius(75)), 20 * MIN)
    mended = Trajectory(read(clock(), sure.top_at(240.0), 240.0, off_k=OFF_K))
    moved_k = mended.temperature_at(245.0) - Trajectory(clock()).temperature_at(245.0)
    assert 0.0 < moved_k < 0.3


def test_the_surface_is_what_was_read_and_then_goes_its_own_way() -> None:
    covered = clock(covered=((0.0, True),))
    mended = read(covered, celsius(71))
    assert surface_c(mended, READ_AT + 0.001) == pytest.approx(celsius(71), abs=0.02)
    gaps = [
        Trajectory(mended).temperature_at(READ_AT + later)
        - Trajectory(covered).temperature_at(READ_AT + later)
        for later in (1.0, 3600.0, 24 * 3600.0)
    ]
    assert gaps[0] > gaps[1] > gaps[2] > 0.0


def test_set_age_earned_before_a_reading_stays() -> None:
    plain, mended = Trajectory(clock()), Trajectory(read(clock(), celsius(90)))
    for at in (60.0, 125.0, 300.0, READ_AT):
        assert mended.age_at(at) == pytest.approx(plain.age_at(at), abs=0.01)
    assert mended.age_at(READ_AT + 60.0) > plain.age_at(READ_AT + 60.0) + 5.0


def test_a_reading_of_what_was_reckoned_moves_nothing() -> None:
    covered = clock(covered=((0.0, True),))
    same = Trajectory(read(covered, surface_c(covered, READ_AT)))
    assert same.time_of(11.5 * MIN) == pytest.approx(Trajectory(covered).time_of(11.5 * MIN), abs=0.05)


def test_a_second_reading_counts_like_the_first() -> None:
    once = read(clock(), celsius(66))
    twice = dataclasses.replace(once, surfaces=(*once.surfaces, (READ_AT + 120.0, celsius(72))))
    at = READ_AT + 121.0
    assert Trajectory(twice).temperature_at(at) > Trajectory(once).temperature_at(at) + 1.0
