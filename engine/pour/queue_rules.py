"""Rules for changes of the plan while the day runs: nothing here touches a clock."""

from __future__ import annotations

from engine.pour import intents as i
from engine.pour import replanned as r
from engine.pour.needs import bags_left
from engine.pour.reckoning import Moment
from engine.pour.rules import Crew, Deed, Deeds, person, rule
from engine.pour.stages import pour_state
from engine.pour.targets import Refusal, packets_allowed, pour_named
from engine.words import say


@rule(i.SetDose)
def _dose(moment: Moment, intent: i.SetDose, _: Crew) -> Deeds:
    pour = pour_named(moment, intent.pour)
    if bags_left(moment, pour) <= 0:
        raise Refusal(say("refusal.full", pour=pour.id))
    if intent.packets is not None:
        packets_allowed(moment.card(pour.id), intent.packets)
    return (Deed(r.DoseSet(pour.id, intent.packets)),)


@rule(i.SetFinish)
def _finish(moment: Moment, intent: i.SetFinish, _: Crew) -> Deeds:
    pour = pour_named(moment, intent.pour)
    if pour_state(moment, pour) in ("curing", "open"):
        raise Refusal(say("refusal.finished", pour=pour.id))
    if intent.finish == "broom" and moment.card(pour.id).passes.broom is None:
        raise Refusal(say("refusal.no_broom", mix=moment.takeoffs[pour.id].mix))
    return (Deed(r.FinishSet(pour.id, intent.finish)),)


@rule(i.MovePour)
def _move(moment: Moment, intent: i.MovePour, _: Crew) -> Deeds:
    pour = pour_named(moment, intent.pour)
    if moment.day.batches_of(pour.id):
        raise Refusal(say("refusal.begun", pour=pour.id))
    if intent.before:
        before = pour_named(moment, intent.before)
        if before.id == pour.id:
            raise Refusal(say("refusal.before_itself", pour=pour.id))
    return (Deed(r.PourMoved(pour.id, intent.before)),)


@rule(i.LendHand)
def _lend(moment: Moment, intent: i.LendHand, _: Crew) -> Deeds:
    who = person(moment, intent.person, None, str)[0]
    if any(intent.skill in one.does for one in moment.day.crew() if one.id == who):
        raise Refusal(say("refusal.does_already", who=who, skill=intent.skill))
    return (Deed(r.HandLent(who, intent.skill)),)
