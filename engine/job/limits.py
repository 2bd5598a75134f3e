"""A reading against a published limit: a verdict in words, never a permission.

Every limit is a practice value, whose source stands with it; a verdict carries its key.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from engine.job.model import Practice

Word = Literal["within", "over", "under", "cannot tell"]
Sense = Literal["at most", "at least", "one in"]
ROUNDING = 1e-9  # a reading this close to a limit, as a share of it, is on it

# "one in": the practice value is the level length of a rise of one, so that 1:48 is compared as 1/48
LIMITS: dict[str, Sense] = {
    "surface.ramp_running": "one in",
    "surface.ramp_cross": "one in",
    "surface.walk_running": "one in",
    "surface.walk_cross": "one in",
    "surface.landing_slope": "one in",
    "surface.tread_slope": "one in",
    "surface.door_slope": "one in",
    "surface.counter_slope": "one in",
    "surface.bevel": "one in",
    "surface.existing_first": "one in",
    "surface.existing_second": "one in",
    "surface.existing_first_rise": "at most",
    "surface.existing_second_rise": "at most",
    "surface.upright_change": "at most",
    "surface.bevelled_change": "at most",
    "surface.threshold": "at most",
    "surface.run_rise": "at most",
    "surface.handrail_rise": "at most",
    "surface.clear_width": "at least",
    "surface.landing_length": "at least",
    "surface.edge_curb": "at least",
    "surface.straightedge_gap": "at most",
    "surface.least_riser": "at least",
    "surface.greatest_riser": "at most",
    "surface.least_tread": "at least",
    "surface.neighbour_difference": "at most",
    "surface.flight_difference": "at most",
    "surface.site_flight_difference": "at most",
    "surface.nosing_radius": "at most",
    "surface.nosing_projection": "at most",
}


@dataclass(frozen=True)
class Verdict:
    """What a reading says: value and limit in metres or as a ratio; `key` names the limit and its source."""

    word: Word
    value: float
    limit: float
    key: str


def check(key: str, value: float, practice: Practice, accuracy: float = 0.0) -> Verdict:
    """A reading that may be `accuracy` off either way; `cannot tell` where the limit lies within that."""
    limit = 1 / practice[key] if LIMITS[key] == "one in" else practice[key]
    low = LIMITS[key] == "at least"
    beyond, room = (limit - value if low else value - limit), limit * ROUNDING
    word: Word = "cannot tell"
    if beyond - accuracy > room:
        word = "under" if low else "over"
    elif beyond + accuracy <= room:
        word = "within"
    return Verdict(word, value, limit, key)
