"""Rules for what the clock learns from: a sign forgotten, the rate factor frozen and freed."""

from __future__ import annotations

from dataclasses import asdict

from engine.pour import events as e
from engine.pour import intents as i
from engine.pour.around.teaching import numbered
from engine.pour.reckoning import Moment
from engine.pour.rules import Crew, Deed, Deeds, rule
from engine.pour.targets import Refusal
from engine.words import say


@rule(i.ForgetSign)
def _forget(moment: Moment, intent: i.ForgetSign, _: Crew) -> Deeds:
    signs = numbered(moment.day)
    if not 0 < intent.number <= len(signs):
        raise Refusal(say("refusal.no_sign", number=intent.number, count=len(signs)))
    sign = signs[intent.number - 1]
    if sign in moment.day.forgotten:
        raise Refusal(say("refusal.forgotten", number=intent.number))
    return (Deed(e.SignForgotten(sign.seq, sign.word, sign.subject)),)


@rule(i.FreezeFactor)
def _freeze(moment: Moment, _intent: i.FreezeFactor, _: Crew) -> Deeds:
    if moment.frozen:
        raise Refusal(say("refusal.frozen", value=f"{moment.factor.value:.2f}"))
    return (Deed(e.FactorFrozen(**asdict(moment.factor))),)


@rule(i.FreeFactor)
def _free(moment: Moment, _intent: i.FreeFactor, _: Crew) -> Deeds:
    if not moment.frozen:
        raise Refusal(say("refusal.not_frozen"))
    return (Deed(e.FactorFreed()),)
