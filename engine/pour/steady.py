"""Until when a view of the live screen stays as it is, but for its running countdowns."""

from __future__ import annotations

from collections.abc import Iterator

from engine.pour.views import LiveView, Row

STEADY_S = 5.0  # temperatures, spreads and ages on it are at most so old


def steady_until(view: LiveView) -> float:
    """The next moment at which a window, a task, the call or a promise turns; a few seconds at most."""
    return min((at for at in _turns(view) if at > view.at), default=view.at + STEADY_S)


def _turns(view: LiveView) -> Iterator[float]:
    yield view.at + STEADY_S
    moments: list[float | None] = [view.call.at, view.call.latest, view.quiet_until]
    for row in view.rows:
        moments += _of_row(row)
    for person in view.crew:
        moments += [at for task in person.ahead[:2] for at in (task.start, task.end)]
    for pour in view.queue:
        moments += [pour.start, pour.edge_until, pour.wet_next, pour.feet, pour.wheels]
    for promised in view.last_calls:
        moments += [promised.latest, promised.decide_by]
    yield from (at for at in moments if at is not None)


def _of_row(row: Row) -> list[float | None]:
    window = row.window
    turns = [window.open, window.due, window.late, window.lost] if window else []
    return [row.until, row.workable_until, *turns]
