"""Two logs, or pours of logs, laid side by side for whoever asks."""

from __future__ import annotations

from pathlib import Path
from typing import Any

from engine.console.ground import made_up, read_day
from engine.record.compared import Side, compared_table, side_of
from engine.record.folded import reckoned
from engine.words import Words


def compare(first: str, second: str, said: Words) -> dict[str, Any]:
    """Two days, or two pours named `LOG:POUR`, as plain JSON values. Raises `BadInput`, `LogDamaged`."""
    sides = [_side(text) for text in (first, second)]
    with reckoned(sides[1][0].log, sides[1][0].events[-1].seq):
        found = compared_table(sides[0][0], sides[1][0], said)
    for row, (_, marks) in zip(found["sides"], sides, strict=True):
        row |= marks
    return found


def _side(text: str) -> tuple[Side, dict[str, bool]]:
    """A log of that very name is a whole day, whatever stands in its name."""
    log, _, pour = text.rpartition(":")
    if Path(text).exists() or not (log and Path(log).exists()):
        log, pour = text, ""
    job, events, torn = read_day(Path(log))
    marks = {"torn_tail": torn, "rehearsal": made_up(events)}
    return side_of(log, job, events, pour), {mark: True for mark, is_so in marks.items() if is_so}
