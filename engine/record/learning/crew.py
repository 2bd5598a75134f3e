"""The crew's own times as far as two stamps bound them.

Mixing lies between water contact and `mixed`, carry and tip together between `mixed` and `tipped`; a wait is in it, and
the job's own tip is taken off. A stroke is stamped at its end only: it cannot have begun before the same person's stamp
before it, nor before the last stamp on its batches. That bounds it from above, and is told only where the bound lies
under what the job says.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, replace

from engine.job.model import Times
from engine.pour.events import Event, Mixed, PartTipped, StrokeDone, Tipped, WaterAdded
from engine.pour.reckoning import Moment
from engine.pour.state import Batch
from engine.record.learning.findings import LEAST_STAMPS, Finding, spread_of
from engine.record.learning.seen import LoggedDay
from engine.words import say

STROKES = ("float", "first_trowel", "second_trowel", "broom")
CAUGHT_UP_S = 3.0  # stamps nearer than this were pressed afterwards, one after the other


@dataclass(frozen=True)
class Span:
    """Seconds (of a stroke: seconds per m²) between two stamps; `of` is a mix key or empty, `key` as in learned files."""

    day: int
    of: str
    key: str
    length: float


def spans_of(day: LoggedDay, number: int) -> Iterator[Span]:
    """Every span of a log that two pressed stamps bound."""
    lines = [event for event in day.journal.standing() if event.how != "assumed"]
    ends = {(type(line.body), getattr(line.body, "batch", "")): line for line in lines}
    moment = Moment(day.journal.day, lines[-1].at if lines else day.job.start)
    for batch in day.journal.day.batches:
        if not batch.source:
            yield from _vessel(moment, batch, ends, lines, number)
    for line in lines:
        if isinstance(line.body, StrokeDone) and line.body.name in STROKES:
            yield from _stroke(moment, line, line.body, lines, number)


def _vessel(
    moment: Moment, batch: Batch, ends: dict[tuple[type, str], Event], lines: Sequence[Event], number: int
) -> Iterator[Span]:
    water, mixed, tipped = (ends.get((kind, batch.id)) for kind in (WaterAdded, Mixed, Tipped))
    if water and mixed and mixed.at - water.at > CAUGHT_UP_S:
        yield Span(number, moment.card(batch.pour).key, "mixing_time", mixed.at - water.at)
    if mixed and tipped and tipped.at - mixed.at > CAUGHT_UP_S and not _busy(tipped, mixed.at, lines):
        yield Span(number, "", "carry", tipped.at - mixed.at)


def _busy(line: Event, since: float, lines: Sequence[Event]) -> bool:
    """Whether whoever did it had another stamp since: then the batch waited for them."""
    return any(
        other is not line and _by(other) == _by(line) != "" and since < other.at < line.at for other in lines
    )


def _by(line: Event) -> str:
    """Who did it, where somebody said so."""
    return "" if line.assumed else line.who


def _stroke(
    moment: Moment, line: Event, body: StrokeDone, lines: Sequence[Event], number: int
) -> Iterator[Span]:
    before = [other.at for other in lines if other.at < line.at and _bounds(other, line, body)]
    area_m2 = _area_m2(moment, body)
    if before and area_m2 > 0.0 and line.at - max(before) > CAUGHT_UP_S:
        yield Span(number, "", body.name, (line.at - max(before)) / area_m2)


def _bounds(other: Event, line: Event, body: StrokeDone) -> bool:
    """Whether a stamp ends what the stroke can only follow."""
    if _by(line) and _by(other) == _by(line):
        return True
    named = getattr(other.body, "batches", None) or (getattr(other.body, "batch", ""),)
    return isinstance(other.body, StrokeDone | Tipped | PartTipped) and bool({*named} & {*body.batches})


def _area_m2(moment: Moment, body: StrokeDone) -> float:
    """The part of its pours that a stroke went over: by the bags of its batches among those of their lift."""
    return sum(_batch_m2(moment, moment.day.batch(batch)) for batch in body.batches)


def _batch_m2(moment: Moment, batch: Batch) -> float:
    beside = [b for b in moment.day.batches_of(batch.pour) if moment.lift(b) == moment.lift(batch)]
    weights = {b.id: b.bags or 0.5 for b in beside}
    if batch.id not in weights:
        return 0.0
    return moment.day.pour(batch.pour).area_m2 * weights[batch.id] / sum(weights.values())


def mixing_finding(spans: Sequence[Span], key: str, was_s: float) -> Finding | None:
    """The mixing time of a mix; None where none was stamped."""
    return _found([s for s in spans if s.of == key and s.key == "mixing_time"], key, "mixing_time", was_s)


def crew_findings(spans: Sequence[Span], times: Sequence[Times]) -> tuple[Finding, ...]:
    """Carry and strokes beside what the jobs say, the latest job last."""
    found = [
        _found([s for s in spans if s.key == key], "", key, said(times[-1])) for key, said in _SAID.items()
    ]
    told = [_same_job(one, times) for one in found if one is not None]
    return tuple(_bound(one) if one.key in STROKES else _less(one, times[-1].tip_s) for one in told)


_SAID: dict[str, Callable[[Times], float]] = {
    "carry": lambda times: times.carry_s,
    "float": lambda times: times.float_s_m2,
    "first_trowel": lambda times: times.first_trowel_s_m2,
    "second_trowel": lambda times: times.second_trowel_s_m2,
    "broom": lambda times: times.broom_s_m2,
}


def _found(spans: Sequence[Span], of: str, key: str, was: float) -> Finding | None:
    if not spans:
        return None
    spread = spread_of([span.length for span in spans])
    days = len({span.day for span in spans})
    found = Finding(
        of, key, was, spread.count, days, spread.median, spread.low, spread.high, apart=spread.apart
    )
    if spread.count < LEAST_STAMPS:
        return replace(found, why=say("learned.few_stamps", count=spread.count, least=LEAST_STAMPS))
    return found


def _same_job(found: Finding, times: Sequence[Times]) -> Finding:
    """Jobs that state different times are not learned from together."""
    stated = {(_SAID[found.key](one), one.tip_s if found.key == "carry" else 0.0) for one in times}
    if found.why is None and len(stated) > 1:
        return replace(found, why=say("learned.jobs_differ"))
    return found


def _less(found: Finding, tip_s: float) -> Finding:
    """The carry without the tip that is stamped with it."""
    value, low, high = (max(0.0, (end or 0.0) - tip_s) for end in (found.value, found.low, found.high))
    return replace(found, value=value, low=low, high=high)


def _bound(found: Finding) -> Finding:
    """A stroke's spans are bounds: half of them at most as long as their median."""
    assert found.value is not None
    if found.why is None and found.value >= found.was:
        return replace(found, at_most=True, why=say("learned.only_bound"))
    return replace(found, at_most=True)
