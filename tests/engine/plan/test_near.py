"""The near view: what is begun, the next few patches, and what those need; checked against plain sets of names."""

from __future__ import annotations

from dataclasses import replace

from plan_pours import batch, begun, patch, pour, separate

from engine.plan.near import near_view
from engine.plan.problem import Order, Problem


def _names(problem: Problem) -> tuple[list[str], list[str]]:
    return [one.id for one in problem.patches], [one.id for one in problem.batches]


def test_the_view_ends_with_the_next_few_patches() -> None:
    assert _names(near_view(separate(6), 2)) == (["P1", "P2"], ["B1", "B2"])


def test_a_begun_patch_is_in_view_wherever_it_stands_and_takes_no_place_of_the_next_few() -> None:
    site = begun(separate(6), "B5", 0.0, now_s=10.0)
    assert _names(near_view(site, 2)) == (["P1", "P2", "P5"], ["B1", "B2", "B5"])


def test_a_patch_that_one_in_view_waits_for_is_in_view() -> None:
    site = replace(separate(6), orders=(Order("P6", "P1"), Order("P2", "P5")))
    assert _names(near_view(site, 1)) == (["P1", "P6"], ["B1", "B6"])


def test_a_patch_that_shares_a_batch_with_one_in_view_is_in_view_with_its_other_batches() -> None:
    batches = [batch("B1"), batch("B2"), batch("B3")]
    patches = [patch("P1", "B1"), patch("P2", "B3"), patch("P3", "B1", "B2")]
    assert _names(near_view(pour(batches, patches), 1)) == (["P1", "P3"], ["B1", "B2"])
