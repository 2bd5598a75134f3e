"""What the shape and depth of a hole call for: short flags, each with its sentence. None stops a plan.

Figures come from the practice values under `geometry.` and name their sources there.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from engine.job import outline
from engine.job.lifts import GRAIN, stone_fits
from engine.job.model import Pour, Practice
from engine.mix.card import MixCard
from engine.units import show_length
from engine.words import Say, say

BROOMED_USES = ("ramp", "landing", "step")


@dataclass(frozen=True)
class Flag:
    """A short word for the list and the sentence behind it."""

    word: str
    caution: Say


@dataclass(frozen=True)
class Hole:
    """A pour with the card and lifts that fill it."""

    pour: Pour
    card: MixCard
    lifts: int

    @property
    def shallowest_m(self) -> float:
        return min(self.pour.depths_m)

    @property
    def deepest_m(self) -> float:
        return max(self.pour.depths_m)


def plan_size_m(pour: Pour) -> tuple[float, float] | None:
    """Length and width, the longer first; `None` where only an area is known."""
    if pour.outline_m:
        return outline.size_m(pour.outline_m)
    if pour.length_m is None or pour.width_m is None:
        return None
    return max(pour.length_m, pour.width_m), min(pour.length_m, pour.width_m)


def hole_flags(hole: Hole, practice: Practice) -> tuple[Flag, ...]:
    """Every flag of one hole: depth first, then what carries and what lies in it, then shape, then finish."""
    words = (
        *_depth_words(hole, practice),
        *structure_words(hole.pour, practice),
        *_shape_words(hole, practice),
        *_finish_words(hole.pour),
    )
    limits = {
        "gap": shown_twice(practice["geometry.bar_gap"]),
        "shape": f"{practice['geometry.longest_shape']:g}",
        "part": f"1/{practice['geometry.slab_part']:g}",
    }
    return tuple(
        _flag(word, pour=hole.pour.id, mix=hole.card.name, lifts=hole.lifts, **limits) for word in words
    )


def shown_twice(length_m: float) -> str:
    """A length in inches with the millimetres behind it."""
    return f"{show_length(length_m, 'us')} ({show_length(length_m, 'metric')})"


def _flag(word: str, **values: object) -> Flag:
    return Flag(word, say(f"caution.{word.replace(' ', '_')}", **values))


def _depth_words(hole: Hole, practice: Practice) -> Iterator[str]:
    yield from _thin_words(hole, practice)
    if not stone_fits(hole.pour, hole.card, practice["geometry.stone_part"]):
        yield "large stone"
    yield from _stone_words(hole, practice)
    if hole.lifts > 1:
        yield "lifts"


def _stone_words(hole: Hole, practice: Practice) -> Iterator[str]:
    """Stones larger than spalls are advised to have, and thick work without any."""
    if _over(hole.card.depth.largest_stone_m or 0.0, practice["geometry.largest_stone"]):
        yield "coarse stone"
    if hole.card.kind != "small stone" and _over(
        hole.deepest_m / hole.lifts, practice["geometry.stone_over"]
    ):
        yield "no stone"


def structure_words(pour: Pour, practice: Practice) -> Iterator[str]:
    """What asks for an engineer before anything is filled, and a bar that is to be freed all round."""
    if pour.slab_m is not None and _over(max(pour.depths_m) * practice["geometry.slab_part"], pour.slab_m):
        yield "deep in slab"
    if pour.carried == "suspended":
        yield "suspended"
    if pour.steel_bare is not None:
        yield "steel showing"
        if _over(pour.steel_bare, practice["geometry.bar_bare"]):
            yield "bar not free"


def _thin_words(hole: Hole, practice: Practice) -> Iterator[str]:
    """Against the label, against nothing at all, and against the agency's removal depth."""
    too_thin = _under(hole.shallowest_m / hole.lifts, hole.card.depth.min_m)
    if too_thin:
        yield "too thin"
    feather_m = max(practice["geometry.feather_depth"], hole.card.depth.largest_stone_m or 0.0)
    if _under(hole.shallowest_m, feather_m):
        yield "feather edge"
    if not too_thin and _under(hole.shallowest_m, practice["geometry.least_removal"]):
        yield "shallow"


def _shape_words(hole: Hole, practice: Practice) -> Iterator[str]:
    size = plan_size_m(hole.pour)
    if size is not None:
        yield from _size_words(*size, hole.pour.mean_depth_m, practice)
    if hole.pour.outline_m:
        least_deg = practice["geometry.least_corner_deg"] - practice["geometry.corner_slack_deg"]
        if outline.sharpest_corner_deg(hole.pour.outline_m) < least_deg:
            yield "sharp corner"


def _size_words(length_m: float, width_m: float, depth_m: float, practice: Practice) -> Iterator[str]:
    def smaller(length: str, width: str) -> tuple[bool, bool]:
        return _under(length_m, practice[length]), _under(width_m, practice[width])

    if all(smaller("geometry.leave_length", "geometry.leave_width")):
        yield "leave alone"
    elif any(smaller("geometry.least_length", "geometry.least_width")):
        yield "too small"
    elif any(smaller("geometry.least_side", "geometry.least_side")):
        yield "narrow side"
    if _under(width_m * practice["geometry.longest_shape"], length_m):
        yield "long and thin"
    if _under(width_m, depth_m * practice["geometry.depths_across"]):
        yield "narrow for its depth"


def _finish_words(pour: Pour) -> Iterator[str]:
    if pour.use in BROOMED_USES and pour.finish == "trowel":
        yield "trowelled ramp"


def merge_flags(pour: Pour, others: Sequence[Pour], practice: Practice) -> tuple[Flag, ...]:
    """A flag naming the neighbours to be joined with this pour; only outlines drawn from one corner tell."""
    near = [other.id for other in others if other.id != pour.id and _near(pour, other, practice)]
    return (_flag("merge", pour=pour.id, others=", ".join(near)),) if near else ()


def _near(pour: Pour, other: Pour, practice: Practice) -> bool:
    if not (pour.outline_m and other.outline_m):
        return False
    gap_m = outline.gap_m(pour.outline_m, other.outline_m)
    return gap_m is not None and _under(gap_m, practice["geometry.merge_gap"])


def _under(value: float, limit: float) -> bool:
    """Under a limit, with a reading exactly on it let through whatever the units it was given in."""
    return value < limit * (1 - GRAIN)


def _over(value: float, limit: float) -> bool:
    """Over a limit, let through alike."""
    return value > limit * (1 + GRAIN)
