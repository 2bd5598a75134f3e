"""Every key of the after screen, once: footer, help and key file are made from this list, as for the live screen from its own.

Of the live screen's keys those in `SHARED` of the plan screen go on working, for what stands in the lines on top.
"""

from __future__ import annotations

from collections.abc import Callable

from tui.actions import NO_HINT, Action, Second, available
from tui.after.marker import cared, keys_of, marked, page_of
from tui.scene import Scene


def _always(_: Scene) -> bool:
    return True


def _several(scene: Scene) -> bool:
    return len(keys_of(scene)) > 1


def _tells(scene: Scene) -> bool:
    return marked(scene) is not None


def _records(scene: Scene) -> bool:
    """The cure page records for a coating; the others what their rows ask for."""
    if page_of(scene) == "cure":
        return _finished(scene)
    return bool(getattr(marked(scene), "entry", ""))


def _in(scene: Scene) -> bool:
    return cared(scene) is not None


def _finished(scene: Scene) -> bool:
    one = cared(scene)
    return one is not None and one.last_stroke is not None


def _action(
    name: str,
    *keys: str,
    applies: Callable[[Scene], bool] = _always,
    second: Second = "",
    rank: int = NO_HINT,
    writes: bool = True,
) -> Action:
    return Action(f"aftercare.{name}", keys, "screen", applies, second, rank=rank, writes=writes)


AFTER: tuple[Action, ...] = (
    _action("close", "full_stop", "q", rank=1, writes=False),
    _action("turn", "tab", rank=2, writes=False),
    _action("up", "up", applies=_several, writes=False),
    _action("down", "down", applies=_several, writes=False),
    _action("back", "left", applies=_tells, writes=False),
    _action("on", "right", applies=_tells, rank=10, writes=False),
    _action("record", "r", applies=_records, rank=3),
    _action("soaked", "o", applies=_in, rank=5),
    _action("cover", "c", applies=_in, second="cover", rank=6),
    _action("opened", "f", applies=_finished, second="opening", rank=7),
    _action("reading", "w", rank=8),
    _action("note", "e", rank=9),
    _action("help", "question_mark", rank=3, writes=False),
)
BY_ID = {action.id: action for action in AFTER}


def hints(scene: Scene, writes: bool) -> tuple[Action, ...]:
    """Those worth a place, the most wanted first: the keys that write, or the others."""
    ranked = [one for one in AFTER if one.rank < NO_HINT and one.writes is writes and available(one, scene)]
    return tuple(sorted(ranked, key=lambda action: action.rank))
