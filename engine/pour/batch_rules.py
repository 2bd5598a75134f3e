"""Rules for batches: called, watered, mixed, tipped, stroked, judged, lost."""

from __future__ import annotations

from typing import cast

from engine.pour import events as e
from engine.pour import intents as i
from engine.pour.needs import bags_a_batch, bags_left, next_bags, this_visit
from engine.pour.reckoning import Moment
from engine.pour.rules import Crew, Deed, Deeds, after_water, person, rule
from engine.pour.targets import (
    Refusal,
    batch_named,
    batches_named,
    for_skip,
    for_stroke,
    for_surface_sign,
    for_workable_sign,
    packets_allowed,
    pour_named,
)
from engine.words import say


@rule(i.CallBag)
def _call(moment: Moment, intent: i.CallBag, crew: Crew) -> Deeds:
    pour = pour_named(moment, intent.pour or crew.called_pour())
    if bags_left(moment, pour) <= 0:
        raise Refusal(say("refusal.full", pour=pour.id))
    who, assumed = person(moment, intent.who, "mix", lambda: crew.who("mix", pour.id))
    body = e.BagCalled(pour.id, crew.station(pour.id, who), crew.packets(pour.id))
    return (Deed(body, who, assumed),)


@rule(i.AddWater)
def _water(moment: Moment, intent: i.AddWater, crew: Crew) -> Deeds:
    pour = pour_named(moment, intent.pour)
    call = next((call for call in moment.day.called if call.pour == pour.id), None)
    planned = call.packets if call else crew.packets(pour.id)
    packets = packets_allowed(moment.card(pour.id), planned if intent.packets is None else intent.packets)
    who, assumed = person(moment, intent.who, "mix", lambda: call.who if call else crew.who("mix", pour.id))
    station = intent.station or (call.station if call else crew.station(pour.id, who))
    bags = 0.5 if intent.half else next_bags(moment, pour, _station_bags(moment, station))
    body = e.WaterAdded(_number(moment, pour.id), pour.id, bags, packets, station)
    return (Deed(body, who, assumed),)


def _station_bags(moment: Moment, station: str) -> float:
    known = {s.id: s.bags_per_batch for s in moment.job.stations}
    return known.get(station, bags_a_batch(moment))


def _number(moment: Moment, pour_id: str) -> str:
    """The next batch's number in its pour; lost ones keep theirs."""
    return f"{pour_id}.{1 + sum(1 for b in moment.day.batches if b.pour == pour_id and not b.source)}"


@rule(i.StampMixed)
def _mixed(moment: Moment, intent: i.StampMixed, _: Crew) -> Deeds:
    batch = batch_named(moment, intent.batch)
    if batch.mixed_at is not None or batch.tipped_at is not None:
        raise Refusal(say("refusal.mixed_already", batch=batch.id))
    return (Deed(e.Mixed(batch.id), intent.who or batch.mixer, not intent.who),)


@rule(i.StampTipped)
def _tipped(moment: Moment, intent: i.StampTipped, crew: Crew) -> Deeds:
    if intent.source:
        return _part_tipped(moment, intent, crew)
    batch = batch_named(moment, intent.which)
    if batch.tipped_at is not None:
        raise Refusal(say("refusal.tipped_already", batch=batch.id))
    who, assumed = person(moment, intent.who, "place", lambda: crew.who("place", batch.pour, batch.id))
    return (Deed(e.Tipped(batch.id), who, assumed),)


def _part_tipped(moment: Moment, intent: i.StampTipped, crew: Crew) -> Deeds:
    pour, source = pour_named(moment, intent.which), batch_named(moment, intent.source)
    if source.pour == pour.id:
        raise Refusal(say("refusal.own_pour", batch=source.id, pour=pour.id))
    portion = f"{source.id}/{pour.id}"
    if moment.day.has_batch(portion):
        raise Refusal(say("refusal.tipped_already", batch=portion))
    who, assumed = person(moment, intent.who, "place", lambda: crew.who("place", pour.id, source.id))
    return (Deed(e.PartTipped(portion, pour.id, source.id), who, assumed),)


@rule(i.StampStroke)
def _stroke(moment: Moment, intent: i.StampStroke, crew: Crew) -> Deeds:
    batches = for_stroke(moment, intent.which, intent.name)
    first = batches[0]
    who, assumed = person(moment, intent.who, "finish", lambda: crew.who(intent.name, first.pour, first.id))
    return (Deed(e.StrokeDone(intent.name, tuple(batch.id for batch in batches)), who, assumed),)


@rule(i.SkipNext)
def _skip(moment: Moment, intent: i.SkipNext, _: Crew) -> Deeds:
    if moment.day.has_pour(intent.which) and not moment.day.batches_of(intent.which):
        if not this_visit(moment, moment.day.pour(intent.which)):
            raise Refusal(say("refusal.left_already", pour=intent.which))
        return (Deed(e.PourLeft(intent.which)),)
    name, batches = for_skip(moment, intent.which)
    return (Deed(e.StrokeSkipped(name, tuple(batch.id for batch in batches))),)


def _surface(moment: Moment, word: e.SignWord, which: str) -> Deeds:
    batch, name = for_surface_sign(moment, which)
    after_water(moment, batch.id, batch.water_at)
    return (Deed(e.SignSeen(word, batch.id, cast(e.StrokeName, name))),)


@rule(i.SeeReady)
def _ready(moment: Moment, intent: i.SeeReady, _: Crew) -> Deeds:
    return _surface(moment, "ready", intent.which)


@rule(i.SeeNotYet)
def _not_yet(moment: Moment, intent: i.SeeNotYet, _: Crew) -> Deeds:
    return _surface(moment, "not yet", intent.which)


@rule(i.SeeStiff)
def _stiff(moment: Moment, intent: i.SeeStiff, _: Crew) -> Deeds:
    batch = for_workable_sign(moment, intent.which)
    after_water(moment, batch.id, batch.water_at)
    return (Deed(e.SignSeen("stiff", batch.id)),)


@rule(i.SeeStillMoves)
def _moves(moment: Moment, intent: i.SeeStillMoves, _: Crew) -> Deeds:
    return (Deed(e.SignSeen("still moves", for_workable_sign(moment, intent.which).id)),)


@rule(i.LoseBatch)
def _lose(moment: Moment, intent: i.LoseBatch, _: Crew) -> Deeds:
    batches = batches_named(moment, intent.which)
    if len(batches) != 1:
        raise Refusal(say("refusal.which_batch", which=intent.which))
    return (Deed(e.BatchLost(batches[0].id, intent.why)),)


@rule(i.CorrectPackets)
def _correct(moment: Moment, intent: i.CorrectPackets, _: Crew) -> Deeds:
    batch = batch_named(moment, intent.batch)
    return (
        Deed(
            e.PacketsCorrected(
                batch.source or batch.id, packets_allowed(moment.card(batch.pour), intent.packets)
            )
        ),
    )
