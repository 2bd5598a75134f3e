"""A pour rehearsed once: a simulated crew, one day's draws, one caller, and every window it missed."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from engine.plan.problem import Miss, Problem
from engine.rehearsal.crew import Caller, Crew
from engine.rehearsal.layout import Layout, Stage
from engine.rehearsal.luck import Luck


@dataclass(frozen=True)
class PourDay:
    """What came of a pour. `calls` are the water contacts in the order of the batches; `asked` counts the questions.

    `slack_s` is the least time left to any closing, less than zero by as much as the worst one was missed.
    """

    misses: tuple[Miss, ...]
    slack_s: float
    end_s: float
    calls: tuple[float, ...]
    asked: int

    @property
    def clean(self) -> bool:
        """No window was missed."""
        return not self.misses


def rehearse(problem: Problem, luck: Luck, caller: Caller) -> PourDay:
    """Works a whole pour through one day's draws. Raises `RuntimeError` where the caller never calls again."""
    layout = Layout(problem, luck)
    crew = Crew(layout)
    crew.work(caller)
    ends = [job[-1].end_s for jobs in layout.jobs for job in jobs if job]
    rooms = list(_rooms(layout))
    return PourDay(
        misses=tuple(
            Miss(limit, patch, batch, -left_s, stamped=True)
            for limit, patch, batch, left_s in rooms
            if left_s < 0.0
        ),
        slack_s=min(left_s for *_, left_s in rooms),
        end_s=max(ends),
        calls=tuple(mix.called_s for mix in layout.mixes),
        asked=crew.asked,
    )


def _rooms(layout: Layout) -> Iterator[tuple[str, str, str, float]]:
    """Every closing: which limit, of which patch and batch, and the seconds left to it when its stage ended."""
    for number, patch in enumerate(layout.problem.patches):
        for stage in (*layout.places[number], *(stage for job in layout.jobs[number] for stage in job)):
            for limit, batch, closes_s in _closings(stage):
                yield limit, patch.id, batch, closes_s - stage.end_s


def _closings(stage: Stage) -> Iterator[tuple[str, str, float]]:
    """Every real closing that binds a stage: which, of which batch, when."""
    if stage.index >= 0:
        for mix in stage.mixes:
            yield f"pass {stage.index}", mix.id, mix.called_s + mix.limits.passes[stage.index][1] * mix.factor
        return
    own = stage.mixes[0]
    yield "working", own.id, own.called_s + own.limits.working_s * own.factor
    if stage.before is not None:
        laid = stage.before.mixes[0]
        yield "joint", own.id, laid.called_s + laid.limits.joint_s * laid.factor
