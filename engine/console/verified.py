"""A log put to the test for whoever asks: what breaks it, what that means, what is odd in it."""

from __future__ import annotations

from pathlib import Path
from typing import Any

from engine.pour.events import LogJoined
from engine.pour.times import iso
from engine.record import verified
from engine.record.store import unusable
from engine.record.verified import Verified, is_log
from engine.words import Words, say

__all__ = ["is_log", "verify"]

NEVER_TORN = ("too_long", "payload", "place", "day")  # what no half-written last line looks like


def verify(log: Path, said: Words) -> dict[str, Any]:
    """Every line of a log judged, as plain JSON values; `whole` is the answer. Raises `BadInput` where it is no log."""
    try:
        with log.open("rb") as stream:
            found = verified.verify(stream, str(log))
    except OSError as error:
        raise unusable(log, f"a log was expected, but it cannot be read: {error.strerror}") from None
    return {
        "log": str(log),
        "whole": found.whole,
        **_head(found),
        "breaks": [{"line": one.line, "fault": one.fault, "what": said(one.said)} for one in found.breaks],
        "means": _means(found, said),
        "remarks": [{"line": one.line, "kind": one.kind, "what": said(one.said)} for one in found.remarks],
        "kinds": [{"kind": kind, "version": v, "lines": count} for kind, v, count in found.kinds],
        "joined": [_join(line, body) for line, body in found.joins],
        "set_aside": [str(path) for path in sorted(log.parent.glob(f"{log.name}.torn-*"))],
        "cautions": [said("verified.no_proof")],
    }


def _head(found: Verified) -> dict[str, Any]:
    job = found.job
    return {
        "lines": found.rows,
        "lines_standing": found.standing,
        "torn_bytes": len(found.tail),
        "hash": found.hash,
        "job": job.name if job else None,
        "date": job.date if job else None,
        "rehearsal": found.made_up,
    }


def _join(line: int, body: LogJoined) -> dict[str, Any]:
    """Where another log was joined, and which lines here are which of its lines there."""
    runs = [{"line": here, "line_there": there, "lines": count} for here, there, count in body.runs]
    return {
        "line": line,
        "log": body.log,
        "overlaps": body.overlaps,
        "from": iso(body.last_at),
        "to": iso(body.first_at),
        "runs": runs,
    }


def _means(found: Verified, said: Words) -> str | None:
    """What the breaks come to, in one sentence; None for a whole log."""
    if found.whole:
        return None
    first = found.breaks[0]
    if not found.standing:
        return said("verified.means_nothing")
    if first.line >= found.rows and first.fault not in NEVER_TORN:
        return said(say("verified.means_torn", lines=found.standing))
    return said(say("verified.means_damaged", line=first.line, lines=found.standing))
