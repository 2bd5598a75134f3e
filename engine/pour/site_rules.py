"""Rules for pours, people, stock, readings and notes."""

from __future__ import annotations

from dataclasses import fields, replace
from typing import Literal

from engine.job.model import Pour, Skill
from engine.pour import events as e
from engine.pour import intents as i
from engine.pour import replanned as r
from engine.pour.needs import bags_in, bags_left
from engine.pour.queue_order import parted
from engine.pour.reckoning import Moment
from engine.pour.rules import Crew, Deed, Deeds, after_water, person, rule
from engine.pour.stages import next_stroke
from engine.pour.targets import Refusal, batches_named, packets_allowed, placed_pour, pour_named
from engine.words import say

SKILLS: tuple[Skill, ...] = ("mix", "finish", "place")


@rule(i.RejectBag)
def _reject(moment: Moment, intent: i.RejectBag, crew: Crew) -> Deeds:
    pour = pour_named(moment, intent.pour or crew.called_pour() or moment.day.pours[0].id)
    return (Deed(e.BagRejected(moment.takeoffs[pour.id].mix, pour.id, intent.why)),)


@rule(i.LoseVessel)
def _vessel(moment: Moment, intent: i.LoseVessel, _: Crew) -> Deeds:
    known = [station.id for station in moment.job.stations]
    if intent.station and intent.station not in known:
        raise Refusal(say("refusal.no_station", station=intent.station, known=", ".join(known)))
    return (Deed(e.VesselLost(intent.station, intent.why)),)


@rule(i.SoakPour)
def _soak(moment: Moment, intent: i.SoakPour, _: Crew) -> Deeds:
    return (Deed(e.Soaked(pour_named(moment, intent.pour).id)),)


@rule(i.CoverPour)
def _cover(moment: Moment, intent: i.CoverPour, _: Crew) -> Deeds:
    return (Deed(e.Covered(placed_pour(moment, intent.pour).id, intent.cover)),)


@rule(i.UncoverPour)
def _uncover(moment: Moment, intent: i.UncoverPour, _: Crew) -> Deeds:
    return (Deed(e.Uncovered(placed_pour(moment, intent.pour).id)),)


@rule(i.OpenPour)
def _open(moment: Moment, intent: i.OpenPour, _: Crew) -> Deeds:
    who, assumed = person(moment, intent.who, None, str)
    return (Deed(e.Opened(placed_pour(moment, intent.pour).id, intent.to), who, assumed),)


def _member(moment: Moment, name: str) -> str:
    return person(moment, name, None, str)[0]


@rule(i.MarkAway)
def _away(moment: Moment, intent: i.MarkAway, _: Crew) -> Deeds:
    if _member(moment, intent.person) in moment.day.away():
        raise Refusal(say("refusal.away_already", who=intent.person))
    return (Deed(e.WentAway(intent.person), intent.person),)


@rule(i.MarkBack)
def _back(moment: Moment, intent: i.MarkBack, _: Crew) -> Deeds:
    if _member(moment, intent.person) not in moment.day.away():
        raise Refusal(say("refusal.here_already", who=intent.person))
    return (Deed(e.CameBack(intent.person), intent.person),)


@rule(i.Assign)
def _assign(moment: Moment, intent: i.Assign, _: Crew) -> Deeds:
    """On a batch in its vessel, its tipping; on a tipped one, its next stroke; on a pour without, a kind of its work."""
    who = _member(moment, intent.person)
    batches = () if _nothing_in(moment, intent.key) else batches_named(moment, intent.key)
    if not batches:
        pour = pour_named(moment, intent.key)
        return (Deed(e.Assigned(who, pour.id, _work(moment, who, intent.work)), who),)
    first = batches[0]
    name = "place" if first.tipped_at is None else next_stroke(moment, first)
    if name is None:
        raise Refusal(say("refusal.nothing_ahead", which=intent.key))
    on = tuple(b.id for b in batches if name == "place" or next_stroke(moment, b) == name)
    return (Deed(e.Assigned(who, first.pour, name, on), who),)


def _work(moment: Moment, who: str, wanted: Skill | Literal[""]) -> Skill:
    """What somebody does for a pour beforehand: what was named, else mixing, finishing or placing, what they do first."""
    does = next(one.does for one in moment.day.crew() if one.id == who)
    work = wanted or next(skill for skill in SKILLS if skill in does)
    if work not in does:
        raise Refusal(say("refusal.does_not", who=who, skill=work))
    return work


