"""Moving the latest stamp earlier or later, never past what it must follow or precede."""

from __future__ import annotations

from engine.pour import events as e
from engine.pour.body import Body
from engine.pour.journal import Journal
from engine.pour.targets import Refusal
from engine.words import say

STAMPS = (
    e.WaterAdded,
    e.Mixed,
    e.Tipped,
    e.PartTipped,
    e.StrokeDone,
    e.SignSeen,
    e.BatchLost,
    e.TrialStarted,
    e.Soaked,
    e.Covered,
    e.Uncovered,
    e.Opened,
)


def latest_stamp(journal: Journal) -> e.Event | None:
    """The latest standing line that is a stamp of the work."""
    return next((event for event in reversed(journal.standing()) if isinstance(event.body, STAMPS)), None)


def shift(journal: Journal, now: float, by_s: float) -> tuple[int, float]:
    """Line and seconds of a shift. Raises `Refusal` past now, or before what the stamp must follow."""
    stamp = latest_stamp(journal)
    if stamp is None:
        raise Refusal(say("refusal.no_stamp"))
    moved = stamp.at + by_s
    if moved > now:
        raise Refusal(say("refusal.shift_future"))
    floor = _must_follow(journal, stamp)
    sign = isinstance(stamp.body, e.SignSeen)
    if floor is not None and (moved < floor or (sign and moved <= floor)):
        raise Refusal(say("refusal.shift_before"))
    return stamp.seq, by_s


def _must_follow(journal: Journal, stamp: e.Event) -> float | None:
    """The latest moment of the same batch before the stamp: tipping follows mixing follows water."""
    body = stamp.body
    names = set(getattr(body, "batches", ())) | {
        getattr(body, key, None) for key in ("batch", "subject", "source")
    }
    earlier = [
        event.at
        for event in journal.standing()
        if event.seq < stamp.seq and isinstance(event.body, STAMPS) and names & _speaks_of(event.body)
    ]
    return max(earlier, default=None)


def _speaks_of(body: Body) -> set[str]:
    found = set(getattr(body, "batches", ()))
    found |= {
        getattr(body, key)
        for key in ("batch", "subject", "trial")
        if isinstance(getattr(body, key, None), str)
    }
    return found
