"""Whom the foreman put on what: on a pass or placing of some batches, or beforehand on a kind of work of a pour."""

from __future__ import annotations

from collections.abc import Collection

from engine.pour.state import Assignment, Day

BESIDE_EDGE = ("second_trowel", "broom")  # passes that whoever makes the edge makes as well


def told_to(day: Day, kind: str, pour: str, batches: Collection[str] = ()) -> str:
    """The person on `mix`, `place`, a pass or `edge`; the latest word counts, empty where nothing was said."""
    found = (one.person for one in reversed(day.assignments) if _is_for(one, kind, pour, batches))
    return next(found, "")


def _is_for(one: Assignment, kind: str, pour: str, batches: Collection[str]) -> bool:
    if one.batches:
        kinds = (kind, "edge") if kind in BESIDE_EDGE else (kind,)
        return one.name in kinds and not set(one.batches).isdisjoint(batches)
    return one.pour == pour and (one.name or "mix") == (kind if kind in ("mix", "place") else "finish")
