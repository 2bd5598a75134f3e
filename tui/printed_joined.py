"""Joined logs as text: which, the gaps between them, what is called otherwise now, what is to be looked at."""

from __future__ import annotations

import datetime
from collections.abc import Iterator

from engine.units import show_clock, show_duration
from tui.speech import Table, points


def joined_text(found: Table) -> str:
    """What `join` prints without `--json`."""
    return "\n".join(_lines(found))


def _lines(found: Table) -> Iterator[str]:
    rehearsed = "REHEARSAL, a made-up day: " if found["rehearsal"] else ""
    yield f"{rehearsed}{found['log']}: {found['lines']} lines, {found['job']}, {found['date']}"
    gaps = [None, *found["gaps"]]
    for log, gap in zip(found["logs"], gaps, strict=True):
        if gap:
            yield f"  {_gap(gap, found['time_zone'])}"
        yield f"  {log['log']}, {log['lines']} lines"
    yield from points(_renamed(found))
    yield from points(found["remarks"])
    yield ""
    yield from points(found["cautions"])
    yield f"read it with `bagcall replay {found['log']} --text`, go on with `bagcall run --log {found['log']}`"


def _gap(gap: Table, zone: str) -> str:
    last, first = (
        show_clock(datetime.datetime.fromisoformat(gap[key]).timestamp(), zone, seconds=True)
        for key in ("from", "to")
    )
    if gap["overlaps"]:
        return f"-- from {first} on both were written --"
    return f"-- nothing written for {show_duration(gap['gap_s'])}, {last} to {first} --"


def _renamed(found: Table) -> Iterator[str]:
    """One point a log: every batch that clashed."""
    for log in found["logs"]:
        names = [f"{one['was']} is {one['now']}" for one in found["renamed"] if one["log"] == log["log"]]
        if names:
            yield f"of {log['log']}: {', '.join(names)}"
