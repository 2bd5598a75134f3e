"""Choices weighed: planned by the scheduler, then rehearsed on the same days by the same rules."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass, field, replace
from statistics import median
from typing import Any

from engine.job.buying import buy_list
from engine.job.model import PASSES_OF, Job
from engine.job.takeoff import job_takeoff
from engine.plan.call import earliest_call
from engine.plan.forward import Stuck
from engine.plan.margins import Margins
from engine.plan.problem import Problem, Schedule
from engine.pour.around.last_calls import latest_waters
from engine.pour.around.promises import Promise, promise_table, promises
from engine.pour.calling import pour_of_patch
from engine.pour.dayplan import DayPlan
from engine.pour.journal import open_journal
from engine.pour.planning import built, laid_out, margins_of
from engine.pour.reckoning import Moment
from engine.pour.times import iso
from engine.rehearsal.callers import Steered
from engine.rehearsal.choices import Choice, choices_of
from engine.rehearsal.luck import draw
from engine.rehearsal.pours import rehearse
from engine.units import show_temperature
from engine.words import Say, Words, amount, say

ROUND = 10  # days of every choice before the next
SURE = 0.03  # shares of clean days nearer than this are no difference
SEARCHED = 100


@dataclass(frozen=True)
class LastWater:
    """Until when the next bag of a promised pour keeps an opening with the packets of a choice. Log time."""

    pour: str
    open_to: str
    latest: float


@dataclass
class Weighed:
    """A choice: what it is planned to come to, and its rehearsed days so far."""

    choice: Choice
    problem: Problem
    schedule: Schedule
    plan: DayPlan
    promises: tuple[Promise, ...]
    cost: float | None
    last_waters: tuple[LastWater, ...] = ()
    days: int = 0
    missed: int = 0
    ends_s: list[float] = field(default_factory=list)
    slacks_s: list[float] = field(default_factory=list)
    missed_at: Counter[tuple[str, str]] = field(default_factory=Counter)  # days by pour and limit

    @property
    def missed_share(self) -> float | None:
        """Share of the days with a missed window; None before the first day."""
        return self.missed / self.days if self.days else None

    @property
    def kept(self) -> bool:
        """Every promise is kept by the plan."""
        return all(promise.result.met for promise in self.promises)

    def rehearse(self, seeds: range) -> None:
        """More days, steered as the live call steers."""
        margins = margins_of(self.choice.job)
        for seed in seeds:
            day = rehearse(self.problem, draw(self.problem, seed), _steered(margins))
            self.days += 1
            self.missed += not day.clean
            self.missed_at.update(sorted({(pour_of_patch(miss.patch), miss.limit) for miss in day.misses}))
            self.ends_s.append(day.end_s)
            self.slacks_s.append(day.slack_s)


def _steered(margins: Margins) -> Steered:
    return Steered(margins.stages, learns=True, closings=margins.closings, wait_s=margins.wait_s)


def weighed(job: Job, days: int) -> Iterator[tuple[Weighed, ...]]:
    """Every choice planned, one more each time, then again after each round of days: any answer so far is usable.

    Choices that leave nobody or nothing to work with are left out.
    """
    rows: tuple[Weighed, ...] = ()
    for choice in choices_of(job):
        if (row := plan_of(choice)) is not None:
            rows = (*rows, row)
            yield rows
    for first in range(0, days, ROUND):
        for row in rows:
            row.rehearse(range(first, min(first + ROUND, days)))
        yield rows


def plan_of(choice: Choice) -> Weighed | None:
    job = choice.job
    moment = Moment(open_journal(job).day, job.start)
    try:
        problem, schedule = laid_out(moment, rounds=2, search=SEARCHED)
    except Stuck:
        return None
    plan = built(moment, problem, schedule, earliest_call(problem))
    cost = buy_list(job, job_takeoff(job), plan.doses).cost
    row = Weighed(choice, as_dosed(problem, schedule), schedule, plan, promises(moment, plan), cost)
    row.last_waters = _last_waters(moment)
    return row


def as_dosed(problem: Problem, schedule: Schedule) -> Problem:
    """The problem with the dose that the schedule gives each batch as its only one: what a crew really mixes."""
    chosen = {mix.batch: mix.option for mix in schedule.mixes}
    batches = tuple(
        replace(batch, options=(batch.options[chosen.get(batch.id, 0)],)) for batch in problem.batches
    )
    return replace(problem, batches=batches)


def _last_waters(moment: Moment) -> tuple[LastWater, ...]:
    return tuple(
        LastWater(pour.id, what, at)
        for pour in moment.job.pours
        for what, at in latest_waters(moment, pour).items()
        if what in ("feet", "wheels") and pour.visit == 1
    )


def helps_most(rows: tuple[Weighed, ...]) -> Weighed | None:
    """The single change that keeps most promises, then misses least, then ends first; None where none helps."""
    base, *others = rows
    if not others:
        return None
    best = min(others, key=_standing)
    return best if _better(best, base) else None


def _standing(row: Weighed) -> tuple[int, float, float]:
    misses = row.missed_share if row.missed_share is not None else float(bool(row.plan.misses))
    return (
        sum(not one.result.met for one in row.promises),
        round(misses / SURE),
        row.plan.end - row.choice.job.start,
    )


def _better(row: Weighed, base: Weighed) -> bool:
    return _standing(row) < _standing(base)


def packet_hurts(rows: tuple[Weighed, ...]) -> tuple[Say, ...]:
    """Doses that break a promise or only lengthen the day."""
    base = rows[0]
    return tuple(
        said for row in rows if row.choice.kind == "packets" and (said := _hurt(row, base)) is not None
    )


def _hurt(row: Weighed, base: Weighed) -> Say | None:
    packets = f"{row.choice.amount:g}"
    broken = [one for one in row.promises if not one.result.met]
    if broken and row.choice.amount > 0 and base.kept:
        return say(
            "choices.packet_breaks", packets=packets, pours=", ".join(broken[0].pours), to=broken[0].open_to
        )
    fewer = (base.missed_share or 0.0) - (row.missed_share or 0.0) > SURE
    if row.choice.amount > 0 and row.plan.end > base.plan.end + 60.0 and not fewer:
        return say(
            "choices.packet_lengthens", packets=packets, by=f"{(row.plan.end - base.plan.end) / 60:.0f}"
        )
    return None


def choices_table(rows: tuple[Weighed, ...], words: Words) -> dict[str, Any]:
    """As plain JSON values."""
    best = helps_most(rows)
    return {
        "choices": [_row(row, words) for row in rows],
        "helps_most": best and _help(best, rows[0], words),
        "packets": [words(one) for one in packet_hurts(rows)],
    }


def _help(best: Weighed, base: Weighed, words: Words) -> dict[str, Any]:
    """The change that helps most, and what it changes."""
    return {
        "kind": best.choice.kind,
        "amount": best.choice.amount,
        "text": said(best.choice, words),
        "longer_s": (best.plan.end - best.choice.job.start) - (base.plan.end - base.choice.job.start),
        "missed_share_before": base.missed_share,
        "missed_share": best.missed_share,
    }


def said(choice: Choice, words: Words) -> str:
    """A choice in words."""
    kind, _, who = choice.kind.partition(" ")
    key = "without" if kind == "without" else choice.kind.replace(" ", "_")
    if kind == "packets" and not choice.amount:
        key = "no_packets"
    water_c, units = choice.job.materials.water_c, choice.job.units
    return words(
        say(
            f"choice_of.{key}",
            amount=amount(choice.amount),
            signed=f"{choice.amount:+g}",
            who=who,
            water="-" if water_c is None else show_temperature(water_c, units),
        )
    )


def _row(row: Weighed, words: Words) -> dict[str, Any]:
    ends = row.ends_s
    return {
        "kind": row.choice.kind,
        "amount": row.choice.amount,
        "text": said(row.choice, words),
        "start": iso(row.choice.job.start),
        "end": iso(row.plan.end),
        "length_s": row.plan.end - row.choice.job.start,
        "slack_s": row.schedule.slack_s,
        "usual_slack_s": median(row.slacks_s) if row.slacks_s else None,
        "feasible": not row.schedule.misses,
        "windows_held": all(miss.limit == "target" for miss in row.schedule.misses),
        "days": row.days,
        "missed_share": row.missed_share,
        "most_missed": _most_missed(row, words),
        "mean_length_s": sum(ends) / len(ends) if ends else None,
        "targets": [promise_table(one) for one in row.promises],
        "last_waters": [
            {"pour": one.pour, "open_to": one.open_to, "latest_water": iso(one.latest)}
            for one in row.last_waters
        ],
        "cost": row.cost,
    }


def _most_missed(row: Weighed, words: Words) -> dict[str, Any] | None:
    """The window missed on most days."""
    if not row.missed_at:
        return None
    (pour, limit), days = row.missed_at.most_common(1)[0]
    word, _, index = limit.partition(" ")
    name = PASSES_OF[row.choice.job.pour(pour).finish][int(index)] if index else word
    text = words(say("choices.most_missed", pour=pour, limit=words(f"foreseen.{name}"), days=str(days)))
    return {"pour": pour, "limit": name, "days": days, "text": text}
