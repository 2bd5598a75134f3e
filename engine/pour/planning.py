"""From the scheduler's answer to the day ahead: tasks by person, the call in the trade's terms."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import replace

from engine.job.model import PASSES_OF, Job
from engine.plan import problem as p
from engine.plan.call import Call, earliest_call
from engine.plan.forward import Stuck
from engine.plan.margins import Margins
from engine.plan.planner import plan
from engine.pour.calling import call_view, missing, pour_of_patch
from engine.pour.dayplan import DayPlan, Task
from engine.pour.needs import bags_left, this_visit
from engine.pour.reckoning import Moment
from engine.pour.views import CallView
from engine.pour.worksheet import begun_only, lifts_at_work, worksheet
from engine.words import Say, say

LARGE, LARGE_RUNS = 30, 6000  # bags to come; above, so many bags are placed by all plans tried in one round
STYLES_TRIED = 30  # about as many as the scheduler tries unasked


def day_plan(
    moment: Moment, rounds: int = 2, evaluations: int | None = None, search: int | None = None
) -> DayPlan:
    """Schedule what is left of a day, looking up each pour's limits where the round before put its water.

    `evaluations` bounds the scheduler in each round, `search` lets it look for a better plan after the last one;
    the same moment always gives the same plan. Without people or vessels for what is left there is no plan, and
    the call says what is missing.
    """
    try:
        return _planned(moment, rounds, evaluations, search)
    except Stuck:
        return _without_new_bags(moment, evaluations)


def _without_new_bags(moment: Moment, evaluations: int | None) -> DayPlan:
    """The plan of what is begun, where no bag can be started."""
    whole = worksheet(moment, {})
    problem = begun_only(whole)
    tasks = tuple(_tasks(moment, problem, plan(problem, budget_evaluations=evaluations)))
    call = CallView("no answer", missing(whole) or say("reason.crew"))
    return DayPlan(moment.at, tasks, call, max((task.end for task in tasks), default=moment.at))


def _planned(moment: Moment, rounds: int, evaluations: int | None, search: int | None) -> DayPlan:
    problem, schedule = laid_out(moment, rounds, evaluations, search)
    call, margins = earliest_call(problem, margins_of(moment.job)), margins_of(moment.job)
    for dosed in _otherwise_dosed(problem, call) if call.forced else ():
        other = earliest_call(dosed, margins)
        if other.at_s is not None and not other.forced:
            return built(moment, dosed, plan(dosed, budget_evaluations=evaluations), other)
    return built(moment, problem, schedule, call)


def _otherwise_dosed(problem: p.Problem, call: Call) -> Iterator[p.Problem]:
    """Where no moment suits a patch, each dose for all its batches to come: mixed doses seldom finish together."""
    laid = {one.batch for patch in problem.patches if patch.id == call.patch for one in patch.placements}
    free = {one.id for one in problem.batches if one.id in laid and one.started_s is None}
    most = max((len(one.options) for one in problem.batches if one.id in free), default=1)
    for number in range(most) if most > 1 else ():
        batches = (
            replace(one, options=one.options[number : number + 1] or one.options[-1:])
            if one.id in free
            else one
            for one in problem.batches
        )
        yield replace(problem, batches=tuple(batches))


def laid_out(
    moment: Moment, rounds: int, evaluations: int | None = None, search: int | None = None
) -> tuple[p.Problem, p.Schedule]:
    """What is left of a day as the scheduler sees it, and its schedule; as `day_plan`. Raises `Stuck`."""
    expected, strips = first_guess(moment), frozenset[str]()
    evaluations, search = (_afforded(wanted, moment) for wanted in (evaluations, search))
    for _ in range(rounds):
        problem = worksheet(moment, expected, strips)
        schedule = plan(problem, budget_evaluations=evaluations)
        expected = expected | _starts(moment, problem, schedule)
        strips = strips | {
            pour_of_patch(miss.patch) for miss in schedule.misses if miss.limit.startswith("pass")
        }
    if search:
        schedule = min(schedule, plan(problem, budget_evaluations=search), key=_rank)
    return problem, schedule


def _afforded(wanted: int | None, moment: Moment) -> int | None:
    """How many plans may be tried: a plan takes the longer the more bags are to come, and somebody waits for it."""
    bags = sum(bags_left(moment, pour) for pour in moment.day.pours if this_visit(moment, pour))
    if bags <= LARGE:
        return wanted
    most = max(2, int(LARGE_RUNS / bags))
    if wanted is None:
        return None if most >= STYLES_TRIED else most
    return min(wanted, most)


def _rank(schedule: p.Schedule) -> tuple[int, float, float]:
    """Missed windows, lateness, end: the first plan of equal rank stays."""
    late_s = sum(miss.late_s for miss in schedule.misses)
    return len(schedule.misses), round(late_s, 3), round(schedule.end_s, 3)


def margins_of(job: Job) -> Margins:
    """Room for what nobody knows beforehand."""
    practice = job.practice
    return Margins(practice["call.slower_work"], practice["call.early_close"], practice["call.longest_stand"])


def quick_plan(moment: Moment) -> DayPlan:
    """The plan a live screen can afford with every stamp."""
    return day_plan(moment, rounds=1, evaluations=2)


def first_guess(moment: Moment) -> dict[str, float]:
    """Water contact of each pour's next batch were one bag to follow the other."""
    times = moment.job.times
    cycle = times.load_s + times.carry_s + times.rinse_s + max(card.mixing_s for card in moment.job.mixes)
    at, guess = moment.at, {}
    for pour in moment.day.pours:
        guess[pour.id] = at
        at += cycle * bags_left(moment, pour) if this_visit(moment, pour) else 0.0
    return guess


