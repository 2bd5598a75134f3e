"""Rules for changes of the plan, before and while the day runs: nothing here touches a clock."""

from __future__ import annotations

from dataclasses import replace

from engine.job.model import Pour
from engine.pour import intents as i
from engine.pour import replanned as r
from engine.pour.needs import bags_left, this_visit
from engine.pour.queue_order import moved, order_broken
from engine.pour.reckoning import Moment
from engine.pour.rules import Crew, Deed, Deeds, person, rule
from engine.pour.stages import pour_state
from engine.pour.targets import Refusal, finish_served, packets_allowed, pour_named
from engine.words import say


@rule(i.SetDose)
def _dose(moment: Moment, intent: i.SetDose, _: Crew) -> Deeds:
    pour = pour_named(moment, intent.pour)
    if this_visit(moment, pour) and bags_left(moment, pour) <= 0:
        raise Refusal(say("refusal.full", pour=pour.id))
    if intent.packets is not None:
        packets_allowed(moment.card(pour.id), intent.packets)
    return (Deed(r.DoseSet(pour.id, intent.packets)),)


@rule(i.SetFinish)
def _finish(moment: Moment, intent: i.SetFinish, _: Crew) -> Deeds:
    pour = pour_named(moment, intent.pour)
    if pour_state(moment, pour) in ("curing", "open"):
        raise Refusal(say("refusal.finished", pour=pour.id))
    if any(intent.finish != other.finish for other in sharing(moment, pour)):
        raise Refusal(say("refusal.shared_finish", pour=pour.id))
    return (Deed(r.FinishSet(pour.id, finish_served(moment.card(pour.id), intent.finish))),)


def sharing(moment: Moment, pour: Pour) -> tuple[Pour, ...]:
    """The other pours that one bag fills together with this one."""
    host = pour.shares or pour.id
    return tuple(
        other for other in moment.day.pours if other.id != pour.id and host in (other.id, other.shares)
    )


@rule(i.MovePour)
def _move(moment: Moment, intent: i.MovePour, _: Crew) -> Deeds:
    pour = pour_named(moment, intent.pour)
    if moment.day.batches_of(pour.id):
        raise Refusal(say("refusal.begun", pour=pour.id))
    if intent.before:
        before = pour_named(moment, intent.before)
        if before.id == pour.id:
            raise Refusal(say("refusal.before_itself", pour=pour.id))
    _in_order(moved(moment.day.pours, pour.id, intent.before))
    return (Deed(r.PourMoved(pour.id, intent.before)),)


def _in_order(pours: tuple[Pour, ...]) -> None:
    """Raises `Refusal` for an order that the pours themselves forbid."""
    if broken := order_broken(pours):
        raise Refusal(broken)


@rule(i.AddPour)
def _add(moment: Moment, intent: i.AddPour, _: Crew) -> Deeds:
    patch, queue = intent.patch, moment.day.pours
    pour = Pour(
        id=_new_id(moment, patch.id),
        area_m2=patch.area_m2,
        depths_m=patch.depths_m,
        finish=patch.finish or queue[-1].finish,
        where=patch.where,
        edges=patch.edges,
        use=patch.use,
        mix=_known_mix(moment, patch.mix),
        packets=patch.packets,
        length_m=patch.length_m,
        width_m=patch.width_m,
        outline_m=patch.outline_m,
    )
    before = pour_named(moment, patch.before).id if patch.before else ""
    _can_be_done(moment, pour)
    _in_order(moved((*queue, pour), pour.id, before))
    return (Deed(_added(pour, before)),)


def _added(pour: Pour, before: str) -> r.PourAdded:
    return r.PourAdded(
        pour=pour.id,
        area_m2=pour.area_m2,
        depths_m=pour.depths_m,
        finish=pour.finish,
        where=pour.where,
        edges=pour.edges,
        use=pour.use,
        mix=pour.mix,
        packets=pour.packets,
        length_m=pour.length_m,
        width_m=pour.width_m,
        outline_m=pour.outline_m,
        before=before,
    )


def _new_id(moment: Moment, wanted: str) -> str:
    """An id that no pour of the day has or had; where none is wanted, A1, A2 and so on."""
    taken = {pour.id.casefold() for pour in moment.day.pours}
    if wanted.casefold() in taken:
        raise Refusal(say("refusal.pour_known", pour=wanted))
    return wanted or next(name for n in range(1, len(taken) + 2) if (name := f"A{n}").casefold() not in taken)


def _known_mix(moment: Moment, mix: str) -> str:
    """A mix of the job in any case; empty stays empty."""
    keys = {card.key.casefold(): card.key for card in moment.job.mixes}
    if mix and mix.casefold() not in keys:
        raise Refusal(say("refusal.no_mix", mix=mix, known=", ".join(keys.values())))
    return keys.get(mix.casefold(), "")


def _can_be_done(moment: Moment, pour: Pour) -> None:
    """Raises `Refusal` where the card that fills it serves neither its finish nor its dose."""
    card = Moment(replace(moment.day, pours=(*moment.day.pours, pour)), moment.at).card(pour.id)
    finish_served(card, pour.finish)
    if pour.packets is not None:
        packets_allowed(card, pour.packets)


@rule(i.TakeUpPour)
def _take_up(moment: Moment, intent: i.TakeUpPour, _: Crew) -> Deeds:
    pour = pour_named(moment, intent.pour)
    if this_visit(moment, pour):
        raise Refusal(say("refusal.done_today", pour=pour.id))
    return (Deed(r.PourTakenUp(pour.id)),)


@rule(i.LendHand)
def _lend(moment: Moment, intent: i.LendHand, _: Crew) -> Deeds:
    who = person(moment, intent.person, None, str)[0]
    if any(intent.skill in one.does for one in moment.day.crew() if one.id == who):
        raise Refusal(say("refusal.does_already", who=who, skill=intent.skill))
    return (Deed(r.HandLent(who, intent.skill)),)
