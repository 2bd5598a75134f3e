"""Plane geometry of a drawn outline: its size, its sharpest corner, its distance to another."""

from __future__ import annotations

import itertools
import math
from collections.abc import Iterator, Sequence

Point = tuple[float, float]
Outline = Sequence[Point]


def sides(outline: Outline) -> Iterator[tuple[Point, Point]]:
    """The sides in order, the closing one last."""
    return zip(outline, [*outline[1:], outline[0]], strict=True)


def area_m2(outline: Outline) -> float:
    """Area by the surveyor's formula, whichever way round the corners go."""
    return abs(sum(x1 * y2 - x2 * y1 for (x1, y1), (x2, y2) in sides(outline))) / 2


def size_m(outline: Outline) -> tuple[float, float]:
    """Length and width of the narrowest rectangle round the outline; one of its sides lies along a side."""
    boxes = [_box(outline, a, b) for a, b in itertools.combinations(outline, 2) if a != b]
    width, length = min((min(box), max(box)) for box in boxes)
    return length, width


def _box(outline: Outline, a: Point, b: Point) -> tuple[float, float]:
    """Extents along and across the line from a to b."""
    along = math.dist(a, b)
    ux, uy = (b[0] - a[0]) / along, (b[1] - a[1]) / along
    forth = [x * ux + y * uy for x, y in outline]
    across = [y * ux - x * uy for x, y in outline]
    return max(forth) - min(forth), max(across) - min(across)


def sharpest_corner_deg(outline: Outline) -> float:
    """Smallest inner angle, degrees; an inward corner counts with its full angle over 180."""
    turn = 1.0 if sum(x1 * y2 - x2 * y1 for (x1, y1), (x2, y2) in sides(outline)) > 0 else -1.0
    before = [outline[-1], *outline[:-1]]
    after = [*outline[1:], outline[0]]
    return min(_inner_deg(a, b, c, turn) for a, b, c in zip(before, outline, after, strict=True))


def _inner_deg(a: Point, b: Point, c: Point, turn: float) -> float:
    (ax, ay), (cx, cy) = (a[0] - b[0], a[1] - b[1]), (c[0] - b[0], c[1] - b[1])
    angle = math.degrees(math.atan2(turn * (cx * ay - cy * ax), ax * cx + ay * cy))
    return angle if angle >= 0 else angle + 360


def gap_m(one: Outline, other: Outline) -> float | None:
    """Clear distance between two outlines; `None` where one lies over the other.

    Two holes cannot overlap, so outlines that do were drawn from different corners and have no distance.
    """
    if _overlap(one, other):
        return None
    corners = [(p, s) for p in one for s in sides(other)] + [(p, s) for p in other for s in sides(one)]
    return min(_distance(point, side) for point, side in corners)


def _distance(point: Point, side: tuple[Point, Point]) -> float:
    """From a point to the nearest spot of a side."""
    (ax, ay), (bx, by) = side
    dx, dy = bx - ax, by - ay
    length2 = dx * dx + dy * dy
    share = 0.0 if length2 == 0 else ((point[0] - ax) * dx + (point[1] - ay) * dy) / length2
    share = min(1.0, max(0.0, share))
    return math.dist(point, (ax + share * dx, ay + share * dy))


def _overlap(one: Outline, other: Outline) -> bool:
    crossed = any(_cross(s, t) for s in sides(one) for t in sides(other))
    return crossed or _reaches_into(one, other) or _reaches_into(other, one)


def _cross(s: tuple[Point, Point], t: tuple[Point, Point]) -> bool:
    return _between(s, t[0], t[1]) and _between(t, s[0], s[1])


def _between(side: tuple[Point, Point], p: Point, q: Point) -> bool:
    """Whether p and q lie strictly on opposite sides of the line through a side."""
    return _turn(side, p) * _turn(side, q) < 0


def _turn(side: tuple[Point, Point], p: Point) -> float:
    (ax, ay), (bx, by) = side
    return (bx - ax) * (p[1] - ay) - (by - ay) * (p[0] - ax)


def _reaches_into(one: Outline, other: Outline) -> bool:
    """Whether a corner, the middle of a side or the mean corner of one lies well inside the other."""
    mean = (sum(x for x, _ in one) / len(one), sum(y for _, y in one) / len(one))
    middles = [((ax + bx) / 2, (ay + by) / 2) for (ax, ay), (bx, by) in sides(one)]
    return any(_inside(point, other) for point in (*one, *middles, mean))


def _inside(point: Point, outline: Outline) -> bool:
    """Whether a point lies inside and not on the edge, by counting the sides to its right."""
    if min(_distance(point, side) for side in sides(outline)) < 1e-9:
        return False
    x, y = point
    right = [
        side for side in sides(outline) if (side[0][1] > y) != (side[1][1] > y) and _crosses_right(side, x, y)
    ]
    return len(right) % 2 == 1


def _crosses_right(side: tuple[Point, Point], x: float, y: float) -> bool:
    (ax, ay), (bx, by) = side
    return x < ax + (y - ay) * (bx - ax) / (by - ay)
