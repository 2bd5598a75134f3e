"""Every key of the live screen, once: bindings, footer, help and finder are made from this list."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import TYPE_CHECKING, Literal

if TYPE_CHECKING:
    from tui.scene import Scene

Second = Literal[
    "",
    "yes",
    "cause",
    "person",
    "packets",
    "pour",
    "opening",
    "cover",
    "way",
    "sound",
    "share",
    "finish",
    "lend",
]
Group = Literal["work", "surface", "batch", "pour", "site", "screen"]
GROUPS: tuple[Group, ...] = ("work", "surface", "batch", "pour", "site", "screen")
NO_HINT = 99


@dataclass(frozen=True)
class Action:
    """One thing a key asks for.

    `keys` are names of the framework, in force where no key file changes them. `second` is the kind of second key it
    needs. `once`: pressed twice within 0.6 s it counts once. `rank`: place among the hints of the
    footer, from `NO_HINT` on none. `writes`: it goes to the log. Its label is `action.<id>` in the catalogue, its
    help `help.<id>`.
    """

    id: str
    keys: tuple[str, ...]
    group: Group
    applies: Callable[[Scene], bool]
    second: Second = ""
    once: bool = False
    rank: int = NO_HINT
    writes: bool = True


def available(action: Action, scene: Scene) -> bool:
    """Whether its key does something here and now. On the call board a digit picks a person, which writes nothing."""
    if action.id == "assign" and scene.desk.board:
        return bool(scene.view.crew)
    return action.applies(scene) and not (action.writes and scene.read_only)


def _always(_: Scene) -> bool:
    return True


def _has_step(scene: Scene) -> bool:
    return scene.row is not None and bool(scene.row.step.kind)


def _can_call(scene: Scene) -> bool:
    return scene.called is not None or bool(scene.view.call.pour)


def _has_pass(scene: Scene) -> bool:
    return scene.row is not None and scene.row.window is not None


def _has_batch(scene: Scene) -> bool:
    return scene.row is not None and bool(scene.row.batches)


def _edge_live(scene: Scene) -> bool:
    return _has_batch(scene) and scene.row is not None and scene.row.workable_until is not None


def _on_pour(scene: Scene) -> bool:
    return scene.queue is not None


def _can_skip(scene: Scene) -> bool:
    ahead = scene.row is not None and scene.row.stage not in ("called", "mixing", "mixed")
    return ahead or (scene.queue is not None and scene.queue.state == "queued")


def _placing(scene: Scene) -> bool:
    return scene.queue is not None and scene.queue.state == "placing" and scene.queue.bags_left > 0


def _in_vessel(scene: Scene) -> bool:
    return scene.row is not None and scene.row.step.kind in ("mixed", "tipped")


def _takes_water(scene: Scene) -> bool:
    """A hole to soak, or finished work to keep wet."""
    return scene.queue is not None and scene.queue.state in ("queued", "placing", "curing")


def _has_last(scene: Scene) -> bool:
    return scene.view.last is not None


def _has_stamp(scene: Scene) -> bool:
    return scene.view.last is not None and scene.view.last.stamp_seq is not None


def _has_banner(scene: Scene) -> bool:
    return bool(scene.banners or scene.alarms)


def _has_plan(scene: Scene) -> bool:
    return scene.view.call.state != "done" or scene.clock_runs


def _has_crew(scene: Scene) -> bool:
    return bool(scene.view.crew) and scene.selected is not None


def _several(scene: Scene) -> bool:
    return len(scene.picks) > 1


def _is_late(scene: Scene) -> bool:
    return any(row.window and row.window.state in ("late", "lost") for row in scene.view.rows)


DIGITS = tuple("123456789")

ACTIONS: tuple[Action, ...] = (
    Action("advance", ("space",), "work", _has_step, once=True, rank=0),
    Action("call", ("enter",), "work", _can_call, once=True, rank=1),
    Action("undo", ("backspace", "u"), "work", _has_last, rank=3),
    Action("earlier", ("left",), "work", _has_stamp, rank=9),
    Action("later", ("right",), "work", _has_stamp),
    Action("up", ("up",), "work", _several, writes=False),
    Action("down", ("down", "d"), "work", _several, writes=False, rank=8),
    Action("assign", DIGITS, "work", _has_crew, rank=10),
    Action("ready", ("r",), "surface", _has_pass, once=True, rank=5),
    Action("not_yet", ("n",), "surface", _has_pass, once=True, rank=6),
    Action("still_moves", ("m",), "surface", _edge_live, once=True, rank=11),
    Action("stiff", ("k",), "surface", _has_batch, once=True),
    Action("lost", ("l",), "batch", _has_batch, second="cause", rank=12),
    Action("packets", ("p",), "batch", _has_batch, second="packets"),
    Action("tip_part", ("b",), "batch", _in_vessel, second="pour"),
    Action("half_bag", ("h",), "batch", _on_pour, once=True),
    Action("skip", ("s",), "pour", _can_skip, second="yes"),
    Action("split", ("j",), "pour", _placing, second="yes"),
    Action("soaked", ("o",), "pour", _takes_water, once=True),
    Action("cover", ("c",), "pour", _on_pour, second="cover"),
    Action("opened", ("f",), "pour", _on_pour, second="opening"),
    Action("reading", ("w",), "site", _always, rank=7),
    Action("ways", ("g",), "work", _has_plan, second="way", rank=9),
    Action("catch_up", ("0",), "work", _is_late, once=True),
    Action("plan", ("comma",), "screen", _always, writes=False, rank=11),
    Action("after", ("full_stop",), "screen", _always, writes=False, rank=16),
    Action("rate", ("y",), "site", _always, writes=False),
    Action("trial", ("t",), "site", _always, once=True),
    Action("rejected", ("x",), "site", _always, second="cause"),
    Action("vessel", ("v",), "site", _always, second="cause"),
    Action("away", ("a",), "site", lambda scene: bool(scene.view.crew), second="person"),
    Action("note", ("e",), "site", _always),
    Action("answer", ("z",), "screen", _has_banner, writes=False, rank=2),
    Action("find", ("slash",), "screen", _always, writes=False, rank=13),
    Action("help", ("question_mark",), "screen", _always, writes=False, rank=4),
    Action("look", ("i",), "screen", _always, writes=False),
    Action("board", ("tab",), "screen", _always, writes=False, rank=15),
    Action("mute", ("minus",), "screen", _always, second="sound", writes=False),
    Action("quit", ("q",), "screen", _always, second="yes", writes=False, rank=14),
)

BY_ID = {action.id: action for action in ACTIONS}


def here_and_now(scene: Scene) -> tuple[Action, ...]:
    """The actions whose keys do something at this moment."""
    return tuple(action for action in ACTIONS if available(action, scene))


def hints(scene: Scene) -> tuple[Action, ...]:
    """Those worth a place in the footer, the most wanted first."""
    ranked = [action for action in here_and_now(scene) if action.rank < NO_HINT]
    return tuple(sorted(ranked, key=lambda action: action.rank))
