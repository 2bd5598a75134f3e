"""Saw cuts, the depth to take out, steel, and stone for thick work.

GEO-1, -2, -10, -13: UFC 3-270-03 (2001), 3.3, 3.4, 13.1, 15.3, 16.1. GEO-2: FHWA, Partial-Depth Repairs (2015), preparation.
GEO-2, -7, -8: UFGS 03931 (older edition). GEO-11: Texas DOT, Concrete Repair Manual (2021), 3.4. All read.
"""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st
from measured_jobs import IN, PRACTICE, card, job, practice, rectangle, table

from engine.job.geometry import Hole, hole_flags, structure_words
from engine.job.sawing import removal_depth_m, saw_cut
from engine.job.takeoff import pour_takeoff
from engine.mix.card import MixCard

STONELESS = card("sanded", "sanded", 0.25, 12.0)


def inches(text: str) -> float:
    return float(text) * IN


@pytest.mark.parametrize("row", table("saw_cuts.csv"), ids=lambda row: row["id"])
def test_a_cut_runs_round_the_bad_concrete_and_stays_out_of_steel(row: dict[str, str]) -> None:
    cover = inches(row["cover"]) if row["cover"] else None
    bad = inches(row["bad_length"]), inches(row["bad_width"])
    cut = saw_cut(bad, inches(row["hole"]), PRACTICE, inches(row["stone"]), cover)
    found = (cut.length_m, cut.width_m, cut.depth_m, cut.run_m)
    assert found == pytest.approx(tuple(inches(row[name]) for name in ("length", "width", "depth", "run")))
    assert (cut.ends_at, cut.shorter_than_stone) == (row["ends_at"], row["short"] == "yes")


@pytest.mark.parametrize("beyond_in", [1, 2, 3, 4])
def test_every_agency_s_distance_can_be_a_job_s_own(beyond_in: float) -> None:
    """GEO-2, READ: 1 in (UFGS), 2 to 3 in (UFC 3-270-03, 15.3), 3 to 4 in (FHWA partial-depth repairs)."""
    cut = saw_cut((12 * IN, 8 * IN), 3 * IN, practice(geometry__saw_beyond=beyond_in * IN))
    assert cut.length_m == pytest.approx((12 + 2 * beyond_in) * IN)
    assert cut.width_m == pytest.approx((8 + 2 * beyond_in) * IN)


@given(st.floats(0.5, 6), st.floats(0, 2), st.floats(0, 6))
def test_a_cut_never_reaches_the_steel_nor_leaves_the_hole(hole: float, stone: float, cover: float) -> None:
    cut = saw_cut((10 * IN, 10 * IN), hole * IN, PRACTICE, stone * IN, cover * IN)
    assert cut.depth_m <= min(hole, cover) * IN + 1e-12


@pytest.mark.parametrize("sizes", [((0.0, 0.1), 0.05), ((0.1, -0.1), 0.05), ((0.1, 0.1), 0.0)])
def test_a_cut_round_nothing_is_refused(sizes: tuple[tuple[float, float], float]) -> None:
    with pytest.raises(ValueError, match="above nothing"):
        saw_cut(*sizes, PRACTICE)


@pytest.mark.parametrize(("bad_in", "out_in"), [(0.5, 2.0), (1.5, 2.0), (1.6, 2.1), (3.0, 3.5)])
def test_removal_is_two_inches_or_half_an_inch_into_sound_whichever_is_deeper(
    bad_in: float, out_in: float
) -> None:
    """GEO-1: UFC 3-270-03 (2001), 3.3, 3.4 and 15.3, READ."""
    assert removal_depth_m(bad_in * IN, PRACTICE) == pytest.approx(out_in * IN)


@pytest.mark.parametrize(
    ("bare", "flags"),
    [
        (None, []),
        (0.0, ["steel showing"]),
        (0.25, ["steel showing"]),
        (0.26, ["steel showing", "bar not free"]),
        (1.0, ["steel showing", "bar not free"]),
    ],
)
def test_a_bar_with_more_than_a_quarter_of_its_round_bare_is_freed(
    bare: float | None, flags: list[str]
) -> None:
    """GEO-13: more than 90 of 360 degrees bare, half an inch clear all round. UFC 3-270-03 (2001), 3.4, READ."""
    assert list(structure_words(rectangle("P1", 24, 24, [2], steel_bare=bare), PRACTICE)) == flags


def test_the_caution_says_how_much_to_chip_clear_in_both_units() -> None:
    pour = rectangle("P1", 24, 24, [2], steel_bare=0.5)
    cautions = {said.key: dict(said.values) for said in pour_takeoff(pour, job([pour])).cautions}
    assert cautions["caution.bar_not_free"]["gap"] == "1/2 in (13 mm)"
    assert "caution.steel_showing" in cautions


def test_cautions_say_the_job_s_own_limits() -> None:
    pour = rectangle("P1", 40, 8, [2], slab_m=5 * IN)
    own = practice(geometry__longest_shape=4.0, geometry__slab_part=2.0)
    for values, shape, part in ((PRACTICE, "3", "1/3"), (own, "4", "1/2")):
        found = {flag.word: dict(flag.caution.values) for flag in hole_flags(Hole(pour, card(), 1), values)}
        assert found["long and thin"]["shape"] == shape
        assert ("deep in slab" in found) is (part == "1/3")
        assert found["long and thin"]["part"] == part


@pytest.mark.parametrize(("carried", "flagged"), [("ground", False), ("suspended", True)])
def test_a_slab_or_flight_that_hangs_free_is_an_engineer_s(carried: str, flagged: bool) -> None:
    """Common practice, no source: suspended work and stairs not on ground are referred to an engineer."""
    pour = rectangle("P1", 24, 24, [2], carried=carried)
    assert ("suspended" in pour_takeoff(pour, job([pour])).flags) is flagged


def stone_words(card: MixCard, depth_in: float, lifts: int = 1) -> list[str]:
    pour = rectangle("P1", 48, 48, [depth_in])
    flags = [flag.word for flag in hole_flags(Hole(pour, card, lifts), PRACTICE)]
    return [word for word in flags if word in ("coarse stone", "no stone")]


@pytest.mark.parametrize(("stone_in", "flags"), [(0.375, []), (0.5, ["coarse stone"]), (None, [])])
def test_stones_over_three_eighths_are_flagged(stone_in: float | None, flags: list[str]) -> None:
    """GEO-10: 3/8 in (10 mm) at most advised in spalls. UFC 3-270-03 (2001), 13.1 and 16.1, READ."""
    assert stone_words(card(stone_in=stone_in), 2.5) == flags


@pytest.mark.parametrize(("depth_in", "lifts", "flags"), [(3, 1, []), (3.1, 1, ["no stone"]), (6, 2, [])])
def test_a_mix_without_stone_is_flagged_in_lifts_over_three_inches(
    depth_in: float, lifts: int, flags: list[str]
) -> None:
    """GEO-11: stone is added over 3 in (75 mm). Texas DOT, Concrete Repair Manual (2021), 3.4, READ."""
    assert stone_words(STONELESS, depth_in, lifts) == flags
    assert stone_words(card(), depth_in, lifts) == []
