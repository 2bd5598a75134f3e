"""What the call answers: which batch, when, why not sooner, and what to do instead where no moment holds."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from engine.plan.work import Work

if TYPE_CHECKING:
    from engine.plan.trial import Trial


@dataclass(frozen=True)
class Reason:
    """What decides the moment of a call, by ids; the words are made elsewhere.

    `kind`: "now" (nothing stands in the way), "mixer" or "station" (busy until then), "finisher" (the batch would
    wait past its working time), "wait" (it would wait longer than allowed), "joint", "window" (a pass, by
    `pass_index`), "target", "order" (`patch` waits for another), "crew" (nobody can do it), "done" (nothing left).
    """

    kind: str
    patch: str = ""
    batch: str = ""
    pass_index: int = -1
    person: str = ""
    station: str = ""
    late_s: float = 0.0


@dataclass(frozen=True)
class Call:
    """The next call. `at_s` is None when nothing can be called: then `reason` says what is missing.

    `latest_s` is the last water contact that still holds everything (infinite: nothing presses). `forced` marks a
    call that cannot be clean but loses more if it waits (a live edge) or is the only thing to do (an empty site);
    then, and where there is no call, `instead` names what would help: "retarder", "joint" (a planned one), "people",
    "wait".
    """

    batch: str
    patch: str
    at_s: float | None
    latest_s: float
    reason: Reason
    option: int = 0
    people: tuple[str, ...] = ()
    station: str = ""
    forced: bool = False
    margin_share: float = 1.0  # of the margins asked for, what the patch can bear
    instead: str = ""


def late_reason(work: Work, trial: Trial) -> Reason:
    """Why a trial was refused."""
    problem = work.problem
    patch, batch = problem.patches[work.patch[trial.task]].id, problem.batches[work.batch[trial.task]].id
    if trial.waits or trial.late is None:
        return Reason("wait", patch, batch)
    task, person, late_s = trial.late
    patch, who = problem.patches[work.patch[task]].id, problem.people[person].id
    if task < work.first_pass:
        return Reason(trial.limit, patch, problem.batches[work.batch[task]].id, -1, who, late_s=late_s)
    batch = problem.batches[work.batches_of_job[work.job[task]][0]].id
    return Reason("window", patch, batch, work.pass_number[task], who, late_s=late_s)


def instead_of(work: Work, task: int) -> str:
    """What helps a patch that no moment suits: its own working time is too short, it is too many bags, or too few hands."""
    batch = work.batch[task]
    longest_s = max(option.working_s for option in work.options[batch])
    if work.arrive_s[task] + work.dur[task] > longest_s:
        return "retarder"
    return "joint" if len(work.places_of_patch[work.patch[task]]) > 1 else "people"
