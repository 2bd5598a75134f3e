"""The queue of pours: what its order must keep, a pour moved in it, a pour in two."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from engine.job.model import Pour
from engine.words import Say, say


def order_broken(pours: Sequence[Pour]) -> Say | None:
    """What an order of pours breaks first: one that comes after another stays behind it, those of a shared bag together."""
    places = {pour.id: n for n, pour in enumerate(pours)}
    for pour in pours:
        late = next((first for first in pour.after if places.get(first, -1) > places[pour.id]), None)
        if late is not None:
            return say("refusal.comes_after", pour=pour.id, first=late)
        if pour.shares and not _beside_host(pours, places[pour.id]):
            return say("refusal.shares_bag", pour=pour.id, host=pour.shares)
    return None


def _beside_host(pours: Sequence[Pour], place: int) -> bool:
    """Whether a pour that shares a bag stands right behind its host, others of the same bag between them at most."""
    host = pours[place].shares
    before = next((pour for pour in reversed(pours[:place]) if pour.shares != host), None)
    return before is not None and before.id == host


def moved(pours: Sequence[Pour], pour_id: str, before: str) -> tuple[Pour, ...]:
    """The queue with a pour just before another one, or (empty) last."""
    queue = [pour for pour in pours if pour.id != pour_id]
    place = next((n for n, pour in enumerate(queue) if pour.id == before), len(queue))
    return (*queue[:place], *(pour for pour in pours if pour.id == pour_id), *queue[place:])


def part_of(pour: Pour, share: float) -> Pour:
    """A share of a pour by area; its outline no longer holds."""
    return replace(pour, area_m2=pour.area_m2 * share, length_m=None, width_m=None, outline_m=())


def parted(pours: Sequence[Pour], pour_id: str, share: float, rest: str) -> tuple[Pour, ...]:
    """The queue with a pour in two, the rest right behind it."""
    place = next(n for n, pour in enumerate(pours) if pour.id == pour_id)
    whole = pours[place]
    behind = replace(part_of(whole, 1.0 - share), id=rest)
    return (*pours[:place], part_of(whole, share), behind, *pours[place + 1 :])
