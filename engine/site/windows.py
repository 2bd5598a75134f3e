"""When a batch's passes may start, are due, late and lost; until when it works, when it sets, when it opens.

Times are epoch seconds; a limit that is not reached within the reckoned days is infinite.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

from engine.mix.card import MixCard, Window
from engine.site.trajectory import Trajectory

State = Literal["early", "open", "due", "late", "lost"]


@dataclass(frozen=True)
class WindowTimes:
    """The window of a pass on the clock."""

    open: float
    due: float
    late: float
    lost: float


def pass_times(
    card: MixCard, pass_names: Sequence[str], trajectory: Trajectory, tip_at: float, strike_off_s: float
) -> tuple[tuple[str, WindowTimes], ...]:
    """The window of each pass asked for: "float", "first_trowel", "second_trowel" or "broom".

    Raises `ValueError` for a pass the card has no window for.
    """
    return tuple((name, _pass_times(card, name, trajectory, tip_at, strike_off_s)) for name in pass_names)


def _pass_times(
    card: MixCard, name: str, trajectory: Trajectory, tip_at: float, strike_off_s: float
) -> WindowTimes:
    if name == "float" and card.passes.float is None:
        trowel = _window(card.passes.first_trowel, trajectory)
        return WindowTimes(tip_at, tip_at + strike_off_s, trowel.due, trowel.late)
    windows = {
        "float": card.passes.float,
        "first_trowel": card.passes.first_trowel,
        "second_trowel": card.passes.second_trowel,
        "broom": card.passes.broom,
    }
    window = windows.get(name)
    if window is None:
        raise ValueError(f"the card {card.key} has no window for the pass {name}")
    return _window(window, trajectory)


def _window(window: Window, trajectory: Trajectory) -> WindowTimes:
    ages = (window.open_s, window.due_s, window.late_s, window.lost_s)
    return WindowTimes(*(_reached(trajectory, age) for age in ages))


def _reached(trajectory: Trajectory, age_s: float) -> float:
    at = trajectory.time_of(age_s)
    return math.inf if at is None else at


def workable_until(trajectory: Trajectory, card: MixCard) -> float:
    """When the batch stops being workable."""
    return _reached(trajectory, card.workable_s)


def set_times(trajectory: Trajectory, card: MixCard) -> tuple[float, float]:
    """Initial and final set."""
    setting = card.setting
    return _reached(trajectory, setting.initial_set_s), _reached(trajectory, setting.final_set_s)


def opening(trajectory: Trajectory, tip_at: float, label_s: float) -> float | None:
    """When a batch opens: the label's time from the tip, and not before set age has reached the label's time.

    None where that age is not reached within the reckoned days.
    """
    at = trajectory.time_of(label_s)
    return None if at is None else max(at, tip_at + label_s)


def window_state(times: WindowTimes, now: float) -> State:
    """Where a window stands; a boundary belongs to the state it begins."""
    if now >= times.lost:
        return "lost"
    if now >= times.late:
        return "late"
    if now >= times.due:
        return "due"
    return "open" if now >= times.open else "early"
