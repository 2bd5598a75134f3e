"""What is begun when a plan starts: stamped and expected times noted, the stages that follow on them opened."""

from __future__ import annotations

from math import inf
from typing import TYPE_CHECKING

from engine.plan.work import NOBODY

if TYPE_CHECKING:
    from engine.plan.state import State


def note_facts(state: State) -> None:
    """Puts the facts of the problem into a fresh state and counts what is left of each patch some other waits for."""
    work = state.work
    for task, fact in work.fact.items():
        state.start[task], state.end[task], state.who[task] = fact.start_s, fact.end_s, fact.person
    count = len(work.places_of_patch)
    state.places_left, state.passes_left = [0] * count, [0] * count
    state.placed_s, state.finished_s = [-inf] * count, [-inf] * count
    for number, row in enumerate(work.places_of_patch):
        if work.watched[number]:
            passes = [task for job in work.jobs_of_patch[number] for task in work.passes_of_job[job]]
            state.places_left[number] = sum(state.end[task] is None for task in row)
            state.passes_left[number] = sum(_is_to_come(state, task) for task in passes)
            state.placed_s[number] = state.latest_end(row)
            state.finished_s[number] = state.latest_end(row + passes)


def _is_to_come(state: State, task: int) -> bool:
    return state.end[task] is None and task not in state.work.given_up


def open_what_is_begun(state: State) -> None:
    """Opens the stages that follow on facts: shares of called batches, next batches of begun patches, passes."""
    work = state.work
    for row in work.places_of_patch:
        begun = any(state.call[work.batch[task]] is not None for task in row)
        coming = next((task for task in row if state.end[task] is None), NOBODY)
        if begun and coming != NOBODY:
            state.open_place(coming)
    for passes, places in zip(work.passes_of_job, work.places_of_job, strict=True):
        if all(state.end[task] is not None for task in places):
            state.open_next_pass(passes, 0, state.latest_end(places))
