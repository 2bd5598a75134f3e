"""Logs kept for years, to see that they still open: one for each state of the events, never written over.

    python -m tests.data_tools.golden            # a new log, if a kind or version is in none yet
    python -m tests.data_tools.golden --status   # what the logs say now becomes what they should say

The second only after a change of the reckoning that was meant; the logs themselves stay.
"""

from __future__ import annotations

import json
import sys
from collections.abc import Iterator
from pathlib import Path
from typing import Any

from engine import console
from engine.clock import Timeline
from engine.pour.events import KINDS
from engine.pour.journal import fold
from engine.pour.planning import quick_plan
from engine.pour.reckoning import Moment
from engine.pour.status import status
from engine.pour.times import iso
from engine.record.lines import FIRST_HASH, Line, encode
from engine.record.store import read_log
from engine.record.written import events_of, line_of
from tests.data_tools.golden_day import golden_day

FOLDER = Path(__file__).parents[1] / "data" / "logs"
HELD = (
    "rate_factor",
    "batches",
    "pours",
    "stock",
)  # parts of a status; the call is the planner's and may get better
SHARES = (0.45, 0.85, 1.0)  # of a log's lines: the moments it is looked at


def logs() -> list[Path]:
    """All golden logs, oldest first."""
    return sorted(FOLDER.glob("*.jsonl"))


def status_file(log: Path) -> Path:
    """What a log should say."""
    return log.with_suffix(".status.json")


def kinds_in(log: Path) -> set[tuple[str, int]]:
    """Kinds and versions of its lines."""
    return {(line.kind, line.v) for line in read_log(log).lines}


def missing() -> list[tuple[str, int]]:
    """Kinds and versions, past ones too, that no golden log holds."""
    held = {pair for log in logs() for pair in kinds_in(log)}
    asked = {(kind, v) for kind, cls in KINDS.items() for v in range(1, cls.version + 1)}
    return sorted(asked - held)


def statuses(log: Path) -> dict[str, Any]:
    """What a log says at a few of its moments, by ISO time."""
    job, events, _ = events_of(read_log(log).lines, str(log))
    found = {}
    for share in SHARES:
        at = events[max(0, round(share * len(events)) - 1)].at
        moment = Moment(fold(job, (event for event in events if event.at <= at)).day, at)
        said = status(moment, quick_plan(moment), console.words())
        found[str(iso(at))] = {key: said[key] for key in HELD}
    return found


def _lines() -> Iterator[Line]:
    timeline = Timeline()
    for event in golden_day():
        timeline = timeline.seen(event.stamp)
        yield line_of(event, timeline.at(event.stamp))


def _write_log() -> Path:
    """A new log of every kind as it is now."""
    log = FOLDER / f"kinds-{len(logs()) + 1}.jsonl"
    whole, last = bytearray(), FIRST_HASH
    for line in _lines():
        chunk, last = encode(line, last)
        whole += chunk
    with log.open("xb") as stream:
        stream.write(whole)
    return log


def _write_status(log: Path) -> None:
    text = json.dumps(statuses(log), indent=1, ensure_ascii=False, sort_keys=True)
    status_file(log).write_text(text + "\n", encoding="utf-8")
    print(status_file(log))


def main(arguments: list[str]) -> None:
    """Write what is asked for."""
    if arguments == ["--status"]:
        for log in logs():
            _write_status(log)
    elif arguments:
        sys.exit(__doc__)
    elif missing():
        _write_status(_write_log())
    else:
        print("every kind and version is in a golden log already")


if __name__ == "__main__":
    main(sys.argv[1:])
