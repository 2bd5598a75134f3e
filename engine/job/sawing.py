"""Where to saw and how deep to take out: round the bad concrete, square, and never into steel.

Figures and their sources: practice values under `geometry.`. Agencies print several; a job may take its own.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from engine.job.lifts import GRAIN
from engine.job.model import Practice

EndsAt = Literal["setting", "hole", "steel"]


@dataclass(frozen=True)
class SawCut:
    """The rectangle to saw, the depth of the cut and what decides it; `run_m` is the whole length of cut.

    `shorter_than_stone`: the edge would be thinner than the largest stone, which breaks out of it.
    """

    length_m: float
    width_m: float
    depth_m: float
    run_m: float
    ends_at: EndsAt
    shorter_than_stone: bool


def removal_depth_m(bad_m: float, practice: Practice) -> float:
    """How deep to take out where the concrete is bad down to `bad_m`: so far into sound, and no less than the least."""
    return max(practice["geometry.least_removal"], bad_m + practice["geometry.into_sound"])


def saw_cut(
    bad_m: tuple[float, float],
    hole_m: float,
    practice: Practice,
    stone_m: float = 0.0,
    cover_m: float | None = None,
) -> SawCut:
    """The cut round bad concrete `bad_m` long and wide, for a hole that is to be `hole_m` deep.

    `stone_m` is the largest stone of the mix, `cover_m` the concrete over the highest bar; None: none found.
    Raises `ValueError` where a size is not above nothing.
    """
    if min(*bad_m, hole_m) <= 0.0:
        raise ValueError(
            "a saw cut needs the length, width and depth of the bad concrete, each above nothing"
        )
    length_m, width_m = (side + 2 * practice["geometry.saw_beyond"] for side in bad_m)
    depth_m, ends_at = _depth(max(practice["geometry.saw_depth"], stone_m), hole_m, cover_m)
    return SawCut(
        length_m=length_m,
        width_m=width_m,
        depth_m=depth_m,
        run_m=2 * (length_m + width_m),
        ends_at=ends_at,
        shorter_than_stone=depth_m < stone_m * (1 - GRAIN),
    )


def _depth(wanted_m: float, hole_m: float, cover_m: float | None) -> tuple[float, EndsAt]:
    """No deeper than the hole, which a deeper kerf would weaken, and no deeper than the concrete over the steel."""
    if cover_m is not None and cover_m < min(wanted_m, hole_m):
        return max(cover_m, 0.0), "steel"
    return (hole_m, "hole") if hole_m < wanted_m else (wanted_m, "setting")
