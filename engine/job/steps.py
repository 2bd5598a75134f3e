"""A flight of steps after repair: every riser and tread, and how alike they are."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise

from engine.job.limits import Verdict, check
from engine.job.model import Practice


def riser_verdicts(
    risers_m: Sequence[float], practice: Practice, accuracy_m: float = 0.0
) -> tuple[Verdict, ...]:
    """Each riser against its least and its greatest height; the one it breaks or the greatest."""
    return tuple(_riser(riser_m, practice, accuracy_m) for riser_m in risers_m)


def _riser(riser_m: float, practice: Practice, accuracy_m: float) -> Verdict:
    low = check("surface.least_riser", riser_m, practice, accuracy_m)
    high = check("surface.greatest_riser", riser_m, practice, accuracy_m)
    return low if low.word != "within" else high


def tread_verdicts(
    treads_m: Sequence[float], practice: Practice, accuracy_m: float = 0.0
) -> tuple[Verdict, ...]:
    """Each tread against its least depth."""
    return tuple(check("surface.least_tread", tread_m, practice, accuracy_m) for tread_m in treads_m)


def neighbour_verdict(sizes_m: Sequence[float], practice: Practice, accuracy_m: float = 0.0) -> Verdict:
    """The greatest difference between neighbouring risers or treads; two readings, twice the accuracy."""
    difference_m = max((abs(b - a) for a, b in pairwise(sizes_m)), default=0.0)
    return check("surface.neighbour_difference", difference_m, practice, 2 * accuracy_m)


def flight_verdict(
    sizes_m: Sequence[float], practice: Practice, accuracy_m: float = 0.0, in_use_by_crews: bool = False
) -> Verdict:
    """The greatest difference within the flight; two readings, twice the accuracy.

    A flight that building crews use while they work has a narrower limit of its own.
    """
    key = "surface.site_flight_difference" if in_use_by_crews else "surface.flight_difference"
    difference_m = max(sizes_m, default=0.0) - min(sizes_m, default=0.0)
    return check(key, difference_m, practice, 2 * accuracy_m)


def nosing_verdicts(radius_m: float, projection_m: float, practice: Practice) -> tuple[Verdict, Verdict]:
    """The rounding of the edge, and how far it stands out over the tread below."""
    return (
        check("surface.nosing_radius", radius_m, practice),
        check("surface.nosing_projection", projection_m, practice),
    )
