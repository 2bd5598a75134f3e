"""What one key does on the after screen: a new desk, and at most one thing for the session. Pure."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

from engine.pour import intents as i
from engine.words import Words, say
from tui.actions import Action, available
from tui.after.keys import BY_ID
from tui.after.marker import PAGES, Key, key_marked, keys_of, marked, page_of, place_of, pour_marked
from tui.asking import Choice, covered, opened_to
from tui.asking import choices as live_choices
from tui.desk import ASK_S, AfterDesk, Ask, Desk, Entry
from tui.keymap import Keymap
from tui.plan.press import refused, shared
from tui.press import Outcome, Press
from tui.scene import Scene


def press_after(scene: Scene, words: Words, key: Press, keys: Keymap) -> Outcome:
    """Follow one key while the after screen is open."""
    after = _desk(scene)
    if after.ask:
        return _answered(scene, after.ask, key, keys)
    action = keys.after.get(key.key)
    if action is None:
        return shared(scene, words, key, keys)
    if after.help and action.id != "aftercare.help":
        scene = _with(scene, replace(after, help=0))
    if not available(action, scene):
        return refused(scene, words, action)
    return _act(scene, action)


def _desk(scene: Scene) -> AfterDesk:
    assert scene.desk.after is not None
    return scene.desk.after


def _with(scene: Scene, after: AfterDesk | None) -> Scene:
    return replace(scene, desk=replace(scene.desk, after=after))


def _act(scene: Scene, action: Action) -> Outcome:
    after = _desk(scene)
    if action.id in _MOVES:
        return Outcome(replace(scene.desk, after=_MOVES[action.id](scene, after)))
    held = replace(scene.desk, after=replace(after, picked=_held(scene)))
    if action.id in _LINES:
        return Outcome(replace(held, entry=_LINES[action.id](scene)))
    if action.second:
        ask = Ask(action.id, pour_marked(scene), scene.now + ASK_S * scene.desk.pace)
        return Outcome(_asking(held, ask))
    return Outcome(held, i.SoakPour(pour_marked(scene)))


def _held(scene: Scene) -> Key:
    """The marked row; of a hole the pour alone, so that the order written for it is marked next."""
    key = key_marked(scene)
    hole = page_of(scene) == "changes" and getattr(marked(scene), "at", None) is None
    return key[:1] if hole else key


def _asking(desk: Desk, ask: Ask) -> Desk:
    assert desk.after is not None
    return replace(desk, after=replace(desk.after, ask=ask), message=None)


def _step(scene: Scene, after: AfterDesk, by: int) -> AfterDesk:
    keys = keys_of(scene)
    return replace(after, picked=keys[(place_of(scene) + by) % len(keys)], scroll=0)


def _turn(scene: Scene, after: AfterDesk) -> AfterDesk:
    """The next page, on the pour that was marked on this one; visits speak of many."""
    picked = after.picked if page_of(scene) == "visits" else key_marked(scene) or after.picked
    return replace(after, page=(after.page + 1) % len(PAGES), picked=picked, scroll=0)


_MOVES: dict[str, Callable[[Scene, AfterDesk], AfterDesk | None]] = {
    "aftercare.close": lambda _scene, _after: None,
    "aftercare.turn": _turn,
    "aftercare.up": lambda scene, after: _step(scene, after, -1),
    "aftercare.down": lambda scene, after: _step(scene, after, 1),
    "aftercare.back": lambda _scene, after: replace(after, scroll=max(0, after.scroll - 1)),
    "aftercare.on": lambda _scene, after: replace(after, scroll=after.scroll + 1),
    "aftercare.help": lambda _scene, after: replace(after, help=after.help + 1),
}


def _record(scene: Scene) -> Entry:
    """The typed line of the marked row, so far that only what was read is missing."""
    if page_of(scene) == "cure":
        return Entry("reading", f"coat {pour_marked(scene)} ")
    one = marked(scene)
    return Entry("reading", getattr(one, "entry", ""), tail=getattr(one, "tail", ""))


_LINES: dict[str, Callable[[Scene], Entry]] = {
    "aftercare.record": _record,
    "aftercare.reading": lambda _scene: Entry("reading"),
    "aftercare.note": lambda scene: Entry("note", key=pour_marked(scene)),
}


def offered(scene: Scene, ask: Ask) -> tuple[Choice, ...]:
    """The second keys of the question that waits: those of the live screen."""
    return live_choices(scene, BY_ID[ask.action])


def _answered(scene: Scene, ask: Ask, key: Press, keys: Keymap) -> Outcome:
    """The second key: one of those offered, the same key again (ignored), any other (never mind)."""
    done = _with(scene, replace(_desk(scene), ask=None))
    for choice in offered(scene, ask):
        if choice.key == key.key.lower():
            return Outcome(done.desk, _INTENTS[ask.action](ask.key, choice.value))
    again = keys.after.get(key.key)
    if again is not None and again.id == ask.action:
        return Outcome(scene.desk)
    return Outcome(done.desk.said(say("screen.never_mind"), scene.now))


_INTENTS: dict[str, Callable[[str, str], i.Intent]] = {
    "aftercare.cover": covered,
    "aftercare.opened": opened_to,
}
