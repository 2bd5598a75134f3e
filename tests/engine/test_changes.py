"""Change orders."""

from __future__ import annotations

import pytest
from measured_jobs import IN, PRACTICE, card, job, rectangle

from engine.job.changes import BagChange, ChangeOrder, bag_changes, change_order, price_of
from engine.job.takeoff import pour_takeoff
from engine.plain import from_plain, to_plain

HOLE = rectangle("P4", 36, 24, [2, 2, 2], mix="small-stone")
JOB = job([HOLE], [card(yield_ft3=0.6)])


def order(depths_in: list[float], **rest: object) -> ChangeOrder:
    fields: dict[str, object] = {"reason": "bad concrete went deeper", "price": 90.0, "at": 1000.0, **rest}
    return change_order(JOB, "P4", [depth * IN for depth in depths_in], **fields)  # type: ignore[arg-type]


def test_the_bags_more_are_those_of_the_take_off() -> None:
    """6 ft² from 2 to 3 in. with 0.60 ft³ bags and 8 % waste: 1.80 and 2.70 bags, so 2 and 3."""
    found = order([3, 3, 3], initials="JR")
    assert found.bags == (BagChange("small-stone", 2, 3),)
    assert found.extra_bags == 1
    assert (found.depths_before_m, found.depths_after_m) == ((2 * IN,) * 3, (3 * IN,) * 3)
    assert (found.pour, found.price, found.initials, found.at) == ("P4", 90.0, "JR", 1000.0)
    assert found.agreed


def test_a_deeper_hole_may_take_no_bag_more_and_a_shallower_one_fewer() -> None:
    assert order([2, 2, 2.4]).extra_bags == 0
    assert order([1.5, 1.5, 1.5], price=-20.0).extra_bags == 0
    assert order([1, 1, 1.2]).extra_bags == -1


def test_where_another_mix_is_needed_both_stand_in_the_order() -> None:
    fine = card("fine", "no aggregate", 0.25, 1.0, yield_ft3=0.4)
    coarse = card("small-stone", yield_ft3=0.6)
    free = rectangle("P4", 36, 24, [0.75, 0.75])
    of = job([free], [fine, coarse])
    found = change_order(of, "P4", [2 * IN, 2 * IN], "deeper than it looked", 10.0, 0.0)
    before = pour_takeoff(free, of)
    assert before.mix == "fine"
    assert found.bags == (BagChange("fine", before.bags, 0), BagChange("small-stone", 0, 2))
    assert found.extra_bags == 2 - before.bags


def test_an_order_without_initials_is_not_agreed() -> None:
    assert not order([3, 3, 3]).agreed
    assert not order([3, 3, 3], initials="  ").agreed


def test_the_price_by_the_bag() -> None:
    assert price_of((BagChange("small-stone", 2, 5),), 45.0) == 135.0
    assert price_of((BagChange("small-stone", 5, 4),), 45.0) == -45.0
    assert price_of(bag_changes(pour_takeoff(HOLE, JOB), pour_takeoff(HOLE, JOB)), 45.0) == 0.0


@pytest.mark.parametrize(
    ("depths_in", "changes"),
    [
        ([], {}),
        ([2.0, 0.0], {}),
        ([2.0, -1.0], {}),
        ([2.0], {"reason": " "}),
        ([2.0], {"price": float("nan")}),
        ([2.0], {"price": float("inf")}),
    ],
)
def test_an_order_that_says_too_little_is_refused(depths_in: list[float], changes: dict[str, object]) -> None:
    with pytest.raises(ValueError, match="change"):
        order(depths_in, **changes)


def test_a_pour_the_job_has_not_is_refused() -> None:
    with pytest.raises(KeyError):
        change_order(JOB, "P9", [2 * IN], "deeper", 0.0, 0.0)


def test_an_order_is_kept_as_plain_values() -> None:
    found = order([3, 3, 3], initials="JR")
    assert from_plain(ChangeOrder, to_plain(found)) == found
    assert PRACTICE["takeoff.waste_sawn"] == 0.08
