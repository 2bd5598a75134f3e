"""Where each batch and pour stands: stage, the step that comes next, whole or strips, state of a pour."""

from __future__ import annotations

from engine.job.model import Pour
from engine.pour.events import StrokeName
from engine.pour.needs import bags_left
from engine.pour.reckoning import Moment
from engine.pour.state import Batch
from engine.site.windows import WindowTimes

STAGE_AFTER: dict[str, str] = {
    "float": "floated",
    "first_trowel": "first trowel",
    "second_trowel": "second trowel",
    "broom": "broomed",
    "edge": "edged",
}


def strokes_in_order(moment: Moment, batch: Batch) -> tuple[StrokeName, ...]:
    """What is done to a batch once it is tipped.

    A broomed pour is edged before the broom of its last batch, a trowelled one after its last pass.
    """
    passes: list[StrokeName] = [*moment.passes(batch)]  # type: ignore[list-item]
    if moment.job.times.edge_s is not None and moment.lift(batch) == moment.takeoffs[batch.pour].lifts - 1:
        last = batch.id == moment.day.batches_of(batch.pour)[-1].id if batch.live else True
        passes.insert(len(passes) - 1 if passes[-1] == "broom" and last else len(passes), "edge")
    return tuple(passes)


def next_stroke(moment: Moment, batch: Batch) -> StrokeName | None:
    """The first stroke that is neither stamped nor given up; None when all are, or the batch is not tipped."""
    if batch.tipped_at is None or not batch.live:
        return None
    return next((name for name in strokes_in_order(moment, batch) if not batch.settled(name)), None)


def next_pass(moment: Moment, batch: Batch) -> str | None:
    """The next pass with a window of its own, the edge left aside."""
    if batch.tipped_at is None or not batch.live:
        return None
    return next((name for name in moment.passes(batch) if not batch.settled(name)), None)  # type: ignore[arg-type]


def stage(moment: Moment, batch: Batch) -> str:
    """`mixing`, `mixed`, `tipped`, the last stroke, `curing` or `lost`."""
    if not batch.live:
        return "lost"
    if batch.tipped_at is None:
        return "mixing" if batch.mixed_at is None else "mixed"
    if next_stroke(moment, batch) is None:
        return "curing"
    if not batch.strokes:
        return "tipped"
    return STAGE_AFTER[max(batch.strokes, key=lambda stroke: (stroke.at, stroke.seq)).name]


def pour_state(moment: Moment, pour: Pour) -> str:
    """`queued`, `placing`, `finishing`, `curing`, `open` or `later visit`."""
    day = moment.day
    if any(opening.pour == pour.id for opening in day.opened):
        return "open"
    batches = day.batches_of(pour.id)
    if not batches:
        return "later visit" if pour.visit > 1 or pour.id in day.left else "queued"
    if bags_left(moment, pour) > 0 or any(batch.tipped_at is None for batch in batches):
        return "placing"
    return "curing" if all(next_stroke(moment, batch) is None for batch in batches) else "finishing"


def combined(moment: Moment, batches: tuple[Batch, ...]) -> dict[str, WindowTimes]:
    """For each pass the window all batches share: latest opening to earliest closing. May be empty (late < open)."""
    top = [batch for batch in batches if moment.lift(batch) == moment.takeoffs[batch.pour].lifts - 1]
    each = [windows for batch in top or batches if (windows := moment.windows(batch))]
    if not each:
        return {}
    return {name: _shared([windows[name] for windows in each]) for name in each[0]}


def _shared(windows: list[WindowTimes]) -> WindowTimes:
    opens, late = max(w.open for w in windows), min(w.late for w in windows)
    due = max(opens, min(w.due for w in windows))
    return WindowTimes(opens, due, late, min(w.lost for w in windows))


def finish_in(moment: Moment, pour: Pour) -> str:
    """`strips` where some pass has no window that all batches of the pour share, else `whole`."""
    batches = moment.day.batches_of(pour.id)
    shared = combined(moment, batches)
    return "strips" if any(window.late < window.open for window in shared.values()) else "whole"
