"""What an action asks the engine for, and the second keys it offers first."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from engine.pour import intents as i
from engine.pour.told_replanned import way_said
from engine.words import Say, say
from tui.actions import DIGITS, Action
from tui.desk import MUTE_S
from tui.scene import Scene

LOST = ("stiff in the vessel", "stiff edge", "dropped", "mixed wrong", "other")
REJECTED = ("lumps", "torn or wet", "hot", "old", "other")
BROKEN = ("split", "crusted", "other")
CAUSES = {"lost": LOST, "rejected": REJECTED, "vessel": BROKEN}
DONE_WITH = ("curing", "open", "later visit")
SHIFT_S = 5.0
SOUNDS = (("1", "mute_a_while", str(MUTE_S)), ("2", "mute", "inf"), ("3", "sound_on", "0"))  # seconds


@dataclass(frozen=True)
class Choice:
    """A second key, what it stands for in words, and the value that goes into the intent."""

    key: str
    text: Say
    value: str


def choices(scene: Scene, action: Action, half: bool = False) -> tuple[Choice, ...]:
    """The second keys an action offers; none of them is its own first key."""
    return _SECONDS[action.second](scene, action, half)


def _yes(_scene: Scene, action: Action, _half: bool) -> tuple[Choice, ...]:
    return (Choice("y", say(f"choice.{action.id}"), "yes"),)


def _causes(_scene: Scene, action: Action, _half: bool) -> tuple[Choice, ...]:
    known = CAUSES[action.id]
    return tuple(Choice(key, say(f"cause.{word}"), word) for key, word in zip(DIGITS, known, strict=False))


def _people(scene: Scene, _action: Action, _half: bool) -> tuple[Choice, ...]:
    crew = zip(DIGITS, scene.view.crew, strict=False)
    words = {True: "choice.back", False: "choice.away"}
    return tuple(Choice(key, say(words[one.away], who=one.id), one.id) for key, one in crew)


def _packets(_scene: Scene, _action: Action, half: bool) -> tuple[Choice, ...]:
    return packet_choices(half)


def packet_choices(half: bool) -> tuple[Choice, ...]:
    """Packets a bag by digit; a half more once asked for."""
    extra, text = (0.5, "1/2") if half else (0.0, "")
    named = [(key, f"{key} {text}".strip() if key != "0" or not half else text) for key in "01234"]
    return tuple(Choice(key, say("choice.packets", n=name), str(float(key) + extra)) for key, name in named)


def _pours(scene: Scene, _action: Action, _half: bool) -> tuple[Choice, ...]:
    own = scene.row.pour if scene.row else ""
    others = [pour.id for pour in scene.view.queue if pour.id != own and pour.state not in DONE_WITH]
    return tuple(
        Choice(key, say("choice.pour", pour=pour), pour) for key, pour in zip(DIGITS, others, strict=False)
    )


def _openings(_scene: Scene, _action: Action, _half: bool) -> tuple[Choice, ...]:
    return (Choice("1", say("choice.feet"), "feet"), Choice("2", say("choice.wheels"), "wheels"))


def _covers(_scene: Scene, _action: Action, _half: bool) -> tuple[Choice, ...]:
    words = zip("123", ("sheet", "blanket", "bare"), strict=True)
    return tuple(Choice(key, say(f"choice.{word}"), word) for key, word in words)


def _ways(scene: Scene, _action: Action, _half: bool) -> tuple[Choice, ...]:
    ways = scene.desk.ways.ways if scene.desk.ways else ()
    return tuple(
        Choice(key, way_said(way.parts), str(n))
        for n, (key, way) in enumerate(zip(DIGITS, ways, strict=False))
    )


def _sounds(_scene: Scene, _action: Action, _half: bool) -> tuple[Choice, ...]:
    return tuple(Choice(key, say(f"choice.{name}"), for_s) for key, name, for_s in SOUNDS)


def _way(scene: Scene, value: str) -> i.Intent:
    assert scene.desk.ways is not None
    return scene.desk.ways.ways[int(value)].intent


_SECONDS: dict[str, Callable[[Scene, Action, bool], tuple[Choice, ...]]] = {
    "yes": _yes,
    "cause": _causes,
    "person": _people,
    "packets": _packets,
    "pour": _pours,
    "opening": _openings,
    "cover": _covers,
    "way": _ways,
    "sound": _sounds,
}


def intent_of(scene: Scene, action: Action, value: str) -> i.Intent:
    """What the engine is asked for. `value` is the second key's, or the digit pressed."""
    return _INTENTS[action.id](scene, value)


