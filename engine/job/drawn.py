"""Whether an outline, as drawn on paper, bounds one hole: its sides neither cross nor touch one another."""

from __future__ import annotations

import itertools
import math

from engine.job.outline import Outline, Point, sides

Side = tuple[Point, Point]
TOUCH_M = 1e-6  # no tape tells less


def without_return(outline: Outline) -> tuple[Point, ...]:
    """The corners once each: drawing may end where it began."""
    closed = len(outline) > 1 and math.dist(outline[0], outline[-1]) < TOUCH_M
    return tuple(outline[:-1] if closed else outline)


def is_simple(outline: Outline) -> bool:
    """Whether the closed line through the corners meets itself nowhere but at its corners, one after another."""
    drawn = list(sides(outline))
    if len(drawn) < 3 or any(math.dist(*side) < TOUCH_M for side in drawn):
        return False
    if any(_folds(side, after) for side, after in zip(drawn, [*drawn[1:], drawn[0]], strict=True)):
        return False
    apart = ((m, n) for m, n in itertools.combinations(range(len(drawn)), 2) if 1 < n - m < len(drawn) - 1)
    return not any(_meet(drawn[m], drawn[n]) for m, n in apart)


def _folds(side: Side, after: Side) -> bool:
    """Whether the line turns back onto the side it came by."""
    return _distance(after[1], side) < TOUCH_M or _distance(side[0], after) < TOUCH_M


def _meet(one: Side, other: Side) -> bool:
    ends = [(point, other) for point in one] + [(point, one) for point in other]
    return any(_distance(point, side) < TOUCH_M for point, side in ends) or _cross(one, other)


def _cross(one: Side, other: Side) -> bool:
    return _turn(one, other[0]) * _turn(one, other[1]) < 0 and _turn(other, one[0]) * _turn(other, one[1]) < 0


def _turn(side: Side, point: Point) -> float:
    (ax, ay), (bx, by) = side
    return (bx - ax) * (point[1] - ay) - (by - ay) * (point[0] - ax)


def _distance(point: Point, side: Side) -> float:
    """From a point to the nearest spot of a side that has a length."""
    (ax, ay), (bx, by) = side
    dx, dy = bx - ax, by - ay
    share = ((point[0] - ax) * dx + (point[1] - ay) * dy) / (dx * dx + dy * dy)
    share = min(1.0, max(0.0, share))
    return math.dist(point, (ax + share * dx, ay + share * dy))
