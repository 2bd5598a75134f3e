"""Pours of any length for timing the scheduler, and a pour as it stands part way through its plan. Seconds."""

from __future__ import annotations

from dataclasses import replace
from random import Random

from engine.plan.problem import (
    Batch,
    Finishing,
    Limits,
    Patch,
    Person,
    Placement,
    Problem,
    Schedule,
    StageFact,
    Station,
)

ONE_DOSE = Limits("1 dose", 1.0, 440.0, 560.0, ((0.0, 670.0), (620.0, 1140.0), (1040.0, 1740.0)))
SIZES = {"separate": 1, "knit": 5, "whole": 2}  # batches a patch


def busy_pour(batches: int, kind: str, seed: int = 1, pairs: int = 2) -> Problem:
    """So many batches for `pairs` mixers and as many finishers; stage times drawn from a crew's usual spread (assumed)."""
    rng = Random(seed)
    people = [Person(f"M{n}", True, False, False) for n in range(pairs)]
    people += [Person(f"F{n}", False, True, True) for n in range(pairs)]
    rows = tuple(
        Batch(f"B{n}", _fives(rng, 95, 150), _fives(rng, 30, 50), (ONE_DOSE,)) for n in range(batches)
    )
    size = SIZES[kind]
    patches = tuple(_patch(rng, kind, rows[n : n + size]) for n in range(0, batches, size))
    stations = tuple(Station(f"S{n}") for n in range(pairs))
    return Problem(tuple(people), stations, rows, patches, place_needs="finishes", wash_at_once=True)


def _fives(rng: Random, low: int, high: int) -> float:
    return 5.0 * rng.randint(low // 5, high // 5)


def _patch(rng: Random, kind: str, batches: tuple[Batch, ...]) -> Patch:
    names = tuple(batch.id for batch in batches)
    laid = tuple(Placement(name, _fives(rng, 10, 30), _fives(rng, 35, 60)) for name in names)
    groups = [names] if kind == "whole" else [(name,) for name in names]
    seconds = (_fives(rng, 60, 90), _fives(rng, 50, 85), _fives(rng, 60, 110))
    jobs = tuple(Finishing(group, tuple(s + 20.0 * (len(group) - 1) for s in seconds)) for group in groups)
    return Patch(f"P{names[0]}", _fives(rng, 5, 12), laid, jobs)


def part_way(problem: Problem, schedule: Schedule, now_s: float) -> Problem:
    """The pour at a moment of its plan: what has begun is a fact, patches that are done are gone."""
    mixes = {mix.batch: mix for mix in schedule.mixes}
    batches = {}
    for batch in problem.batches:
        mix = mixes[batch.id]
        begun = replace(
            batch,
            started_s=mix.start_s,
            mixed_s=mix.start_s + batch.mix_s,
            option=mix.option,
            person=mix.person,
            station=mix.station,
        )
        batches[batch.id] = begun if mix.start_s < now_s else batch
    patches = [_part_way(patch, schedule, now_s) for patch in problem.patches]
    left = tuple(p for p in patches if any(len(job.done) < len(job.pass_s) for job in p.finishing))
    names = {laid.batch for patch in left for laid in patch.placements}
    rows = tuple(batch for name, batch in batches.items() if name in names)
    return replace(problem, batches=rows, patches=left, now_s=now_s)


def _part_way(patch: Patch, schedule: Schedule, now_s: float) -> Patch:
    places = {place.batch: place for place in schedule.places if place.patch == patch.id}
    passes = {(one.batches, one.index): one for one in schedule.passes if one.patch == patch.id}
    laid = tuple(
        replace(one, started_s=place.start_s, ended_s=place.end_s, person=place.person)
        if (place := places[one.batch]).start_s < now_s
        else one
        for one in patch.placements
    )
    jobs = []
    for job in patch.finishing:
        begun = [passes[job.batches, k] for k in range(len(job.pass_s))]
        done = tuple(StageFact(one.start_s, one.end_s, one.person) for one in begun if one.start_s < now_s)
        jobs.append(replace(job, done=done))
    return replace(patch, placements=laid, finishing=tuple(jobs))
