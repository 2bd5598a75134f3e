"""The closed-form floor of a pour: sums of work over people, plus what must come before or after. No search."""

from __future__ import annotations

from engine.plan.problem import Patch, Problem


def floor_s(problem: Problem) -> float:
    """Seconds no plan of a whole pour can beat at planned durations; the largest of three sums.

    Finishing: the first arrival, then all finishers' work shared out. Mixing: all but the last batches shared out,
    then the last one's final opening and its final pass. Everybody: all work over all people.
    """
    return max(_finishing_s(problem), _mixing_s(problem), _everybody_s(problem))


def _finishers_work_s(patch: Patch) -> float:
    laying = sum(patch.approach_s + laid.place_s for laid in patch.placements)
    walks = sum(max(0, len(job.pass_s) - 1) for job in patch.finishing) * patch.approach_s
    return laying + walks + sum(sum(job.pass_s) for job in patch.finishing)


def _holds_s(problem: Problem) -> list[float]:
    """How long each batch takes its mixer and station."""
    carry = {laid.batch: laid.carry_s for patch in problem.patches for laid in patch.placements}
    return [batch.mix_s + carry[batch.id] + batch.wash_s for batch in problem.batches]


def _finishing_s(problem: Problem) -> float:
    mix = {batch.id: batch.mix_s for batch in problem.batches}
    first = min(
        mix[laid.batch] + laid.carry_s - patch.approach_s
        for patch in problem.patches
        for laid in patch.placements
    )
    hands = sum(person.finishes for person in problem.people)
    return first + sum(map(_finishers_work_s, problem.patches)) / hands


def _mixing_s(problem: Problem) -> float:
    hands = min(sum(person.mixes for person in problem.people), len(problem.stations))
    holds = sorted(_holds_s(problem))
    opens = min(
        option.passes[-1][0] for batch in problem.batches for option in batch.options if option.passes
    )
    last = min(job.pass_s[-1] for patch in problem.patches for job in patch.finishing)
    return sum(holds[:-hands]) / hands + opens + last


def _everybody_s(problem: Problem) -> float:
    return (sum(map(_finishers_work_s, problem.patches)) + sum(_holds_s(problem))) / len(problem.people)
