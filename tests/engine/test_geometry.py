"""Flags of shape, depth and finish. They warn; a plan goes on.

GEO-1, -3, -4: in each row of geo_limits.csv. GEO-5: FHWA, Partial-Depth Repairs (2015), design; GEO-6: the same and UFGS
03931 (older edition); GEO-8: UFGS 03931, note; GEO-12: FHWA checklist 9 and guides (2015); all read. GEO-9: ACI 318-14,
26.4.2.1, from memory.
"""

from __future__ import annotations

import math
from itertools import pairwise

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from measured_jobs import IN, PRACTICE, card, drawn, job, library, rectangle, table

from engine.job.geometry import Hole, hole_flags, merge_flags, plan_size_m
from engine.job.model import Pour
from engine.job.outline import area_m2, gap_m, sharpest_corner_deg, size_m
from engine.job.takeoff import job_takeoff, pour_takeoff

LIMITS = table("geo_limits.csv")
ANY_DEPTH = card(least_in=0.25, greatest_in=12)


def words(pour: Pour) -> list[str]:
    return [flag.word for flag in hole_flags(Hole(pour, ANY_DEPTH, 1), PRACTICE)]


@pytest.mark.parametrize("row", LIMITS, ids=[row["id"] for row in LIMITS])
def test_a_limit_flags_what_is_past_it_and_lets_through_what_is_on_it(row: dict[str, str]) -> None:
    pour = rectangle("P1", float(row["length_in"]), float(row["width_in"]), [float(row["depth_in"])])
    assert (row["flag"] in words(pour)) is (row["flagged"] == "yes")


def test_every_limit_names_its_source_and_status() -> None:
    assert all(row["source"] and row["edition"] and row["clause"] and row["status"] for row in LIMITS)
    assert not [row for row in LIMITS if row["status"].startswith(("MEM-L", "MEM-M"))]


def test_each_flag_has_its_sentence_with_the_pour_in_it() -> None:
    for taken in job_takeoff(library()).pours:
        assert [caution.key for caution in taken.cautions] == [
            f"caution.{flag.replace(' ', '_')}" for flag in taken.flags
        ]
        assert all(dict(caution.values)["pour"] == taken.id for caution in taken.cautions)


def test_the_library_day_is_flagged_where_its_story_says() -> None:
    """P3 tight, P5 with one reading under the label; nosings long, thin and narrow; nobody stops."""
    flags = {taken.id: taken.flags for taken in job_takeoff(library()).pours}
    assert flags["P2"] == ()
    assert flags["P3"] == ("tight",)
    assert flags["P5"] == ("too thin",)
    assert flags["P6"] == ("long and thin", "narrow for its depth")
    assert flags["P7"] == ("narrow side", "long and thin", "narrow for its depth")


@pytest.mark.parametrize(("shallowest_in", "flagged"), [(1.5, False), (1.49, True)])
def test_a_reading_under_the_label_is_too_thin_even_where_the_rest_is_deep(
    shallowest_in: float, flagged: bool
) -> None:
    pour = rectangle("P1", 24, 24, [3, shallowest_in, 3])
    assert ("too thin" in pour_takeoff(pour, job([pour])).flags) is flagged


def test_lifts_are_thinner_than_the_hole_and_can_be_too_thin_for_the_label() -> None:
    """Card 1 1/2 to 4 in, readings 2 1/2 to 5 in: two lifts, of which the thin end is 1 1/4 in."""
    pour = rectangle("P1", 24, 24, [5, 2.5])
    assert pour_takeoff(pour, job([pour])).flags[-2:] == ("too thin", "lifts")


@pytest.mark.parametrize(("depth_in", "flagged"), [(0.2, True), (0.25, False)])
def test_a_depth_that_runs_out_is_a_feather_edge(depth_in: float, flagged: bool) -> None:
    """No feather edge: FHWA, UFGS 03931 (READ); the quarter inch is common practice, no source."""
    assert ("feather edge" in words(rectangle("P1", 24, 24, [2, depth_in]))) is flagged


