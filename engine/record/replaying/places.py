"""A place in a past day as people name it: a time, a pour, a batch, a line."""

from __future__ import annotations

from pathlib import Path

from engine.errors import BadInput
from engine.pour.events import WaterAdded
from engine.record.moments import moment_named
from engine.record.replaying.past import Past

LINE = "line"


def place_named(past: Past, text: str) -> float | int | None:
    """A moment (float, log time) or the number of a line; None where the day has no such place.

    `P2` is the first water of a pour, `P2.1` the water of a batch, `line 40` that line, `14:20` or an ISO time a moment.
    """
    wanted = text.strip().casefold()
    if wanted.startswith(LINE) and (number := wanted.removeprefix(LINE).strip()).isdecimal():
        return int(number) if 1 <= int(number) <= past.lines else None
    for event in past.events:
        body = event.body
        if isinstance(body, WaterAdded) and wanted in (body.pour.casefold(), body.batch.casefold()):
            return event.seq
    try:
        return moment_named(text, past.job, Path())
    except BadInput:
        return None
