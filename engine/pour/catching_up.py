"""The screen was behind the work: every step that should long be over is taken as done when it was due."""

from __future__ import annotations

from engine.clock import Stamp
from engine.pour import intents as i
from engine.pour.events import Event
from engine.pour.journal import Journal
from engine.pour.reckoning import Moment
from engine.pour.replanned import CaughtUp
from engine.pour.rules import RULES, Crew, Deed, Deeds
from engine.pour.stages import combined, next_stroke
from engine.pour.state import Batch
from engine.pour.targets import Refusal
from engine.words import say

LONG_OVER_S = 60.0  # a step in the vessel that nobody stamped for so long after its time
MOST = 500  # steps at one key


def caught_up(journal: Journal, moment: Moment, crew: Crew) -> Deeds:
    """Stamps of steps long over, each at the time it was due and marked as assumed. Raises `Refusal` where none is."""
    deeds: list[Deed] = []
    while len(deeds) < MOST and (step := _first_over(Moment(journal.day, moment.at))):
        at, intent = step
        for done in RULES[type(intent)](Moment(journal.day, at), intent, crew):
            deed = Deed(done.body, done.who, assumed=True, at=at)
            deeds.append(deed)
            journal = _taken(journal, deed, moment.at)
    if not deeds:
        raise Refusal(say("refusal.nothing_behind"))
    return (*deeds, Deed(CaughtUp(len(deeds))))


def _taken(journal: Journal, deed: Deed, now: float) -> Journal:
    number = (journal.event.seq if journal.event else 0) + 1
    at = now if deed.at is None else deed.at
    return journal.take(Event(number, at, deed.body, Stamp(now, now, "caught up"), deed.who, deed.assumed))


def _first_over(moment: Moment) -> tuple[float, i.Intent] | None:
    """The earliest step that is long over, and when it was due."""
    live = (batch for batch in moment.day.batches if batch.live)
    found = [step for batch in live if (step := _over(moment, batch))]
    return min(found, key=lambda step: step[0], default=None)


def _over(moment: Moment, batch: Batch) -> tuple[float, i.Intent] | None:
    if batch.tipped_at is None:
        return _over_in_vessel(moment, batch)
    name = next_stroke(moment, batch)
    if name is None:
        return None
    if name == "edge":
        done = max((stroke.at for stroke in batch.strokes), default=batch.tipped_at)
        return (done, i.StampStroke(name, batch.pour)) if moment.at - done > LONG_OVER_S else None
    window = combined(moment, (batch,))[name]
    last = max((stroke.at for stroke in batch.strokes), default=batch.tipped_at)
    return (max(window.due, last), i.StampStroke(name, batch.id)) if moment.at > window.late else None


def _over_in_vessel(moment: Moment, batch: Batch) -> tuple[float, i.Intent] | None:
    if batch.mixed_at is None:
        at = batch.water_at + moment.card(batch.pour).mixing_s
        return (at, i.StampMixed(batch.id)) if moment.at - at > LONG_OVER_S else None
    at = batch.mixed_at + moment.job.times.carry_s
    return (at, i.StampTipped(batch.id)) if moment.at - at > LONG_OVER_S else None