def _starts(moment: Moment, problem: p.Problem, schedule: p.Schedule) -> dict[str, float]:
    """Scheduled water contact of the first batch still to come of each pour."""
    begun = {batch.id for batch in problem.batches if batch.started_s is not None}
    starts: dict[str, float] = {}
    for mix in sorted(schedule.mixes, key=lambda mix: mix.start_s):
        if mix.batch not in begun:
            starts.setdefault(pour_of(mix.batch), moment.at + mix.start_s)
    return starts


def pour_of(batch_id: str) -> str:
    """The pour whose number a batch carries."""
    return batch_id.rpartition(".")[0]


def built(moment: Moment, problem: p.Problem, schedule: p.Schedule, call: Call) -> DayPlan:
    """The day ahead of a schedule and a call."""
    tasks = sorted(_tasks(moment, problem, schedule), key=lambda task: (task.start, task.person))
    doses = {
        pour_of(batch.id): batch.options[mix.option].packets
        for mix in sorted(schedule.mixes, key=lambda mix: -mix.start_s)
        for batch in problem.batches
        if batch.id == mix.batch and batch.started_s is None
    }
    misses = tuple(dict.fromkeys(_told(moment, miss) for miss in schedule.misses if not miss.stamped))
    bags = {
        name: b
        for pour in moment.day.pours
        for lift in lifts_at_work(moment, pour)
        for name, b in lift.coming
    }
    end = moment.at + schedule.end_s if math.isfinite(schedule.end_s) else moment.at
    return DayPlan(
        moment.at, tuple(tasks), call_view(moment, problem, schedule, call), end, misses, doses, bags
    )


def _told(moment: Moment, miss: p.Miss) -> Say:
    """A limit that cannot be kept, in words."""
    kind, _, index = miss.limit.partition(" ")
    names = PASSES_OF[moment.day.pour(pour_of_patch(miss.patch)).finish]
    stroke = names[int(index)].replace("_", " ") if index else ""
    return say(f"reason.miss_{kind}", patch=miss.patch, stroke=stroke)


def _tasks(moment: Moment, problem: p.Problem, schedule: p.Schedule) -> list[Task]:
    at = moment.at
    batches = {batch.id: batch for batch in problem.batches}
    tasks = [
        Task(
            mix.person, "mix", pour_of(mix.batch), (mix.batch,), at + mix.start_s, at + mix.end_s, mix.station
        )
        for mix in schedule.mixes
        if batches[mix.batch].started_s is None or mix.end_s > 0
    ]
    tasks += [
        Task(
            place.person,
            "place",
            pour_of_patch(place.patch),
            (place.batch,),
            at + place.start_s,
            at + place.end_s,
        )
        for place in schedule.places
        if place.end_s > 0
    ]
    tasks += [_pass_task(moment, stage) for stage in schedule.passes if stage.end_s > 0]
    return tasks


def _pass_task(moment: Moment, stage: p.PassStart) -> Task:
    pour_id = pour_of_patch(stage.patch)
    name = PASSES_OF[moment.day.pour(pour_id).finish][stage.index]
    return Task(
        stage.person, name, pour_id, stage.batches, moment.at + stage.start_s, moment.at + stage.end_s
    )
