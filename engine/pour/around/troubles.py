"""What went wrong last and is not answered yet: a batch lost, a vessel gone, somebody away, a pass late."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass

from engine.pour import events as e
from engine.pour.body import Body
from engine.pour.journal import Journal
from engine.pour.needs import bags_left
from engine.pour.reckoning import Moment
from engine.pour.replanned import WayTaken
from engine.pour.stages import next_pass
from engine.pour.state import Batch, Day
from engine.words import Say, say

RECENT_S = 900.0  # older troubles have long been dealt with


@dataclass(frozen=True)
class Trouble:
    """What it is in words, and the day as it was before it (None: it came by itself)."""

    said: Say
    before: Day | None = None


def trouble_of(journal: Journal, moment: Moment) -> Trouble | None:
    """The latest trouble of the last quarter of an hour that still matters and that no way out has answered."""
    for node in _recent(journal, moment.at):
        body = node.event.body if node.event else None
        if isinstance(body, WayTaken):
            break
        said = _said(moment, body)
        if said and node.before:
            return Trouble(said, node.before.day)
    late = late_passes(moment)
    if late:
        batch, name = late[0]
        return Trouble(say("trouble.late", batch=batch.id, stroke=name.replace("_", " ")))
    return None


def _recent(journal: Journal, at: float) -> Iterator[Journal]:
    node: Journal | None = journal
    while node is not None and node.event is not None and node.event.at > at - RECENT_S:
        yield node
        node = node.before


def _said(moment: Moment, body: Body | None) -> Say | None:
    day = moment.day
    if isinstance(body, e.BatchLost):
        pour = day.pour(day.batch(body.batch).pour)
        return say("trouble.lost", batch=body.batch) if bags_left(moment, pour) > 0 else None
    if isinstance(body, e.VesselLost):
        return say("trouble.vessel")
    if isinstance(body, e.WentAway) and body.person in day.away():
        return say("trouble.away", who=body.person)
    return None


def late_passes(
    moment: Moment, takes_s: Callable[[Batch, str], float] = lambda _batch, _name: 0.0
) -> tuple[tuple[Batch, str], ...]:
    """Batches whose next pass is past its `late`, or would be once it is done, the longest past first."""
    found = []
    for batch in moment.day.batches:
        name = next_pass(moment, batch)
        window = moment.windows(batch).get(name) if name else None
        if name and window and moment.at + takes_s(batch, name) > window.late:
            found.append((window.late, batch, name))
    return tuple((batch, name) for _, batch, name in sorted(found, key=lambda one: (one[0], one[1].seq)))
