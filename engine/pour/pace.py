"""Which work sets the pace of a job, and how many bags an hour that is."""

from __future__ import annotations

import math
from dataclasses import dataclass

from engine.job.model import PASSES_OF, Job
from engine.job.takeoff import JobTakeoff, job_takeoff
from engine.pour.reckoning import Moment


@dataclass(frozen=True)
class Pace:
    """The slowest work: `mixing`, `placing` or `finishing`, and its bags an hour."""

    name: str
    bags_per_hour: float


def bottleneck(moment: Moment) -> Pace:
    """Seconds of each kind of work a bag needs, over the people who can do it; the largest sets the pace.

    People who do several kinds are counted in each, so the pace is a ceiling.
    """
    job, taken = moment.job, job_takeoff(moment.job)
    seconds = _seconds_a_bag(job, taken)
    hands = {
        "mixing": min(_able(job, "mix"), len(job.stations)),
        "placing": _able(job, "place"),
        "finishing": _able(job, "finish"),
    }
    paces = {name: seconds[name] / hands[name] if hands[name] else math.inf for name in seconds}
    slowest = max(paces, key=lambda name: paces[name])
    return Pace(slowest, 0.0 if math.isinf(paces[slowest]) or not paces[slowest] else 3600.0 / paces[slowest])


def _able(job: Job, skill: str) -> int:
    return sum(1 for person in job.people if skill in person.does)


def _seconds_a_bag(job: Job, taken: JobTakeoff) -> dict[str, float]:
    times, bags = job.times, max(1, taken.bags)
    per_batch = max(station.bags_per_batch for station in job.stations)
    mixing_s = max(card.mixing_s for card in job.mixes)
    mixing = (times.load_s + mixing_s + times.carry_s + times.rinse_s) / per_batch
    placing = (times.walk_s + times.tip_s + times.strike_off_s) / per_batch
    finishing = sum(_finishing_s(job, take.id) for take in taken.pours) / bags
    return {"mixing": mixing, "placing": placing, "finishing": finishing}


def _finishing_s(job: Job, pour_id: str) -> float:
    pour, times = job.pour(pour_id), job.times
    names = PASSES_OF[pour.finish]
    strokes = sum(times.stroke_s_m2(name) * pour.area_m2 for name in names)
    return strokes + times.walk_s * (len(names) - 1) + (times.edge_s or 0.0)
