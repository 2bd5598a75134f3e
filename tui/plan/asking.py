"""What an edit of the plan asks the engine for, and the second keys it offers first."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING, get_args

from engine.job.model import Finish, Skill
from engine.pour import intents as i
from engine.words import say
from tui.actions import DIGITS, Action
from tui.asking import Choice, packet_choices
from tui.plan.marker import earlier_than, later_than, marked
from tui.scene import Scene

if TYPE_CHECKING:
    from engine.pour.plan_view import PlanRow

SHARES = (("1/2", 1 / 2), ("1/3", 1 / 3), ("2/3", 2 / 3), ("1/4", 1 / 4), ("3/4", 3 / 4))
AS_PLANNED = "x"


def pour_marked(scene: Scene) -> PlanRow:
    """The pour under the marker; the registry lets no edit through where there is none."""
    one = marked(scene)
    assert one is not None
    return one


def choices(scene: Scene, action: Action, half: bool = False) -> tuple[Choice, ...]:
    """The second keys an edit offers; none of them is its own first key."""
    return _SECONDS[action.second](scene, half)


def _shares(scene: Scene, _half: bool) -> tuple[Choice, ...]:
    """A pour begun stops at a joint where it stands; one that waits is divided."""
    if pour_marked(scene).begun:
        return (Choice("y", say("choice.split"), ""),)
    named = zip(DIGITS, SHARES, strict=False)
    return tuple(Choice(key, say("choice.share", share=name), str(share)) for key, (name, share) in named)


def _finishes(scene: Scene, _half: bool) -> tuple[Choice, ...]:
    others = [finish for finish in get_args(Finish) if finish != pour_marked(scene).finish]
    return tuple(
        Choice(key, say(f"finished.{finish}"), finish) for key, finish in zip(DIGITS, others, strict=False)
    )


def _doses(_scene: Scene, half: bool) -> tuple[Choice, ...]:
    return (*packet_choices(half), Choice(AS_PLANNED, say("choice.as_planned"), ""))


def _lends(scene: Scene, _half: bool) -> tuple[Choice, ...]:
    """Everybody with what they do not do yet, as far as the digits go."""
    lacking = [
        (one.id, skill) for one in scene.view.crew for skill in get_args(Skill) if skill not in one.does
    ]
    return tuple(
        Choice(key, say("choice.lend", who=who, skill=skill), f"{who} {skill}")
        for key, (who, skill) in zip(DIGITS, lacking, strict=False)
    )


_SECONDS: dict[str, Callable[[Scene, bool], tuple[Choice, ...]]] = {
    "share": _shares,
    "finish": _finishes,
    "packets": _doses,
    "lend": _lends,
}


def skill_choices(scene: Scene, who: str) -> tuple[Choice, ...]:
    """What somebody may be put on for a pour that is not begun."""
    does = next((one.does for one in scene.view.crew if one.id == who), ())
    return tuple(Choice(key, say(f"skill.{skill}"), skill) for key, skill in zip(DIGITS, does, strict=False))


def intent_of(scene: Scene, action: Action, value: str) -> i.Intent:
    """What the engine is asked for. `value` is the second key's."""
    return _INTENTS[action.id](scene, value)


def _leave(scene: Scene, _value: str) -> i.Intent:
    one = pour_marked(scene)
    return i.TakeUpPour(one.id) if one.state == "later visit" else i.SkipNext(one.id)


def _earlier(scene: Scene, _value: str) -> i.Intent:
    before = earlier_than(scene)
    return i.MovePour(pour_marked(scene).id, before.id if before else "")


def _later(scene: Scene, _value: str) -> i.Intent:
    before, _ = later_than(scene)
    return i.MovePour(pour_marked(scene).id, before.id if before else "")


def _divide(scene: Scene, value: str) -> i.Intent:
    return i.SplitPour(pour_marked(scene).id, float(value) if value else None)


def _finish(scene: Scene, value: str) -> i.Intent:
    return i.SetFinish(pour_marked(scene).id, value)  # type: ignore[arg-type]


def _dose(scene: Scene, value: str) -> i.Intent:
    return i.SetDose(pour_marked(scene).id, float(value) if value else None)


def _lend(_scene: Scene, value: str) -> i.Intent:
    who, _, skill = value.rpartition(" ")
    return i.LendHand(who, skill)  # type: ignore[arg-type]


_INTENTS: dict[str, Callable[[Scene, str], i.Intent]] = {
    "planning.leave": _leave,
    "planning.earlier": _earlier,
    "planning.later": _later,
    "planning.divide": _divide,
    "planning.finish": _finish,
    "planning.dose": _dose,
    "planning.lend": _lend,
}


def assigned(scene: Scene, who: str, work: str = "") -> i.Intent:
    """Somebody on a pour: on its most urgent running row where it is begun, else on a kind of its work."""
    one = pour_marked(scene)
    running = next((row.key for row in scene.view.rows if row.pour == one.id and row.batches), one.id)
    return i.Assign(who, running if one.begun else one.id, work)  # type: ignore[arg-type]
