"""Intents to what is written, or a refusal with its reason. Pure: nothing is changed here, nothing is stamped."""

from __future__ import annotations

from engine.clock import Stamp
from engine.pour import batch_rules, measured_rules, queue_rules, site_rules, teaching_rules  # noqa: F401  (they fill the registry)
from engine.pour import intents as i
from engine.pour.catching_up import caught_up
from engine.pour.events import Event, StampShifted, Undone
from engine.pour.journal import Journal
from engine.pour.reckoning import Moment
from engine.pour.replanned import CaughtUp, WayTaken
from engine.pour.rules import RULES, Crew, Deed, Deeds
from engine.pour.shifting import shift
from engine.pour.stages import finish_in, next_stroke
from engine.pour.targets import Refusal, batches_named
from engine.words import say


def decide(journal: Journal, moment: Moment, intent: i.Intent, crew: Crew) -> Deeds:
    """What an intent writes at a moment. Raises `Refusal` where the day does not allow it."""
    if isinstance(intent, i.Undo):
        return _undo(journal)
    if isinstance(intent, i.Shift):
        return (Deed(StampShifted(*shift(journal, moment.at, intent.by_s))),)
    if isinstance(intent, i.TakeWay):
        _, deeds = tried(journal, moment, intent.steps, crew)
        return (*deeds, Deed(WayTaken(intent.parts, len(deeds))))
    if isinstance(intent, i.CatchUp):
        return caught_up(journal, moment, crew)
    if isinstance(intent, i.Advance):
        intent = advance(moment, intent)
    return RULES[type(intent)](moment, intent, crew)


def _undo(journal: Journal) -> Deeds:
    """The latest line standing; of a way out or a catching up, all its lines."""
    if journal.event is None:
        raise Refusal(say("refusal.nothing_to_undo"))
    body = journal.event.body
    lines = body.lines if isinstance(body, WayTaken | CaughtUp) else 0
    found: list[Deed] = []
    node: Journal | None = journal
    while node is not None and node.event is not None and len(found) <= lines:
        found.append(Deed(Undone(node.event.seq)))
        node = node.before
    return tuple(found)


def tried(journal: Journal, moment: Moment, steps: tuple[i.Intent, ...], crew: Crew) -> tuple[Journal, Deeds]:
    """The journal after intents asked for one after the other at one moment, and what they write. Raises `Refusal`."""
    deeds: list[Deed] = []
    for step in steps:
        for deed in decide(journal, Moment(journal.day, moment.at), step, crew):
            deeds.append(deed)
            number = (journal.event.seq if journal.event else 0) + 1
            stamp = Stamp(moment.at, moment.at, "tried")
            journal = journal.take(Event(number, moment.at, deed.body, stamp, deed.who, deed.assumed))
    return journal, tuple(deeds)


def advance(moment: Moment, intent: i.Advance) -> i.Intent:
    """The intent that the suggested next step of a row stands for. Raises `Refusal` where nothing is left to do."""
    call = next((call for call in moment.day.called if f"{call.pour} called" == intent.key), None)
    if call:
        return i.AddWater(call.pour, intent.who)
    batches = batches_named(moment, intent.key)
    if not batches:
        raise Refusal(say("refusal.nothing_mixed", which=intent.key))
    first = batches[0]
    if first.tipped_at is None:
        if first.mixed_at is None:
            return i.StampMixed(first.id, intent.who)
        return i.StampTipped(first.id, intent.who)
    name = next((n for batch in batches if (n := next_stroke(moment, batch))), None)
    if name is None:
        raise Refusal(say("refusal.nothing_ahead", which=intent.key))
    return i.StampStroke(name, first.pour if name == "edge" else intent.key, intent.who)


def row_batches(moment: Moment, pour_id: str) -> tuple[tuple[str, ...], ...]:
    """The rows of a pour: one for all of it where it is finished whole and all is tipped, else one a batch."""
    batches = moment.day.batches_of(pour_id)
    whole = len(batches) > 1 and all(batch.tipped_at is not None for batch in batches)
    steps = {next_stroke(moment, batch) for batch in batches}
    if whole and len(steps) == 1 and finish_in(moment, moment.day.pour(pour_id)) == "whole":
        return (tuple(batch.id for batch in batches),)
    return tuple((batch.id,) for batch in batches)
