"""Every key of the replay, once: bindings, footer and help are made from this list, as for the live screen from its own."""

from __future__ import annotations

from tui.actions import NO_HINT, Action
from tui.scene import Scene


def _always(_: Scene) -> bool:
    return True


def _action(name: str, *keys: str, rank: int = NO_HINT) -> Action:
    return Action(f"replay.{name}", keys, "screen", _always, rank=rank, writes=False)


REPLAY: tuple[Action, ...] = (
    _action("play", "space", rank=0),
    _action("after", "right", "l", rank=1),
    _action("before", "left", "h", rank=8),
    _action("next_incident", "n", rank=3),
    _action("last_incident", "b", rank=9),
    _action("next_pour", "p", rank=10),
    _action("last_pour", "o"),
    _action("next_batch", "k", rank=11),
    _action("last_batch", "j"),
    _action("minute_on", "full_stop"),
    _action("minute_back", "comma"),
    _action("far_on", "greater_than_sign", "pagedown"),
    _action("far_back", "less_than_sign", "pageup"),
    _action("start", "s", "home"),
    _action("end", "e", "end", rank=7),
    _action("faster", "plus", "equals_sign", "f", rank=4),
    _action("slower", "minus", "underscore", "r", rank=12),
    _action("go", "g", rank=5),
    _action("windows", "w", rank=6),
    _action("rate", "y"),
    _action("up", "up"),
    _action("down", "down", "d"),
    _action("look", "i"),
    _action("help", "question_mark", rank=2),
    _action("quit", "q", rank=13),
)
HINTS = tuple(sorted((action for action in REPLAY if action.rank < NO_HINT), key=lambda action: action.rank))
