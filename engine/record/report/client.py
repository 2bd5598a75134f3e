"""The client's version of the table: the crew's own affairs taken out, and said so."""

from __future__ import annotations

from typing import Any

from engine.record.report.apart import INSIDE
from engine.words import Words

LEFT_OUT = ("names", "notes", "causes", "losses", "costs", "planning", "lines")
PLANNING = frozenset({"call", "stock", "last_calls", "conditions", "crew"})
NAMES = frozenset({"who", "who_assumed", "station"})
CAUSES = frozenset({"cause", "causes", "why_lost", "beyond"})
COSTS = frozenset({"price", "currency"})
DROPPED = PLANNING | NAMES | CAUSES | COSTS | {"lines"}


def for_client(full: dict[str, Any], words: Words) -> dict[str, Any]:
    """A copy without names of the crew, internal notes, causes, losses, costs and planning; `left_out` tells of it."""
    kept: dict[str, Any] = _without(full)
    return kept | {
        "version": "client",
        "left_out": [words(f"report.left_out.{name}") for name in LEFT_OUT],
        "notes": [note for note in kept["notes"] if not note["internal"]],
        "deviations": [row for row in kept["deviations"] if row["kind"] not in INSIDE],
        "batches": [row for row in kept["batches"] if row["stage"] not in ("lost", "called")],
    }


def _without(value: Any) -> Any:
    if isinstance(value, dict):
        return {key: _without(one) for key, one in value.items() if key not in DROPPED}
    return [_without(one) for one in value] if isinstance(value, list) else value
