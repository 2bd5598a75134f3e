"""Logs of one day and job joined into a new one."""

from __future__ import annotations

import os
from collections.abc import Sequence
from pathlib import Path
from typing import Any

from engine.console.ground import make_way
from engine.errors import BadInput, Problem
from engine.pour.times import iso
from engine.record.folded import folded
from engine.record.joined import Gap, Joined, joined
from engine.record.same_day import Part, part_of
from engine.record.store import create_log, read_log
from engine.record.written import events_of
from engine.words import Words


def join(logs: Sequence[Path], out: Path, said: Words) -> dict[str, Any]:
    """Write the logs as one new log, in order of time; what became of them, as plain JSON values.

    Raises `BadInput` for logs that cannot be joined or a file that is there already, `LogDamaged`, `OSError`.
    """
    _different(logs)
    found = joined([_part(log) for log in logs])
    make_way(out)
    create_log(out, found.whole).close()
    return _table(found, out, said)


def _different(logs: Sequence[Path]) -> None:
    """Raises `BadInput` for fewer than two logs, or one named twice."""
    if len(logs) < 2:
        raise BadInput([Problem("", "LOG", "", "at least two logs to join")])
    there = [log for log in logs if log.exists()]
    for number, log in enumerate(there):
        if any(os.path.samefile(log, other) for other in there[:number]):
            raise BadInput([Problem(str(log), "LOG", "", "named twice; name each log once")])


def _part(log: Path) -> Part:
    """A log that reads and folds by itself. Raises `LogDamaged` where it does not."""
    contents = read_log(log)
    job, events, _ = events_of(contents.lines, str(log))
    folded(job, events, str(log))
    return part_of(str(log), contents)


def _table(found: Joined, out: Path, said: Words) -> dict[str, Any]:
    job = found.parts[0].job
    return {
        "log": str(out),
        "lines": found.lines,
        "job": job.name,
        "date": job.date,
        "time_zone": job.zone,
        "rehearsal": found.parts[0].opened.made_up,
        "logs": [
            {"log": part.name, "lines": len(part.lines), "torn_bytes": len(part.tail)} for part in found.parts
        ],
        "gaps": [_gap(gap) for gap in found.gaps],
        "renamed": [{"log": log, "was": was, "now": now} for log, was, now in found.renamed],
        "remarks": [said(one) for one in found.told],
        "cautions": [said("joined.two_clocks")],
    }


def _gap(gap: Gap) -> dict[str, Any]:
    return {
        "before": gap.log,
        "from": iso(gap.last_at),
        "to": iso(gap.first_at),
        "gap_s": None if gap.overlaps else gap.first_at - gap.last_at,
        "overlaps": gap.overlaps,
    }
