"""A problem laid out flat for the planners: every task has a number, and its neighbours are looked up by number.

Tasks are numbered mixes first (one a batch), then placements in the order of the patches, then passes. All times in
seconds on the problem's clock. Nothing here changes once built.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache
from itertools import pairwise
from math import inf
from typing import NamedTuple

from engine.plan.problem import Batch, Finishing, Limits, Patch, Placement, Problem, StageFact

PLACE, PASS = 0, 1  # classes of work that want a person with a tool in the hand
NOBODY = -1


@dataclass(frozen=True)
class Rule:
    """The order rule of one patch: wait for `first` to be placed (or finished) and `lag_s` more."""

    first: int
    finished: bool
    lag_s: float


class Fact(NamedTuple):
    """A task already begun: when, until when (known or expected), by whom (NOBODY: not told)."""

    start_s: float
    end_s: float
    person: int


@dataclass(frozen=True)
class Strain:
    """How much harder than planned what is not begun may turn out, as factors: more for times, less for closing ages."""

    stages: Sequence[float]  # by patch
    mixing: Sequence[float]  # by batch
    closings: Sequence[float]  # by batch


@lru_cache(maxsize=4096)
def sooner(limits: Limits, factor: float) -> Limits:
    """Limits with every closing age at a share of what it was; no pass closes before it opens."""
    passes = tuple([(opens, max(opens, closes * factor)) for opens, closes in limits.passes])
    return Limits(limits.name, limits.packets, limits.working_s * factor, limits.joint_s * factor, passes)


class Work:
    """The compiled problem, under a strain where one is given.

    Lists are indexed by batch, by patch, by job or by task number, as their names say.
    """

    __slots__ = (
        "after_in_batch",
        "after_in_patch",
        "all_mixers",
        "alone",
        "approach",
        "arrive_s",
        "batch",
        "batch_number",
        "batches_of_job",
        "before_in_batch",
        "before_in_patch",
        "called_s",
        "can",
        "can_begin",
        "carry_s",
        "class_of",
        "classes_of",
        "dur",
        "fact",
        "finishers",
        "first_pass",
        "fixed_option",
        "fixed_person",
        "followers",
        "follows",
        "free_to_follow",
        "given_up",
        "hands",
        "hands_vary",
        "hold_s",
        "job",
        "job_ids",
        "jobs_of_batch",
        "jobs_of_patch",
        "mix_at",
        "mix_by",
        "mixers_but",
        "mixes",
        "n_batches",
        "n_classes",
        "n_tasks",
        "next_pass",
        "now_s",
        "one_mixes_anywhere",
        "only_mixers",
        "options",
        "pass_number",
        "passes_of_job",
        "patch",
        "person_free",
        "person_number",
        "placed_by",
        "places_of_batch",
        "places_of_job",
        "places_of_patch",
        "pools_but",
        "problem",
        "ready_s",
        "rules",
        "some_watched",
        "station_free",
        "strain",
        "turns",
        "wash_s",
        "watched",
    )

    def __init__(self, problem: Problem, strain: Strain | None = None) -> None:
        self.problem, self.strain = problem, strain
        self.now_s = problem.now_s
        self._lay_out_crew()
        self._lay_out_batches()
        self._lay_out_placements()
        self._lay_out_jobs()
        self._lay_out_orders()
        self._sort_by_skill()
        self._keep_busy()

    def _lay_out_crew(self) -> None:
        problem = self.problem
        self.person_number = {person.id: n for n, person in enumerate(problem.people)}
        self.mixes = [person.mixes for person in problem.people]
        lays = [p.places if problem.place_needs == "places" else p.finishes for p in problem.people]
        self.can = [(lay, person.finishes) for lay, person in zip(lays, problem.people, strict=True)]
        self.person_free = [max(person.free_s, problem.now_s) for person in problem.people]
        self.station_free = [max(station.free_s, problem.now_s) for station in problem.stations]
        self.hands = [station.hands for station in problem.stations]
        self.all_mixers = [n for n, mixes in enumerate(self.mixes) if mixes]
        self.only_mixers = [n for n, mixes in enumerate(self.mixes) if mixes and not any(self.can[n])]
        self.finishers = [n for n, can in enumerate(self.can) if any(can)]
        hands = min(self.hands, default=len(self.all_mixers) + 1)
        self.can_begin = len(self.all_mixers) >= hands and any(lays for lays, _ in self.can)
        self.alone = not problem.wash_at_once and len(problem.people) == 1
        self.hands_vary = any(count != 1 for count in self.hands)
        people = range(len(problem.people))
        self.mixers_but = [[n for n in self.all_mixers if n != person] for person in people]
        only_mixers_but = [[n for n in self.only_mixers if n != person] for person in people]
        self.pools_but = list(zip(only_mixers_but, self.mixers_but, strict=True))

    def _lay_out_batches(self) -> None:
        batches = self.problem.batches
        self.n_batches = len(batches)
        self.batch_number = {batch.id: n for n, batch in enumerate(batches)}
        self.options: list[tuple[Limits, ...]] = [batch.options for batch in batches]
        if self.strain:
            each = zip(self.options, self.strain.closings, strict=True)
            self.options = [tuple([sooner(limits, factor) for limits in options]) for options, factor in each]
        self.fixed_option = [_begun_option(batch) for batch in batches]
        self.called_s = [batch.started_s for batch in batches]
        self.mix_by = [self.person_number.get(batch.person, NOBODY) for batch in batches]
        station_number = {station.id: n for n, station in enumerate(self.problem.stations)}
        self.mix_at = [station_number.get(batch.station, NOBODY) for batch in batches]
        self.one_mixes_anywhere = [
            by == at == NOBODY and not self.hands_vary
            for by, at in zip(self.mix_by, self.mix_at, strict=True)
        ]

    def _lay_out_placements(self) -> None:
        self.dur: list[float] = [0.0] * self.n_batches
        self.approach: list[float] = [0.0] * self.n_batches
        self.patch: list[int] = [NOBODY] * self.n_batches
        self.batch: list[int] = list(range(self.n_batches))
        self.fixed_person: list[int] = list(self.mix_by)
        self.fact: dict[int, Fact] = {}
        self.places_of_batch: list[list[int]] = [[] for _ in range(self.n_batches)]
        self.places_of_patch: list[list[int]] = []
        self.carry_s: list[float] = [0.0] * self.n_batches  # by task; of a batch: its last placement's
        for number, patch in enumerate(self.problem.patches):
            longer = self.strain.stages[number] if self.strain else 1
            row = [self._add_place(number, patch, laid, longer) for laid in patch.placements]
            self.places_of_patch.append(row)
        self.first_pass = len(self.dur)
        self._link_placements()
        self._time_the_mixing()

    def _add_place(self, number: int, patch: Patch, laid: Placement, longer: float) -> int:
        task = len(self.dur)
        batch = self.batch_number[laid.batch]
        self.dur.append(laid.place_s * longer if laid.started_s is None else laid.place_s)
        self.approach.append(patch.approach_s)
        self.patch.append(number)
        self.batch.append(batch)
        self.fixed_person.append(self.person_number.get(laid.person, NOBODY))
        self.places_of_batch[batch].append(task)
        self.carry_s.append(laid.carry_s)
        self.carry_s[batch] = laid.carry_s
        if laid.started_s is not None:
            due = max(laid.started_s + laid.place_s, self.now_s)
            end = due if laid.ended_s is None else laid.ended_s
            self.fact[task] = Fact(laid.started_s, end, self.fixed_person[task])
        return task

    def _link_placements(self) -> None:
        count = self.first_pass
        self.before_in_patch, self.after_in_patch = [NOBODY] * count, [NOBODY] * count
        self.before_in_batch, self.after_in_batch = [NOBODY] * count, [NOBODY] * count
        for row in self.places_of_patch:
            for one, two in pairwise(row):
                self.after_in_patch[one], self.before_in_patch[two] = two, one
        for row in self.places_of_batch:
            for one, two in pairwise(row):
                self.after_in_batch[one], self.before_in_batch[two] = two, one

    def _time_the_mixing(self) -> None:
        self.arrive_s = [0.0] * self.first_pass  # age at which a placement's share is at the patch
        self.ready_s, self.hold_s, self.wash_s = [], [], []
        for number, batch in enumerate(self.problem.batches):
            mix_s = batch.mix_s
            if batch.started_s is None:
                mix_s *= self.strain.mixing[number] if self.strain else 1
            elif batch.mixed_s is not None:
                mix_s = batch.mixed_s - batch.started_s
            carry = self.carry_s[number]
            for task in self.places_of_batch[number]:
                self.arrive_s[task] = mix_s + max(carry, self.carry_s[task])
            self.ready_s.append(mix_s + carry)
            self.hold_s.append(mix_s + carry + (0.0 if self.alone else batch.wash_s))
            self.wash_s.append(batch.wash_s)

    def _lay_out_jobs(self) -> None:
        self.jobs_of_patch: list[list[int]] = []
        self.passes_of_job: list[list[int]] = []
        self.places_of_job: list[list[int]] = []
        self.batches_of_job: list[list[int]] = []
        self.job_ids: list[tuple[str, ...]] = []
        self.pass_number: list[int] = [NOBODY] * self.first_pass
        self.job: list[int] = [NOBODY] * self.first_pass
        self.given_up: set[int] = set()
        for number, patch in enumerate(self.problem.patches):
            self.jobs_of_patch.append([self._add_job(number, patch, job) for job in patch.finishing])
        self.n_tasks = len(self.dur)
        self._link_passes()

    def _link_passes(self) -> None:
        self.jobs_of_batch: list[list[int]] = [[] for _ in range(self.n_batches)]
        for job, members in enumerate(self.batches_of_job):
            for batch in members:
                self.jobs_of_batch[batch].append(job)
        self.next_pass = [NOBODY] * self.n_tasks  # the next one still to come
        for passes in self.passes_of_job:
            following = NOBODY
            for task in reversed(passes):
                self.next_pass[task] = following
                if task not in self.fact and task not in self.given_up:
                    following = task
        after = zip(self.after_in_batch, self.after_in_patch, strict=True)
        self.followers = [[other for other in both if other != NOBODY] for both in after]

    def _add_job(self, number: int, patch: Patch, job: Finishing) -> int:
        index = len(self.passes_of_job)
        members = [self.batch_number[name] for name in job.batches if name in self.batch_number]
        places = [task for task in self.places_of_patch[number] if self.batch[task] in members]
        for task in places:
            self.job[task] = index
        self.passes_of_job.append(self._add_passes(number, patch, job, index))
        self.places_of_job.append(places)
        self.batches_of_job.append(members)
        self.job_ids.append(job.batches)
        return index

    def _add_passes(self, number: int, patch: Patch, job: Finishing, index: int) -> list[int]:
        first, count = len(self.dur), len(job.pass_s)
        longer = self.strain.stages[number] if self.strain else 1
        self.dur += [seconds * longer for seconds in job.pass_s]
        self.approach += [0.0, *[patch.approach_s] * (count - 1)][
            :count
        ]  # the float follows on the knees there
        self.patch += [number] * count
        self.batch += [NOBODY] * count
        self.job += [index] * count
        self.pass_number += range(count)
        if job.people:
            people = [*job.people, *[""] * count][:count]
            self.fixed_person += [self.person_number.get(person, NOBODY) for person in people]
        else:
            self.fixed_person += [NOBODY] * count
        for task, done in enumerate(job.done[:count], first):
            self._note_done(task, done)
        return list(range(first, first + count))

    def _note_done(self, task: int, done: StageFact | None) -> None:
        if done is None:
            self.given_up.add(task)
        else:
            self.fact[task] = Fact(done.started_s, done.ended_s, self.person_number.get(done.person, NOBODY))

    def _lay_out_orders(self) -> None:
        patch_number = {patch.id: n for n, patch in enumerate(self.problem.patches)}
        self.rules: list[list[Rule]] = [[] for _ in self.problem.patches]
        for order in self.problem.orders:
            if order.first in patch_number and order.then in patch_number:
                rule = Rule(patch_number[order.first], order.finished, order.lag_s)
                self.rules[patch_number[order.then]].append(rule)
        before = zip(self.before_in_patch, self.before_in_batch, strict=True)
        self.follows = [[other for other in both if other != NOBODY] for both in before]
        self.free_to_follow = [  # neither an order rule nor another share of its batch is asked
            task >= self.n_batches
            and len(self.places_of_batch[self.batch[task]]) == 1
            and (self.before_in_patch[task] != NOBODY or not self.rules[self.patch[task]])
            for task in range(self.first_pass)
        ]
        self.watched = [False] * len(self.problem.patches)  # some patch waits for this one
        for rule in (rule for rules in self.rules for rule in rules):
            self.watched[rule.first] = True
        self.some_watched = any(self.watched)
        self.placed_by = [inf] * len(self.problem.patches)
        for target in self.problem.targets:
            if target.patch in patch_number:
                number = patch_number[target.patch]
                self.placed_by[number] = min(self.placed_by[number], target.placed_by_s)

    def _sort_by_skill(self) -> None:
        """Classes of work: laying, finishing, and one for each person to whom something to come is assigned by name."""
        to_come = (task for task in range(self.n_batches, self.n_tasks) if task not in self.fact)
        named = sorted({self.fixed_person[task] for task in to_come} - {NOBODY})
        own = {person: 2 + n for n, person in enumerate(named)}
        self.class_of = [
            own.get(person, PLACE if task < self.first_pass else PASS)
            for task, person in enumerate(self.fixed_person)
        ]
        self.n_classes = 2 + len(named)
        self.classes_of = [
            [PLACE] * lays + [PASS] * finishes + ([own[n]] if n in own else [])
            for n, (lays, finishes) in enumerate(self.can)
        ]
        alike: dict[tuple[int, ...], list[int]] = {}  # people who do the same classes of work
        for person in self.finishers:
            alike.setdefault(tuple(self.classes_of[person]), []).append(person)
        self.turns = [(people, list(classes)) for classes, people in alike.items()]

    def _keep_busy(self) -> None:
        """Nobody is free before the end of what they are known to be doing, and no station either."""
        for batch, called in enumerate(self.called_s):
            if called is not None:
                end = called + self.hold_s[batch]
                self._busy_until(self.mix_by[batch], end)
                if self.mix_at[batch] != NOBODY:
                    self.station_free[self.mix_at[batch]] = max(self.station_free[self.mix_at[batch]], end)
        for fact in self.fact.values():
            self._busy_until(fact.person, fact.end_s)

    def _busy_until(self, person: int, end_s: float) -> None:
        if person != NOBODY:
            self.person_free[person] = max(self.person_free[person], end_s)


def _begun_option(batch: Batch) -> int | None:
    """The dose that can no longer be chosen: of a batch begun, or the only one there is."""
    if batch.option is not None:
        return batch.option
    return 0 if batch.started_s is not None or len(batch.options) == 1 else None