def _nothing_in(moment: Moment, key: str) -> bool:
    return moment.day.has_pour(key) and not moment.day.batches_of(key)


@rule(i.SplitPour)
def _split(moment: Moment, intent: i.SplitPour, _: Crew) -> Deeds:
    if _nothing_in(moment, intent.pour):
        return _divide(moment, moment.day.pour(intent.pour), 0.5 if intent.share is None else intent.share)
    pour = placed_pour(moment, intent.pour)
    if pour.id in moment.day.filled or (bags_left(moment, pour) <= 0 and intent.share is None):
        raise Refusal(say("refusal.full", pour=pour.id))
    share = intent.share
    if share is None:
        share = bags_in(moment, pour) / moment.takeoffs[pour.id].bags
    split = e.PourSplit(pour.id, _part(share), rest_of(moment, pour.id))
    if _lifts_differ(moment, split):
        raise Refusal(say("refusal.split_lifts", pour=pour.id))
    return (Deed(split),)


def _part(share: float) -> float:
    if not 0.0 < share < 1.0:
        raise Refusal(say("refusal.share", share=f"{share:.2f}"))
    return share


def _lifts_differ(moment: Moment, split: e.PourSplit) -> bool:
    """Whether what is wet would lie in another lift after a split: its windows would jump."""
    pours = parted(moment.day.pours, split.pour, split.share, split.rest)
    after = Moment(replace(moment.day, pours=pours), moment.at)
    return any(after.lift(batch) != moment.lift(batch) for batch in moment.day.batches_of(split.pour))


def _divide(moment: Moment, pour: Pour, share: float) -> Deeds:
    """Two pours of one not begun. Raises `Refusal` where it shares a bag."""
    if any(pour.id in (one.id, one.shares) for one in moment.day.pours if one.shares):
        raise Refusal(say("refusal.divide_shared", pour=pour.id))
    return (Deed(r.PourDivided(pour.id, _part(share), rest_of(moment, pour.id))),)


def rest_of(moment: Moment, pour_id: str) -> str:
    """The id of what is left of a split pour: P2, P2b, P2c and so on."""
    is_rest = moment.day.has_pour(pour_id[:-1]) and pour_id[:-1] in moment.day.filled
    base = pour_id[:-1] if is_rest else pour_id
    letters = (f"{base}{chr(letter)}" for letter in range(ord("b"), ord("z") + 1))
    free = next((name for name in letters if not moment.day.has_pour(name)), None)
    if free is None:
        raise Refusal(say("refusal.split_often", pour=pour_id))
    return free


@rule(i.StartTrial)
def _trial(moment: Moment, intent: i.StartTrial, _: Crew) -> Deeds:
    mix = intent.mix or moment.takeoffs[moment.day.pours[0].id].mix
    try:
        card = moment.job.mix(mix)
    except KeyError:
        raise Refusal(
            say("refusal.no_mix", mix=mix, known=", ".join(c.key for c in moment.job.mixes))
        ) from None
    packets = packets_allowed(card, intent.packets)
    return (Deed(e.TrialStarted(f"T{len(moment.day.trials) + 1}", mix, packets)),)


@rule(i.TrialStiff)
def _trial_stiff(moment: Moment, intent: i.TrialStiff, _: Crew) -> Deeds:
    seen = {sign.subject for sign in moment.day.signs}
    standing = [t for t in moment.day.trials if t.id not in seen and intent.mix in ("", t.mix)]
    if not standing:
        raise Refusal(say("refusal.no_trial"))
    after_water(moment, standing[-1].id, standing[-1].water_at)
    return (Deed(e.SignSeen("stiff", standing[-1].id)),)


@rule(i.TakeReading)
def _reading(moment: Moment, intent: i.TakeReading, _: Crew) -> Deeds:
    values = intent.values
    if values.pour:
        pour_named(moment, values.pour)
    if all(getattr(values, field.name) is None for field in fields(values) if field.name != "pour"):
        raise Refusal(say("refusal.no_reading"))
    if values.ice_kg is not None and values.ice_kg > min(card.water.target_l for card in moment.job.mixes):
        raise Refusal(say("refusal.ice"))
    if values.station_ms is not None:
        share = moment.job.practice["evaporation.station_share"]
        values = replace(values, wind_ms=values.station_ms * share)
    return (Deed(values),)


@rule(i.WriteNote)
def _note(moment: Moment, intent: i.WriteNote, _: Crew) -> Deeds:
    del moment
    return (Deed(e.NoteWritten(intent.text, intent.where)),)
