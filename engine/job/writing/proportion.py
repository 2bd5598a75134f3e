"""When the passes of a mix are due that nobody has timed: along its own stiffening, in the proportion of a known card."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import fields
from itertools import pairwise
from typing import Any

from engine.mix.card import MixCard, Window

STEP_S = 5.0  # no finer than anybody reads a watch
PASS_NAMES = ("float", "first_trowel", "second_trowel", "broom")


def scaled(age_s: float, known: Sequence[float], own: Sequence[float]) -> float:
    """An age of the known card on one's own clock: straight lines between ages that mean the same on both.

    Both rise from 0; past the last the last slope goes on. Seconds, to the nearest `STEP_S`.
    """
    spans = list(zip(pairwise(known), pairwise(own), strict=True))
    (low, high), (own_low, own_high) = next((span for span in spans if age_s <= span[0][1]), spans[-1])
    share = (age_s - low) / (high - low)
    return round((own_low + share * (own_high - own_low)) / STEP_S) * STEP_S


def stages(workable_s: float, initial_s: float, final_s: float) -> tuple[float, ...]:
    """Ages that mean the same on every card: water, end of working, initial and final set."""
    return (0.0, workable_s, initial_s, final_s)


def passes_table(known: MixCard, own: Sequence[float]) -> dict[str, Any]:
    """The windows of a card's passes for a mix with stages of its own, as a card's table."""
    setting = known.setting
    base = stages(known.workable_s, setting.initial_set_s, setting.final_set_s)
    return {
        name: _window(window, base, own)
        for name in PASS_NAMES
        if (window := getattr(known.passes, name)) is not None
    }


def _window(window: Window, known: Sequence[float], own: Sequence[float]) -> dict[str, str]:
    return {
        field.name.removesuffix("_s"): duration(scaled(getattr(window, field.name), known, own))
        for field in fields(window)
    }


def duration(seconds: float) -> str:
    """Whole seconds as a card writes them: `4 min 45 s`, `2 h`."""
    minutes, rest = divmod(round(seconds), 60)
    hours, minutes = divmod(minutes, 60)
    parts = [(hours, "h"), (minutes, "min"), (rest, "s")]
    return " ".join(f"{count} {unit}" for count, unit in parts if count) or "0 s"
