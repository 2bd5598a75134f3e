"""Every pass of a batch on both clocks: ours from water contact, and the habit of the trade from the pass before."""

from __future__ import annotations

from typing import Any

from engine.pour.events import StrokeName
from engine.pour.reckoning import Moment
from engine.pour.stages import strokes_in_order
from engine.pour.state import Batch, Stroke
from engine.pour.times import iso
from engine.site.windows import WindowTimes, window_state


def stroke_tables(moment: Moment, batch: Batch) -> list[dict[str, Any]]:
    """One row a pass in the order of the work, as plain JSON values; none for a batch that is not in its pour."""
    if batch.tipped_at is None or not batch.live:
        return []
    windows = moment.windows(batch)
    return [_pass(moment, batch, name, windows.get(name)) for name in strokes_in_order(moment, batch)]


def _pass(moment: Moment, batch: Batch, name: StrokeName, window: WindowTimes | None) -> dict[str, Any]:
    stroke = batch.stroke(name)
    before, before_at = _before(moment, batch, name, stroke)
    return {
        "pass": name,
        "done": iso(stroke.at) if stroke else None,
        "who": stroke.who if stroke else None,
        "skipped": name in batch.skipped,
        "window": _window(window),
        "state": window_state(window, stroke.at if stroke else moment.at) if window else None,
        "outside_s": _outside_s(window, stroke),
        "age_from_water_s": stroke.at - batch.water_at if stroke else None,
        "set_age_min": moment.trajectory(batch).age_at(stroke.at) / 60.0 if stroke else None,
        "gap_from": before,
        "gap_s": stroke.at - before_at if stroke else None,
        "due_age_from_water_s": _from(window, batch.water_at),
        "due_gap_s": _from(window, before_at),
    }


def _before(moment: Moment, batch: Batch, name: StrokeName, stroke: Stroke | None) -> tuple[str, float]:
    """The last thing stamped before a pass: the tip, or a pass that comes before it; the edger counts for nobody."""
    ahead = [one for one in strokes_in_order(moment, batch) if one not in ("edge", name)]
    order = strokes_in_order(moment, batch)
    earlier = {one for one in ahead if order.index(one) < order.index(name)}
    until = stroke.at if stroke else moment.at
    stamped = [("tip", batch.tipped_at or until)]
    stamped += [(one.name, one.at) for one in batch.strokes if one.name in earlier and one.at <= until]
    return max(stamped, key=lambda one: one[1])


def _window(window: WindowTimes | None) -> dict[str, Any] | None:
    if window is None:
        return None
    return {name: iso(getattr(window, name)) for name in ("open", "due", "late", "lost")}


def _outside_s(window: WindowTimes | None, stroke: Stroke | None) -> float | None:
    """Seconds before the window (negative) or after it; 0 inside."""
    if window is None or stroke is None:
        return None
    return min(0.0, stroke.at - window.open) + max(0.0, stroke.at - window.late)


def _from(window: WindowTimes | None, at: float) -> float | None:
    due = iso(window.due) if window else None
    return window.due - at if window and due else None
