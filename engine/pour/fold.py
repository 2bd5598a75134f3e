"""One event into the day: a small function per kind. The only place where facts of a day come from."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import asdict, replace
from typing import Any, TypeVar, cast

from engine.job.model import Pour
from engine.pour import events as e
from engine.pour import measured as m
from engine.pour import replanned as r
from engine.pour.body import Body
from engine.pour.posterior import Factor
from engine.pour.queue_order import moved, parted
from engine.pour.state import (
    Absence,
    Assignment,
    Batch,
    Called,
    CoverStep,
    Day,
    Note,
    Opening,
    Record,
    Sign,
    Stroke,
    Trial,
)
from engine.site.conditions import Reading

B = TypeVar("B", bound=Body)
Step = Callable[[Day, Any, e.Event], Day]
_STEPS: dict[type[Body], Step] = {}


def apply(day: Day, event: e.Event) -> Day:
    """The day after an event. Kinds without facts (openings of the log, clock jumps) change nothing."""
    if isinstance(event.body, e.MEASURED):
        day = replace(day, records=(*day.records, Record(event.body, event.at, event.who)))
    step = _STEPS.get(type(event.body))
    return step(day, event.body, event) if step else day


def _step(kind: type[B]) -> Callable[[Callable[[Day, B, e.Event], Day]], Callable[[Day, B, e.Event], Day]]:
    def register(function: Callable[[Day, B, e.Event], Day]) -> Callable[[Day, B, e.Event], Day]:
        _STEPS[kind] = cast(Step, function)
        return function

    return register


@_step(e.LogJoined)
def _joined(day: Day, _: e.LogJoined, __: e.Event) -> Day:
    return replace(day, called=())


@_step(e.ReadingTaken)
def _reading(day: Day, body: e.ReadingTaken, event: e.Event) -> Day:
    values = asdict(body)
    del values["station_ms"]
    return replace(day, readings=(*day.readings, Reading(at=event.at, **values)))


@_step(e.TrialStarted)
def _trial(day: Day, body: e.TrialStarted, event: e.Event) -> Day:
    trial = Trial(body.trial, body.mix, body.packets, body.bags, event.at)
    return replace(day, trials=(*day.trials, trial))


@_step(e.BagCalled)
def _called(day: Day, body: e.BagCalled, event: e.Event) -> Day:
    call = Called(body.pour, body.station, body.packets, event.who, event.assumed, event.at, event.seq)
    return replace(day, called=(*day.called, call))


@_step(e.WaterAdded)
def _water(day: Day, body: e.WaterAdded, event: e.Event) -> Day:
    batch = Batch(
        id=body.batch,
        pour=body.pour,
        bags=body.bags,
        packets=body.packets,
        water_at=event.at,
        mixer=event.who,
        mixer_assumed=event.assumed,
        station=body.station,
        seq=event.seq,
    )
    return replace(day, batches=(*day.batches, batch), called=_without_call(day, body.pour, body.station))


def _without_call(day: Day, pour: str, station: str) -> tuple[Called, ...]:
    """The calls left once one of them has its water: that of the station first, else the oldest of the pour."""
    of_pour = [call for call in day.called if call.pour == pour]
    met = [call for call in of_pour if call.station == station] or of_pour
    return tuple(call for call in day.called if call not in met[:1])


@_step(e.Mixed)
def _mixed(day: Day, body: e.Mixed, event: e.Event) -> Day:
    return day.with_batch(replace(day.batch(body.batch), mixed_at=event.at))


@_step(e.Tipped)
def _tipped(day: Day, body: e.Tipped, event: e.Event) -> Day:
    return day.with_batch(replace(day.batch(body.batch), tipped_at=event.at, tipped_by=event.who))


@_step(e.PartTipped)
def _part_tipped(day: Day, body: e.PartTipped, event: e.Event) -> Day:
    source = day.batch(body.source)
    portion = replace(
        source,
        id=body.batch,
        pour=body.pour,
        bags=0.0,
        source=body.source,
        seq=event.seq,
        tipped_at=event.at,
        tipped_by=event.who,
        strokes=(),
        skipped=(),
    )
    return replace(day, batches=(*day.batches, portion))


@_step(e.StrokeDone)
def _stroke(day: Day, body: e.StrokeDone, event: e.Event) -> Day:
    stroke = Stroke(body.name, event.at, event.who, event.assumed, event.seq)
    for batch_id in body.batches:
        batch = day.batch(batch_id)
        day = day.with_batch(replace(batch, strokes=(*batch.strokes, stroke)))
    return day


@_step(e.StrokeSkipped)
def _skipped(day: Day, body: e.StrokeSkipped, _: e.Event) -> Day:
    for batch_id in body.batches:
        batch = day.batch(batch_id)
        day = day.with_batch(replace(batch, skipped=(*batch.skipped, body.name)))
    return day


@_step(e.SignSeen)
def _sign(day: Day, body: e.SignSeen, event: e.Event) -> Day:
    return replace(day, signs=(*day.signs, Sign(body.word, body.subject, body.name, event.at, event.seq)))


@_step(e.SignForgotten)
def _forgotten(day: Day, body: e.SignForgotten, _: e.Event) -> Day:
    kept = tuple(sign for sign in day.signs if sign.seq != body.seq)
    gone = tuple(sign for sign in day.signs if sign.seq == body.seq)
    return replace(day, signs=kept, forgotten=(*day.forgotten, *gone))


@_step(e.FactorFrozen)
def _frozen(day: Day, body: e.FactorFrozen, event: e.Event) -> Day:
    return replace(day, freezes=(*day.freezes, (event.at, Factor(**asdict(body)))))


@_step(e.FactorFreed)
def _freed(day: Day, _: e.FactorFreed, event: e.Event) -> Day:
    return replace(day, freezes=(*day.freezes, (event.at, None)))


@_step(e.BatchLost)
def _lost(day: Day, body: e.BatchLost, event: e.Event) -> Day:
    return day.with_batch(replace(day.batch(body.batch), lost_at=event.at, why_lost=body.why))


@_step(e.BagRejected)
def _rejected(day: Day, body: e.BagRejected, event: e.Event) -> Day:
    return replace(day, rejected=(*day.rejected, (body.mix, body.why, event.at)))


@_step(e.VesselLost)
def _vessel_lost(day: Day, body: e.VesselLost, event: e.Event) -> Day:
    return replace(day, vessels_lost=(*day.vessels_lost, (body.station, event.at)))


@_step(e.Soaked)
def _soaked(day: Day, body: e.Soaked, event: e.Event) -> Day:
    return replace(day, soaked=(*day.soaked, (body.pour, event.at)))


@_step(e.Covered)
def _covered(day: Day, body: e.Covered, event: e.Event) -> Day:
    return replace(day, covers=(*day.covers, CoverStep(body.pour, body.cover, event.at)))


@_step(e.Uncovered)
def _uncovered(day: Day, body: e.Uncovered, event: e.Event) -> Day:
    return replace(day, covers=(*day.covers, CoverStep(body.pour, "", event.at)))


@_step(e.Opened)
def _opened(day: Day, body: e.Opened, event: e.Event) -> Day:
    return replace(day, opened=(*day.opened, Opening(body.pour, body.to, event.at, event.who)))


@_step(e.PacketsCorrected)
def _packets(day: Day, body: e.PacketsCorrected, _: e.Event) -> Day:
    shared = [b for b in day.batches if body.batch in (b.id, b.source)]
    for batch in shared:
        day = day.with_batch(replace(batch, packets=body.packets))
    return day


@_step(e.WentAway)
def _away(day: Day, body: e.WentAway, event: e.Event) -> Day:
    return replace(day, absences=(*day.absences, Absence(body.person, True, event.at)))


@_step(e.CameBack)
def _back(day: Day, body: e.CameBack, event: e.Event) -> Day:
    return replace(day, absences=(*day.absences, Absence(body.person, False, event.at)))


@_step(e.Assigned)
def _assigned(day: Day, body: e.Assigned, _: e.Event) -> Day:
    assignment = Assignment(body.person, body.pour, body.name, body.batches)
    return replace(day, assignments=(*day.assignments, assignment))


@_step(e.PourLeft)
def _left(day: Day, body: e.PourLeft, _: e.Event) -> Day:
    return replace(day, left=(*day.left, body.pour))


@_step(e.PourSplit)
def _split(day: Day, body: e.PourSplit, _: e.Event) -> Day:
    """The rest waits for nothing but its turn."""
    pours = parted(day.pours, body.pour, body.share, body.rest)
    pours = tuple(replace(pour, after=()) if pour.id == body.rest else pour for pour in pours)
    return replace(day, pours=pours, filled=(*day.filled, body.pour))


@_step(e.NoteWritten)
def _note(day: Day, body: e.NoteWritten, event: e.Event) -> Day:
    return replace(day, notes=(*day.notes, Note(body.where, body.text, event.at)))


@_step(m.DepthsRead)
def _depths(day: Day, body: m.DepthsRead, _: e.Event) -> Day:
    return _as_deep(day, body.pour, body.depths_m)


@_step(m.ChangeOrdered)
def _changed(day: Day, body: m.ChangeOrdered, _: e.Event) -> Day:
    return _as_deep(day, body.pour, body.depths_m)


def _as_deep(day: Day, pour_id: str, depths_m: tuple[float, ...]) -> Day:
    return _changed_pour(day, pour_id, depths_m=depths_m)


@_step(r.DoseSet)
def _dose(day: Day, body: r.DoseSet, _: e.Event) -> Day:
    return _changed_pour(day, body.pour, packets=body.packets)


@_step(r.FinishSet)
def _finish(day: Day, body: r.FinishSet, _: e.Event) -> Day:
    return _changed_pour(day, body.pour, finish=body.finish)


def _changed_pour(day: Day, pour_id: str, **values: Any) -> Day:
    return replace(day, pours=tuple(replace(p, **values) if p.id == pour_id else p for p in day.pours))


@_step(r.PourMoved)
def _moved(day: Day, body: r.PourMoved, _: e.Event) -> Day:
    return replace(day, pours=moved(day.pours, body.pour, body.before))


@_step(r.PourAdded)
def _added(day: Day, body: r.PourAdded, _: e.Event) -> Day:
    values = asdict(body)
    before = values.pop("before")
    pour = Pour(id=values.pop("pour"), **values)
    return replace(day, pours=moved((*day.pours, pour), pour.id, before))


@_step(r.PourDivided)
def _divided(day: Day, body: r.PourDivided, _: e.Event) -> Day:
    """What comes after the whole comes after both."""
    pours = parted(day.pours, body.pour, body.share, body.rest)
    return replace(day, pours=tuple(_also_after(pour, body) for pour in pours))


def _also_after(pour: Pour, body: r.PourDivided) -> Pour:
    return replace(pour, after=(*pour.after, body.rest)) if body.pour in pour.after else pour


@_step(r.PourTakenUp)
def _taken_up(day: Day, body: r.PourTakenUp, _: e.Event) -> Day:
    day = replace(day, left=tuple(pour for pour in day.left if pour != body.pour))
    return _changed_pour(day, body.pour, visit=1)


@_step(r.HandLent)
def _lent(day: Day, body: r.HandLent, _: e.Event) -> Day:
    return replace(day, lent=(*day.lent, (body.person, body.skill)))