def test_an_edge_thinner_than_the_largest_stone_is_a_feather_edge() -> None:
    """GEO-8: a saw cut is at least as deep as the nominal largest aggregate. UFGS 03931 note, READ."""
    pour = rectangle("P1", 24, 24, [2, 0.5])
    stony = card(least_in=0.25, greatest_in=12, stone_in=0.75)
    assert "feather edge" in [flag.word for flag in hole_flags(Hole(pour, stony, 1), PRACTICE)]
    assert "feather edge" not in words(pour)


@pytest.mark.parametrize(("slab_in", "flagged"), [(6.0, False), (5.9, True), (None, False)])
def test_deeper_than_a_third_of_the_slab_is_no_partial_depth_work(
    slab_in: float | None, flagged: bool
) -> None:
    """GEO-12: FHWA checklist and guides, top third of the slab, READ. Deepest reading 2 in."""
    pour = rectangle("P1", 24, 24, [1.5, 2], slab_m=None if slab_in is None else slab_in * IN)
    assert ("deep in slab" in pour_takeoff(pour, job([pour], [ANY_DEPTH])).flags) is flagged


@pytest.mark.parametrize("use", ["ramp", "landing", "step", "walk", "floor"])
@pytest.mark.parametrize("finish", ["trowel", "broom", "float"])
def test_ramps_landings_and_steps_are_broomed(use: str, finish: str) -> None:
    """Stable, firm and slip resistant: ADA 2010, 302.1; brooming it: common practice, no source."""
    flagged = "trowelled ramp" in words(rectangle("P1", 24, 24, [2], use=use, finish=finish))
    assert flagged is (use in ("ramp", "landing", "step") and finish == "trowel")


def test_stones_too_large_for_the_thin_spot_are_flagged_where_the_pour_names_its_mix() -> None:
    """GEO-9: ACI 318 26.4.2.1, from memory (high)."""
    pour = rectangle("P1", 24, 24, [1.0, 3.0], mix="small-stone")
    assert "large stone" in pour_takeoff(pour, job([pour])).flags


SQUARE = [(0.0, 0.0), (24.0, 0.0), (24.0, 24.0), (0.0, 24.0)]
ELL = [(0.0, 0.0), (24.0, 0.0), (24.0, 12.0), (12.0, 12.0), (12.0, 24.0), (0.0, 24.0)]
KITE = [(0.0, 0.0), (24.0, 0.0), (36.0, 24.0), (0.0, 24.0)]  # atan2(24, 12) = 63.43 degrees at one corner


@pytest.mark.parametrize(("corners", "sharpest"), [(SQUARE, 90.0), (ELL, 90.0), (KITE, 63.4349)])
@pytest.mark.parametrize("backwards", [False, True])
def test_corners_are_measured_inside_whichever_way_round_they_are_drawn(
    corners: list[tuple[float, float]], sharpest: float, backwards: bool
) -> None:
    order = corners[::-1] if backwards else corners
    assert sharpest_corner_deg(order) == pytest.approx(sharpest, abs=1e-3)


@pytest.mark.parametrize(("corners", "flagged"), [(SQUARE, False), (ELL, False), (KITE, True)])
def test_a_corner_sharper_than_square_is_flagged(corners: list[tuple[float, float]], flagged: bool) -> None:
    """GEO-6: no corner under 90 degrees. FHWA partial-depth repairs; UFGS 03931, READ."""
    assert ("sharp corner" in words(drawn("P1", corners, [2]))) is flagged


@pytest.mark.parametrize(("gap_in", "flagged"), [(0.0, True), (11.9, True), (12.0, False), (30.0, False)])
def test_patches_closer_than_a_foot_are_joined(gap_in: float, flagged: bool) -> None:
    """GEO-5: merge repairs closer than 12 in (300 mm). FHWA partial-depth repairs, READ."""
    beside = [(x + 24 + gap_in, y + 5) for x, y in SQUARE]
    pours = [drawn("P1", SQUARE, [2]), drawn("P2", beside, [2])]
    assert ("merge" in pour_takeoff(pours[0], job(pours)).flags) is flagged
    assert ("merge" in pour_takeoff(pours[1], job(pours)).flags) is flagged


