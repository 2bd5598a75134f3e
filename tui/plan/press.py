"""What one key does on the plan screen: a new desk, and at most one thing for the session. Pure."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

from engine.pour.intents import Intent
from engine.words import Words, say
from tui.actions import DIGITS, Action, available
from tui.asking import Choice
from tui.desk import ASK_S, Ask, Desk, Entry, PlanDesk
from tui.keymap import Keymap
from tui.plan.asking import assigned, choices, intent_of, skill_choices
from tui.plan.keys import BY_ID, SHARED
from tui.plan.marker import PAGES, marked, page_of, place_of, rows
from tui.press import Outcome, Press, act
from tui.scene import Scene

SCROLL = 3  # lines of a text that an arrow moves on
WORK = "planning.work"  # the question which work somebody is put on


def press_plan(scene: Scene, words: Words, key: Press, keys: Keymap) -> Outcome:
    """Follow one key while the plan screen is open."""
    plan = _desk(scene)
    if plan.ask:
        return _answered(scene, plan.ask, key, keys)
    action = keys.plan.get(key.key)
    if action is None:
        return shared(scene, words, key, keys)
    if plan.help and action.id != "planning.help":
        plan = replace(plan, help=0)
        scene = _with(scene, plan)
    if not available(action, scene):
        return refused(scene, words, action)
    return _act(scene, action, key)


def _desk(scene: Scene) -> PlanDesk:
    assert scene.desk.plan is not None
    return scene.desk.plan


def _with(scene: Scene, plan: PlanDesk | None) -> Scene:
    return replace(scene, desk=replace(scene.desk, plan=plan))


def refused(scene: Scene, words: Words, action: Action) -> Outcome:
    """A key that does nothing here and now says so."""
    reason = "refusal.reading_along" if action.writes and scene.read_only else "refusal.not_now"
    return Outcome(scene.desk.said(say(reason, what=words(f"action.{action.id}")), scene.now, bad=True))


def shared(scene: Scene, words: Words, key: Press, keys: Keymap) -> Outcome:
    """A key of the live screen that goes on working: it is for the row and the call in the lines on top."""
    action = keys.live.get(key.key)
    if action is None or action.id not in SHARED:
        return Outcome(scene.desk.muttered(say("corner.unbound", key=key.key.replace("_", " ")), scene.now))
    return act(replace(scene, desk=replace(scene.desk, picked="")), words, action, key)


def _act(scene: Scene, action: Action, key: Press) -> Outcome:
    plan = _desk(scene)
    if action.id in _MOVES:
        return Outcome(replace(scene.desk, plan=_MOVES[action.id](scene, plan)))
    if action.id == "planning.weigh":
        return Outcome(scene.desk, weigh=True)
    if action.id == "planning.turn":
        turned = _with(scene, replace(plan, page=(plan.page + 1) % len(PAGES), scroll=0))
        return Outcome(turned.desk, weigh=page_of(turned) == "choices" and scene.choices is None)
    if action.id == "planning.add":
        return Outcome(replace(scene.desk, entry=Entry("add")))
    if action.id == "planning.person":
        return _person(scene, key.key)
    plan = replace(plan, picked=_picked(scene))
    if action.second:
        return _asked(_with(scene, plan), action)
    return Outcome(replace(scene.desk, plan=plan), intent_of(scene, action, ""))


def _picked(scene: Scene) -> str:
    one = marked(scene)
    return one.id if one else ""


def _step(scene: Scene, plan: PlanDesk, by: int) -> PlanDesk:
    """The marker, or where nothing is picked the page, one line on."""
    if page_of(scene) in ("cautions", "choices"):
        return replace(plan, scroll=max(0, plan.scroll + by * SCROLL))
    found = rows(scene)
    return replace(plan, picked=found[(place_of(scene) + by) % len(found)].id) if found else plan


_MOVES: dict[str, Callable[[Scene, PlanDesk], PlanDesk | None]] = {
    "planning.close": lambda _scene, _plan: None,
    "planning.up": lambda scene, plan: _step(scene, plan, -1),
    "planning.down": lambda scene, plan: _step(scene, plan, 1),
    "planning.help": lambda _scene, plan: replace(plan, help=plan.help + 1),
}


def _until(scene: Scene) -> float:
    return scene.now + ASK_S * scene.desk.pace


def _asked(scene: Scene, action: Action) -> Outcome:
    if not choices(scene, action):
        return Outcome(scene.desk.said(say("refusal.no_choice"), scene.now, bad=True))
    plan = replace(_desk(scene), ask=Ask(action.id, _picked(scene), _until(scene)))
    return Outcome(replace(scene.desk, plan=plan, message=None))


def _person(scene: Scene, digit: str) -> Outcome:
    """Somebody with one skill, or for a pour that is begun, at once; else what for is asked."""
    place = int(digit) - 1
    if place >= len(scene.view.crew):
        return Outcome(scene.desk.muttered(say("corner.nobody", n=digit), scene.now))
    one, pour = scene.view.crew[place], marked(scene)
    plan = replace(_desk(scene), picked=_picked(scene))
    if len(one.does) == 1 or (pour is not None and pour.begun):
        return Outcome(replace(scene.desk, plan=plan), assigned(scene, one.id))
    asked = replace(plan, ask=Ask(WORK, one.id, _until(scene)))
    return Outcome(replace(scene.desk, plan=asked, message=None))


def offered(scene: Scene, ask: Ask) -> tuple[Choice, ...]:
    """The second keys of the question that waits."""
    if ask.action == WORK:
        return skill_choices(scene, ask.key)
    return choices(scene, BY_ID[ask.action], ask.half)


def _answered(scene: Scene, ask: Ask, key: Press, keys: Keymap) -> Outcome:
    """The second key: one of those offered, a half more, the same key again (ignored), any other (never mind)."""
    pressed = key.key.lower()
    second = "" if ask.action == WORK else BY_ID[ask.action].second
    if second == "packets" and pressed == "h":
        asked = replace(_desk(scene), ask=replace(ask, half=True, until=_until(scene)))
        return Outcome(replace(scene.desk, plan=asked))
    done = _with(scene, replace(_desk(scene), ask=None))
    for choice in offered(scene, ask):
        if choice.key == pressed:
            return Outcome(done.desk, _chosen(scene, ask, choice.value))
    again = keys.plan.get(key.key)
    if again is not None and again.id == ask.action and pressed not in DIGITS:
        return Outcome(scene.desk)
    return Outcome(done.desk.said(say("screen.never_mind"), scene.now))


def _chosen(scene: Scene, ask: Ask, value: str) -> Intent:
    if ask.action == WORK:
        return assigned(scene, ask.key, value)
    return intent_of(scene, BY_ID[ask.action], value)


def opened(desk: Desk) -> Desk:
    """With the plan screen open on its first page."""
    return replace(desk, plan=PlanDesk(), picked="", sheet="", page=0)
