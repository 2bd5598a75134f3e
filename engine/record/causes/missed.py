"""A missed window or a late opening, and its seconds by cause: as values, as plain JSON values, as sentences."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from typing import Any, Literal, get_args

from engine.pour.times import iso
from engine.units import show_duration
from engine.words import Say, Words, say

What = Literal["float", "first_trowel", "second_trowel", "broom", "workable", "joint", "feet", "wheels"]
Cause = Literal["temperature", "packet", "materials", "pace", "waiting", "crew", "calls", "rest"]
CAUSES: tuple[Cause, ...] = get_args(Cause)[:-1]  # those that are set back to plan
LEAST_TOLD_S, LEAST_TOLD = 0.5, 0.02  # a share, in seconds and of the lateness, that is put into words


@dataclass(frozen=True)
class Share:
    """Seconds of a lateness that go to a cause; negative: it would have been so much later without it."""

    cause: Cause
    seconds: float


@dataclass(frozen=True)
class Missed:
    """Something past its limit by `late_s`. Times are log time in seconds; the shares add up to `late_s`.

    A pass, its stamp past `late`. `workable`: a batch tipped, or given up in its vessel, after its working time.
    `joint`: tipped against an edge that was no longer workable. `feet`, `wheels`: an opening later than promised
    or (`promised` false) than planned; `batch` is the one that decides it, and `actual` lies ahead where nobody
    stamped it. `due` is when the work was due, for openings and tips the limit itself.
    """

    what: What
    pour: str
    batch: str
    due: float
    limit: float
    actual: float
    late_s: float
    shares: tuple[Share, ...]
    promised: bool = False

    def of(self, cause: Cause) -> float:
        """Seconds of one cause; 0 where it has none."""
        return sum(share.seconds for share in self.shares if share.cause == cause)


def missed_said(missed: Iterable[Missed]) -> tuple[Say, ...]:
    """A sentence each: what was late, by how much, and where the seconds come from."""
    return tuple(_said(one) for one in missed)


def _said(one: Missed) -> Say:
    what = say(f"why.what.{one.what}", pour=one.pour, batch=one.batch)
    key = "why.late" if one.what not in ("feet", "wheels") or one.promised else "why.later"
    return say(key, what=what, late=show_duration(one.late_s), parts=parts_said(one.shares, one.late_s))


def parts_said(shares: Iterable[Share], of_s: float) -> Say:
    """Where `of_s` seconds come from, the most first; shares that are next to nothing left out."""
    least_s = max(LEAST_TOLD_S, LEAST_TOLD * abs(of_s))
    told = [share for share in shares if abs(share.seconds) >= least_s]
    told.sort(key=lambda share: (share.cause == "rest", -share.seconds))
    parts = [_part(share) for share in told] or [say("why.nothing")]
    whole = parts[-1]
    for part in reversed(parts[:-1]):
        whole = say("why.and", first=part, rest=whole)
    return whole


def _part(share: Share) -> Say:
    time = show_duration(abs(share.seconds))
    if share.cause == "rest":
        return say("why.rest" if share.seconds > 0.0 else "why.shared", time=time)
    key = "why.from" if share.seconds > 0.0 else "why.gained"
    return say(key, time=time, cause=say(f"why.cause.{share.cause}"))


def missed_table(missed: Iterable[Missed], said: Words) -> list[dict[str, Any]]:
    """One row a miss as plain JSON values: ISO times, seconds, and its sentence."""
    return [_row(one, said) for one in missed]


def _row(one: Missed, said: Words) -> dict[str, Any]:
    return {
        "what": one.what,
        "pour": one.pour,
        "batch": one.batch,
        "due": iso(one.due),
        "limit": iso(one.limit),
        "actual": iso(one.actual),
        "promised": one.promised,
        "late_s": round(one.late_s, 3),
        "shares": [{"cause": share.cause, "share_s": round(share.seconds, 3)} for share in one.shares],
        "text": said(_said(one)),
    }
