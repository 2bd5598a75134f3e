"""Would everything promised so far still hold its windows? A short run of the committed work alone."""

from __future__ import annotations

from math import inf

from engine.plan.state import Late, State


def run_committed(state: State, stop_above_s: float = inf) -> float:
    """Carries the committed work through, most urgent first; seconds late in all, or more than `stop_above_s`.

    Committed are the open stages and the remaining batches of started patches. Changes `state`: mark it before.
    """
    while state.late_s <= stop_above_s and state.step():
        pass
    return state.late_s


def late_ahead(state: State, stop_above_s: float = inf) -> tuple[float, Late | None]:
    """The same with the first thing late, leaving the state as it was."""
    mark = state.mark()
    late_s = run_committed(state, stop_above_s)
    first = state.first_late
    state.back_to(mark)
    return late_s, first