def test_outlines_that_lie_over_each_other_were_drawn_from_different_corners() -> None:
    pours = [drawn("P1", SQUARE, [2]), drawn("P2", ELL, [2]), drawn("P3", SQUARE, [2])]
    assert [merge_flags(pour, pours, PRACTICE) for pour in pours] == [(), (), ()]


def test_pours_without_outlines_have_no_distance_to_judge() -> None:
    pours = [rectangle("P1", 24, 24, [2]), drawn("P2", SQUARE, [2])]
    assert merge_flags(pours[0], pours, PRACTICE) == ()


@pytest.mark.parametrize(
    ("shift", "gap"),
    [((30, 0), 6.0), ((0, 27), 3.0), ((27, 28), 5.0), ((24, 0), 0.0), ((13, 13), 1.0)],
)
def test_the_gap_is_the_shortest_clear_distance(shift: tuple[float, float], gap: float) -> None:
    """Beside, above, across a corner (3-4-5), touching; the last: a small square in the crook of the ell."""
    side = 8.0 if shift == (13, 13) else 24.0
    other = [(x * side / 24 + shift[0], y * side / 24 + shift[1]) for x, y in SQUARE]
    found = gap_m(ELL if side == 8.0 else SQUARE, other)
    assert found == pytest.approx(gap)


def test_crossing_bars_overlap_though_no_corner_lies_inside() -> None:
    tall = [(10.0, -10.0), (14.0, -10.0), (14.0, 34.0), (10.0, 34.0)]
    assert gap_m(SQUARE, tall) is None


@given(angle=st.floats(0, 2 * math.pi), length=st.floats(6, 100), width=st.floats(2, 60))
@settings(max_examples=60, deadline=None)
def test_size_corner_and_area_do_not_depend_on_how_the_patch_lies(
    angle: float, length: float, width: float
) -> None:
    """Second method: the rectangle's own sides, whatever its turn."""
    flat = [(0.0, 0.0), (length, 0.0), (length, width), (0.0, width)]
    sin, cos = math.sin(angle), math.cos(angle)
    turned = [(x * cos - y * sin, x * sin + y * cos) for x, y in flat]
    assert size_m(turned) == pytest.approx((max(length, width), min(length, width)), rel=1e-9)
    assert area_m2(turned) == pytest.approx(length * width, rel=1e-9)
    assert sharpest_corner_deg(turned) == pytest.approx(90, abs=1e-6)


def test_the_narrowest_way_through_a_triangle_is_its_least_height() -> None:
    """3-4-5 triangle: heights 4, 3 and 2.4."""
    length, width = size_m([(0.0, 0.0), (4.0, 0.0), (0.0, 3.0)])
    assert (length, width) == pytest.approx((5.0, 2.4))


def test_the_size_in_plan_comes_from_the_outline_else_from_the_sides_else_is_unknown() -> None:
    assert plan_size_m(drawn("P1", ELL, [2])) == pytest.approx((24 * IN, 24 * IN))
    assert plan_size_m(rectangle("P1", 10, 30, [2])) == pytest.approx((30 * IN, 10 * IN))
    assert plan_size_m(Pour("P1", 0.3, (0.05,), "trowel")) is None


def test_a_pour_known_by_its_area_alone_gets_no_flag_of_shape() -> None:
    assert words(Pour("P1", 0.3, (3 * IN,), "trowel")) == []


def test_thinner_readings_never_lose_a_flag_of_thinness() -> None:
    depths = [2.5, 1.9, 1.4, 0.3, 0.1]
    thin = [set(words(rectangle("P1", 24, 24, [depth]))) - {"narrow for its depth"} for depth in depths]
    assert [bool(flags) for flags in thin] == [False, True, True, True, True]
    assert all(len(a) <= len(b) for a, b in pairwise(thin))
