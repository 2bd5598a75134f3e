"""The finished surface against the rules for it: slopes, lips, flatness, what was heard and felt.

Slopes are ratios, rise over level length. Figures and their sources: practice values under `surface.`.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal, get_args

from engine.job.limits import ROUNDING, Verdict, check
from engine.job.model import Pour, Practice, Use
from engine.job.slopes import Slope
from engine.words import Say, say

Direction = Literal["running", "cross"]
Sounding = Literal["clear", "hollow", "not sounded"]
WetFeel = Literal["grips", "slick", "not felt"]
CheckName = Literal[
    "running slope", "cross slope", "lip", "straightedge", "sounding", "wet feel", "risers", "treads"
]

SLOPE_KEYS: dict[tuple[Use, Direction], str] = {
    ("ramp", "running"): "surface.ramp_running",
    ("ramp", "cross"): "surface.ramp_cross",
    ("walk", "running"): "surface.walk_running",
    ("walk", "cross"): "surface.walk_cross",
    ("floor", "running"): "surface.walk_running",
    ("floor", "cross"): "surface.walk_cross",
    ("landing", "running"): "surface.landing_slope",
    ("landing", "cross"): "surface.landing_slope",
    ("step", "running"): "surface.tread_slope",
    ("step", "cross"): "surface.tread_slope",
}
_ANYWHERE: tuple[CheckName, ...] = ("lip", "straightedge", "sounding", "wet feel")
_SLOPES: tuple[CheckName, ...] = ("running slope", "cross slope")


@dataclass(frozen=True)
class Spot:
    """Where a slope was read, named as the crew names it."""

    name: str
    slope: Slope


@dataclass(frozen=True)
class SlopeRow:
    """One spot before and after the work. `past_aim`: over what is aimed at so that building still passes."""

    spot: str
    before: float | None
    after: Verdict
    past_aim: bool


@dataclass(frozen=True)
class Lip:
    """A change of level: its whole height, the part that stands upright, the level length of the bevel."""

    height_m: float
    upright_m: float
    bevel_run_m: float = 0.0


def checks_for(pour: Pour) -> tuple[CheckName, ...]:
    """What is read and felt on a pour before it is opened."""
    if pour.use == "step":
        return (*_SLOPES, "risers", "treads", *_ANYWHERE)
    return (*_SLOPES, *_ANYWHERE)


def slope_verdict(slope: Slope, use: Use, direction: Direction, practice: Practice) -> Verdict:
    """One reading against the limit of its use; which way it falls does not matter."""
    return check(SLOPE_KEYS[use, direction], abs(slope.ratio), practice, slope.accuracy)


def slope_table(
    before: Sequence[Spot], after: Sequence[Spot], use: Use, direction: Direction, practice: Practice
) -> tuple[SlopeRow, ...]:
    """Every spot read after the work, in that order, beside the same spot before it."""
    old = {spot.name: abs(spot.slope.ratio) for spot in before}
    return tuple(
        SlopeRow(
            spot=spot.name,
            before=old.get(spot.name),
            after=slope_verdict(spot.slope, use, direction, practice),
            past_aim=_past_aim(spot.slope, use, direction, practice),
        )
        for spot in after
    )


def _past_aim(slope: Slope, use: Use, direction: Direction, practice: Practice) -> bool:
    """The advice to build ramps flatter than the limit speaks of ramps only."""
    return use == "ramp" and abs(slope.ratio) > practice[f"surface.aim_{direction}"] * (1 + ROUNDING)


def worst(rows: Sequence[SlopeRow]) -> SlopeRow:
    """The steepest spot: a short break trips wheels though the mean passes. `ValueError` without rows."""
    return max(rows, key=lambda row: row.after.value)


def ramp_size_verdicts(
    rise_m: float, clear_width_m: float, landing_m: float, practice: Practice
) -> tuple[Verdict, ...]:
    """One run: its rise, whether that asks for handrails, the width between them, the landing's length."""
    return (
        check("surface.run_rise", rise_m, practice),
        check("surface.handrail_rise", rise_m, practice),
        check("surface.clear_width", clear_width_m, practice),
        check("surface.landing_length", landing_m, practice),
    )


def existing_site_note(ratio: float, rise_m: float, practice: Practice) -> Say | None:
    """What ADA table 405.2 says of a ramp over 1:12 where an existing site lacks space; never a verdict."""
    slope = abs(ratio)
    if check("surface.ramp_running", slope, practice).word == "within":
        return None
    for row in ("first", "second"):
        if check(f"surface.existing_{row}", slope, practice).word == "within":
            fits = check(f"surface.existing_{row}_rise", rise_m, practice).word == "within"
            return say(f"note.existing_{row}" if fits else "note.existing_rise")
    return say("note.existing_none")


def lip_verdict(lip: Lip, practice: Practice, accuracy_m: float = 0.0) -> Verdict:
    """ADA 303: a quarter inch may stand upright; up to half an inch in all the rest is bevelled 1:2."""
    whole = check("surface.upright_change", lip.height_m, practice, accuracy_m)
    if whole.word == "within":
        return whole
    tall = check("surface.bevelled_change", lip.height_m, practice, accuracy_m)
    upright = check("surface.upright_change", lip.upright_m, practice, accuracy_m)
    return next((v for v in (tall, upright) if v.word != "within"), None) or _bevel(lip, practice, accuracy_m)


def _bevel(lip: Lip, practice: Practice, accuracy_m: float) -> Verdict:
    bevelled_m = lip.height_m - lip.upright_m
    if bevelled_m > 0 and lip.bevel_run_m <= 0:
        raise ValueError("a lip that is not all upright needs the level length of its bevel")
    steepness = bevelled_m / lip.bevel_run_m if bevelled_m > 0 else 0.0
    accuracy = accuracy_m / lip.bevel_run_m if bevelled_m > 0 else 0.0
    return check("surface.bevel", steepness, practice, accuracy)


def straightedge_verdict(gap_m: float, practice: Practice, accuracy_m: float = 0.0) -> Verdict:
    """The widest gap under a straightedge laid over the patch and what is beside it."""
    return check("surface.straightedge_gap", gap_m, practice, accuracy_m)


def recorded(name: CheckName, word: str) -> str:
    """A sounding or wet feel as a recorded word. Raises `ValueError` naming the words that are known."""
    known = {"sounding": get_args(Sounding), "wet feel": get_args(WetFeel)}
    if name not in known:
        raise ValueError(f"{name} is measured, not recorded as a word")
    if word not in known[name]:
        raise ValueError(f"{name}: {word!r:.40} given, one of {', '.join(known[name])} is needed")
    return word