def _key(scene: Scene) -> str:
    return scene.selected.key if scene.selected else ""


def _pour(scene: Scene) -> str:
    return scene.selected.pour if scene.selected else ""


def _batch(scene: Scene) -> str:
    """The youngest batch of the row: its edge is the live one."""
    return scene.row.batches[-1] if scene.row and scene.row.batches else _key(scene)


def _call(scene: Scene, _value: str) -> i.Intent:
    """Water in where a bag is called and dry, else the call for the pour that the panel names."""
    return i.Advance(scene.called.key) if scene.called else i.CallBag(scene.view.call.pour)


def _assign(scene: Scene, value: str) -> i.Intent:
    return i.Assign(scene.view.crew[int(value) - 1].id, _key(scene))


def _away(scene: Scene, value: str) -> i.Intent:
    away = any(person.id == value and person.away for person in scene.view.crew)
    return i.MarkBack(value) if away else i.MarkAway(value)


def covered(pour: str, value: str) -> i.Intent:
    """A pour under `sheet` or `blanket`, or `bare` again."""
    if value == "bare":
        return i.UncoverPour(pour)
    return i.CoverPour(pour, "blanket" if value == "blanket" else "sheet")


def opened_to(pour: str, value: str) -> i.Intent:
    """A pour opened to `feet` or `wheels`."""
    return i.OpenPour(pour, "wheels" if value == "wheels" else "feet")


def _trial(scene: Scene, _value: str) -> i.Intent:
    return i.TrialStiff() if scene.view.trial is not None else i.StartTrial()


_INTENTS: dict[str, Callable[[Scene, str], i.Intent]] = {
    "advance": lambda scene, _: i.Advance(_key(scene)),
    "call": _call,
    "undo": lambda _scene, _value: i.Undo(),
    "earlier": lambda _scene, _value: i.Shift(-SHIFT_S),
    "later": lambda _scene, _value: i.Shift(SHIFT_S),
    "assign": _assign,
    "ready": lambda scene, _: i.SeeReady(_key(scene)),
    "not_yet": lambda scene, _: i.SeeNotYet(_key(scene)),
    "still_moves": lambda scene, _: i.SeeStillMoves(_batch(scene)),
    "stiff": lambda scene, _: i.SeeStiff(_batch(scene)),
    "lost": lambda scene, value: i.LoseBatch(_batch(scene), value),
    "packets": lambda scene, value: i.CorrectPackets(_batch(scene), float(value)),
    "tip_part": lambda scene, value: i.StampTipped(value, source=_batch(scene)),
    "half_bag": lambda scene, _: i.AddWater(_pour(scene), half=True),
    "skip": lambda scene, _: i.SkipNext(_key(scene)),
    "split": lambda scene, _: i.SplitPour(_pour(scene)),
    "soaked": lambda scene, _: i.SoakPour(_pour(scene)),
    "cover": lambda scene, value: covered(_pour(scene), value),
    "opened": lambda scene, value: opened_to(_pour(scene), value),
    "trial": _trial,
    "rejected": lambda scene, value: i.RejectBag(_pour(scene), value),
    "vessel": lambda _scene, value: i.LoseVessel(why=value),
    "away": _away,
    "ways": _way,
    "catch_up": lambda _scene, _value: i.CatchUp(),
}


def asks_engine(action: Action) -> bool:
    """Whether the action ends in an intent; the others only change the screen or open a line to type."""
    return action.id in _INTENTS
