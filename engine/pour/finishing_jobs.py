"""Finishing jobs of a lift: all of it at once where every pass has a window that all its batches share, else strips."""

from __future__ import annotations

import math

from engine.job.model import PASSES_OF, Pour, Times
from engine.plan.problem import Finishing, StageFact
from engine.pour.assigned import told_to
from engine.pour.prospects import Prospect
from engine.pour.reckoning import Moment
from engine.pour.stages import finish_in, strokes_in_order
from engine.pour.state import Batch

Windows = list[tuple[float, float]]  # (open, close) of each pass, from the moment on


def finishing_jobs(
    moment: Moment,
    pour: Pour,
    live: tuple[Batch, ...],
    coming: tuple[tuple[str, float], ...],
    top: bool,
    ahead: tuple[Prospect, ...],
    strips: bool,
) -> tuple[Finishing, ...]:
    """One job for the lift, or one for each batch of it; `strips` asks for the latter."""
    names = (*(batch.id for batch in live), *(batch_id for batch_id, _ in coming))
    share = 1.0 / len(names)
    seconds = _pass_seconds(moment.job.times, pour, top)
    if len(names) > 1 and top and not strips and _whole(moment, pour, live, len(coming), ahead, seconds):
        return (_job(moment, pour, names, live[:1], seconds, 1.0, last=True),)
    by_id = {batch.id: batch for batch in live}
    return tuple(
        _job(
            moment,
            pour,
            (name,),
            tuple(b for b in (by_id.get(name),) if b),
            seconds,
            share,
            last=name == names[-1],
        )
        for name in names
    )


def _pass_seconds(times: Times, pour: Pour, top: bool) -> list[tuple[str, float]]:
    return [
        (name, times.stroke_s_m2(name) * pour.area_m2)
        for name in (PASSES_OF[pour.finish] if top else ("float",))
    ]


def _job(
    moment: Moment,
    pour: Pour,
    names: tuple[str, ...],
    begun: tuple[Batch, ...],
    seconds: list[tuple[str, float]],
    share: float,
    last: bool,
) -> Finishing:
    """The passes of a job with the edge added to the pass it stands beside, and what of it is done."""
    times = [stroke_s * share for _, stroke_s in seconds]
    kinds = [name for name, _ in seconds]
    batch = begun[0] if begun else None
    done = _done(moment, batch, kinds, times) if batch else ()
    edge_s = moment.job.times.edge_s
    if last and edge_s is not None and not (batch and batch.settled("edge")) and len(done) < len(times):
        host = max(len(done), len(times) - 2 if kinds[-1] == "broom" else len(times) - 1)
        times[host] += edge_s
    return Finishing(names, tuple(times), done, _people(moment, pour, names, kinds))


def _done(moment: Moment, batch: Batch, kinds: list[str], times: list[float]) -> tuple[StageFact | None, ...]:
    """Facts of the passes up to the last one settled; what was passed over counts as given up."""
    facts: list[StageFact | None] = []
    settled = [
        n
        for n, name in enumerate(kinds)
        if name in batch.skipped or any(s.name == name for s in batch.strokes)
    ]
    for n in range(settled[-1] + 1 if settled else 0):
        stroke = next((s for s in batch.strokes if s.name == kinds[n]), None)
        end = stroke.at - moment.at if stroke else 0.0
        facts.append(StageFact(end - times[n], end, stroke.who) if stroke else None)
    return tuple(facts)


def _people(moment: Moment, pour: Pour, names: tuple[str, ...], kinds: list[str]) -> tuple[str, ...]:
    """Who the foreman put on each pass; a person away cannot hold one."""
    away = moment.day.away()
    told = (told_to(moment.day, kind, pour.id, names) for kind in kinds)
    return tuple("" if person in away else person for person in told)


def _whole(
    moment: Moment,
    pour: Pour,
    live: tuple[Batch, ...],
    coming: int,
    ahead: tuple[Prospect, ...],
    seconds: list[tuple[str, float]],
) -> bool:
    """Whether the lift can be finished as one, the batches to come mixed as fast as the stations allow."""
    if finish_in(moment, pour) == "strips":
        return False
    if len({tuple(name for name in strokes_in_order(moment, b) if b.settled(name)) for b in live}) > 1:
        return False
    windows = [_live_windows(moment, batch) for batch in live]
    windows += [_shifted(ahead[-1], n * cycle_s(moment)) for n in range(coming)] if ahead else []
    return all(
        max(w[n][0] for w in windows) + stroke_s <= min(w[n][1] for w in windows)
        for n, (_, stroke_s) in enumerate(seconds)
    )


def _live_windows(moment: Moment, batch: Batch) -> Windows:
    return [(window.open - moment.at, window.late - moment.at) for window in moment.windows(batch).values()]


def _shifted(prospect: Prospect, by_s: float) -> Windows:
    return [(opens + by_s, close + by_s) for opens, close in prospect.limits.passes]


def cycle_s(moment: Moment) -> float:
    """Seconds between two bags when every station works."""
    times, job = moment.job.times, moment.job
    mixers = sum(1 for one in moment.day.crew() if "mix" in one.does and one.id not in moment.day.away())
    mixing_s = max(card.mixing_s for card in job.mixes)
    cycle = times.load_s + mixing_s + times.carry_s + times.rinse_s
    return cycle / max(1, min(mixers, len(job.stations))) if mixers else math.inf
