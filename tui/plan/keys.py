"""Every key of the plan screen, once: footer, help and key file are made from this list, as for the live screen from its own.

Of the live screen's keys those in `SHARED` go on working, for what stands in the lines on top.
"""

from __future__ import annotations

from tui.actions import DIGITS, NO_HINT, Action, Second, available
from tui.plan.marker import earlier_than, later_than, marked, page_of
from tui.scene import Scene

SHARED = ("advance", "call", "undo", "answer", "look")


def _always(_: Scene) -> bool:
    return True


def _on_queue(scene: Scene) -> bool:
    return page_of(scene) in ("queue", "takeoff")


def _on_pour(scene: Scene) -> bool:
    return _on_queue(scene) and marked(scene) is not None


def _waits(scene: Scene) -> bool:
    one = marked(scene)
    return _on_queue(scene) and one is not None and not one.begun


def _goes_earlier(scene: Scene) -> bool:
    return _waits(scene) and earlier_than(scene) is not None


def _goes_later(scene: Scene) -> bool:
    return _waits(scene) and later_than(scene)[1]


def _takes_bags(scene: Scene) -> bool:
    one = marked(scene)
    return _on_queue(scene) and one is not None and (one.bags_left > 0 or one.state == "later visit")


def _unfinished(scene: Scene) -> bool:
    one = marked(scene)
    return _on_queue(scene) and one is not None and one.state not in ("curing", "open")


def _scrolls(scene: Scene) -> bool:
    return page_of(scene) != ""


def _weighs(scene: Scene) -> bool:
    return page_of(scene) == "choices"


def _action(
    name: str,
    *keys: str,
    applies: object = _always,
    second: Second = "",
    rank: int = NO_HINT,
    writes: bool = True,
) -> Action:
    return Action(f"planning.{name}", keys, "screen", applies, second, rank=rank, writes=writes)  # type: ignore[arg-type]


PLAN: tuple[Action, ...] = (
    _action("close", "comma", "q", rank=1, writes=False),
    _action("turn", "tab", rank=2, writes=False),
    _action("up", "up", applies=_scrolls, writes=False),
    _action("down", "down", applies=_scrolls, writes=False),
    _action("earlier", "e", "left", applies=_goes_earlier, rank=4),
    _action("later", "l", "right", applies=_goes_later, rank=5),
    _action("leave", "s", applies=_waits, rank=6),
    _action("add", "a", applies=_on_queue, rank=7),
    _action("divide", "j", applies=_takes_bags, second="share", rank=8),
    _action("finish", "f", applies=_unfinished, second="finish", rank=9),
    _action("dose", "p", applies=_takes_bags, second="packets", rank=10),
    _action("person", *DIGITS, applies=_on_pour, rank=11),
    _action("lend", "h", applies=_on_queue, second="lend", rank=12),
    _action("weigh", "c", applies=_weighs, rank=3, writes=False),
    _action("help", "question_mark", rank=13, writes=False),
)
BY_ID = {action.id: action for action in PLAN}


def hints(scene: Scene, edits: bool) -> tuple[Action, ...]:
    """Those worth a place, the most wanted first: the keys that change the plan, or the others."""
    ranked = [one for one in PLAN if one.rank < NO_HINT and one.writes is edits and available(one, scene)]
    return tuple(sorted(ranked, key=lambda action: action.rank))
