"""What one key press does: a new desk, and at most one thing for the session. Pure; times are arguments."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace

from engine.pour.intents import Intent, WriteNote
from engine.words import Words, say
from tui.actions import ACTIONS, BY_ID, Action, available
from tui.asking import asks_engine, choices, intent_of
from tui.desk import ARROW_S, ASK_S, HOLD_S, TWICE_S, WAYS_S, AfterDesk, Ask, Desk, Entry, PlanDesk
from tui.keymap import STANDARD, Keymap
from tui.looks import next_look
from tui.scene import Scene, settled
from tui.sound.ringing import MOST, ON_BOARD

KEEP_SHEET = ("rate", "reading")  # what may be done with a page of the day in sight
ARROW_STARTS = ("escape", "left_square_bracket")


@dataclass(frozen=True)
class Outcome:
    """The desk after the press; an intent to submit, a line to understand, warnings seen, ways out or choices wanted,
    or leaving.
    """

    desk: Desk
    intent: Intent | None = None
    reading: str | None = None
    seen: bool = False
    ways: bool = False
    weigh: bool = False
    leave: bool = False


@dataclass(frozen=True)
class Press:
    """A key by the framework's name, the character it typed if any, and when (monotonic) it was delivered."""

    key: str
    character: str | None
    at: float


def press(scene: Scene, words: Words, key: Press, keys: Keymap = STANDARD) -> Outcome:
    """Follow one key."""
    desk = replace(settled(scene).desk, touched_at=scene.now)
    scene = replace(scene, desk=desk)
    if desk.entry:
        return _typed(scene, words, key, desk.entry)
    if _broken_arrow(desk, key):
        return Outcome(replace(desk.muttered(say("corner.arrow"), scene.now), broken_at=key.at))
    if desk.ask and not _goes_on(scene, key, desk.ask):
        return _answered(scene, key, desk.ask, keys)
    scene = replace(scene, desk=replace(desk, ask=None))
    desk = scene.desk
    if desk.plan:
        from tui.plan.press import press_plan  # it stands on this module

        return press_plan(scene, words, key, keys)
    if desk.after:
        from tui.after.press import press_after  # it stands on this module

        return press_after(scene, words, key, keys)
    action = keys.live.get(key.key)
    if action is None:
        return Outcome(_unbound(scene, key))
    if action.id != "help" and desk.page:
        scene = replace(scene, desk=replace(desk, page=0))
    if action.id not in KEEP_SHEET and desk.sheet:
        scene = replace(scene, desk=replace(scene.desk, sheet=""))
    return act(scene, words, action, key)


def _goes_on(scene: Scene, key: Press, ask: Ask) -> bool:
    """Ways out are an offer: a key that takes none of them is the key it always was."""
    return ask.action == "ways" and key.key not in {choice.key for choice in choices(scene, BY_ID["ways"])}


def _broken_arrow(desk: Desk, key: Press) -> bool:
    """The tail of an arrow key cut in two by a slow line: a capital soon after escape or `[`."""
    return len(key.key) == 1 and key.key.isupper() and key.at - desk.broken_at < ARROW_S


def _unbound(scene: Scene, key: Press) -> Desk:
    desk = scene.desk.muttered(say("corner.unbound", key=key.key.replace("_", " ")), scene.now)
    return replace(desk, broken_at=key.at) if key.key in ARROW_STARTS else desk


def act(scene: Scene, words: Words, action: Action, key: Press) -> Outcome:
    """An action of the registry, whether its key was pressed or it was found by its label."""
    desk, now = scene.desk, scene.now
    if not available(action, scene):
        reason = "refusal.reading_along" if action.writes and scene.read_only else "refusal.not_now"
        return Outcome(desk.said(say(reason, what=words(f"action.{action.id}")), now, bad=True))
    if action.once:
        twice = desk.last_action == action.id and key.at - desk.last_at < TWICE_S
        desk = replace(desk, last_action=action.id, last_at=key.at)
        if twice:
            return Outcome(desk.muttered(say("corner.once"), now))
        if action.id == "advance" and _came_up_just_now(scene):
            return Outcome(
                desk.said(say("refusal.held", what=scene.row.key if scene.row else ""), now, bad=True)
            )
    scene = replace(scene, desk=desk)
    if action.id == "ways":
        return Outcome(scene.desk, ways=True)
    if action.second:
        return _asked(scene, action)
    if action.id == "assign" and desk.board:
        return Outcome(_turned(scene, key.character or ""))
    if asks_engine(action):
        return _submitted(scene, action, key.character or "")
    return Outcome(_ON_SCREEN[action.id](scene), seen=action.id == "answer")


def _came_up_just_now(scene: Scene) -> bool:
    picked = scene.desk.picked != ""
    return not picked and scene.now - scene.desk.shown_at < HOLD_S * scene.desk.pace


def _turned(scene: Scene, digit: str) -> Desk:
    """On the board a digit picks a person."""
    if int(digit) > len(scene.view.crew):
        return scene.desk.muttered(say("corner.nobody", n=digit), scene.now)
    return scene.desk.turned(int(digit), scene.now)


def _submitted(scene: Scene, action: Action, value: str) -> Outcome:
    if action.id == "assign" and int(value) > len(scene.view.crew):
        return Outcome(scene.desk.muttered(say("corner.nobody", n=value), scene.now))
    intent = intent_of(scene, action, value)
    return Outcome(
        _let_go(scene.desk, scene.now) if action.id == "advance" else _held(scene.desk, scene.now), intent
    )


def _let_go(desk: Desk, now: float) -> Desk:
    """A step done by hand gives the marker back to the most urgent row, which then came up just now."""
    return replace(desk, picked="", shown_at=now) if desk.picked else desk


def _held(desk: Desk, now: float) -> Desk:
    """Anything else done on a row picked by hand keeps it picked."""
    return desk.pick(desk.picked, now) if desk.picked else desk


def _asked(scene: Scene, action: Action) -> Outcome:
    if not choices(scene, action):
        return Outcome(scene.desk.said(say("refusal.no_choice"), scene.now, bad=True))
    key = scene.selected.key if scene.selected else ""
    return Outcome(
        replace(scene.desk, ask=Ask(action.id, key, scene.now + ASK_S * scene.desk.pace), message=None)
    )


def _answered(scene: Scene, key: Press, ask: Ask, keys: Keymap) -> Outcome:
    """The second key: one of those offered, a half more, the same key again (ignored), any other (never mind)."""
    action, pressed = BY_ID[ask.action], key.key.lower()
    if action.id == "ways" and scene.now - (ask.until - WAYS_S * scene.desk.pace) < HOLD_S * scene.desk.pace:
        return Outcome(scene.desk.said(say("refusal.held", what="1 2 3"), scene.now, bad=True))
    if action.second == "packets" and pressed == "h":
        return Outcome(
            replace(scene.desk, ask=replace(ask, half=True, until=scene.now + ASK_S * scene.desk.pace))
        )
    for choice in choices(scene, action, ask.half):
        if choice.key == pressed:
            return _chosen(scene, action, choice.value)
    if keys.live.get(key.key) is action:
        return Outcome(scene.desk)
    desk = replace(scene.desk, ask=None)
    return Outcome(desk.said(say("screen.never_mind"), scene.now))


def _chosen(scene: Scene, action: Action, value: str) -> Outcome:
    desk = replace(scene.desk, ask=None)
    if action.id == "quit":
        return Outcome(desk, leave=True)
    if action.id == "mute":
        return Outcome(desk.muted(float(value), scene.now))
    return Outcome(desk, intent_of(scene, action, value))


def _step(scene: Scene, by: int) -> Desk:
    keys = [pick.key for pick in scene.picks]
    place = keys.index(scene.selected.key) + by if scene.selected else 0
    return scene.desk.pick(keys[place % len(keys)], scene.now)


def _turn_page(scene: Scene) -> Desk:
    return replace(scene.desk, page=scene.desk.page + 1)


def _turn_sheet(scene: Scene) -> Desk:
    return replace(scene.desk, sheet="" if scene.desk.sheet else "rate", page=0)


def _next_look(scene: Scene) -> Desk:
    return replace(scene.desk, look=next_look(scene.desk.look))


def _answer_banners(scene: Scene) -> Desk:
    desk = scene.desk
    ringing = desk.ringing.answered(ON_BOARD if desk.board else MOST)
    return replace(desk, answered=desk.answered | set(scene.banners), ringing=ringing)


_ON_SCREEN: dict[str, Callable[[Scene], Desk]] = {
    "up": lambda scene: _step(scene, -1),
    "down": lambda scene: _step(scene, 1),
    "help": _turn_page,
    "look": _next_look,
    "rate": _turn_sheet,
    "board": lambda scene: replace(scene.desk, board=not scene.desk.board, person=0),
    "answer": _answer_banners,
    "plan": lambda scene: replace(scene.desk, plan=PlanDesk(), picked="", board=False),
    "after": lambda scene: replace(scene.desk, after=AfterDesk(), picked=""),
    "reading": lambda scene: replace(scene.desk, entry=Entry("reading")),
    "note": lambda scene: replace(scene.desk, entry=Entry("note", key=scene.desk.picked)),
    "find": lambda scene: replace(scene.desk, entry=Entry("find")),
}


def _typed(scene: Scene, words: Words, key: Press, entry: Entry) -> Outcome:
    """A key while a line is being typed; nothing but enter or rubbing out the empty line ends it."""
    if key.key in ("enter", "ctrl+j"):
        return _entered(scene, words, key, entry)
    if key.key == "backspace":
        shorter = replace(entry, text=entry.text[:-1], place=0) if entry.text else None
        return Outcome(replace(scene.desk, entry=shorter))
    if entry.kind == "find" and key.key in ("up", "down"):
        return Outcome(replace(scene.desk, entry=_move(scene, words, entry, 1 if key.key == "down" else -1)))
    if key.character and key.character.isprintable():
        return Outcome(replace(scene.desk, entry=replace(entry, text=entry.text + key.character, place=0)))
    return Outcome(scene.desk)


def _move(scene: Scene, words: Words, entry: Entry, by: int) -> Entry:
    count = len(matches(scene, words, entry.text))
    return replace(entry, place=(entry.place + by) % count) if count else entry


def _entered(scene: Scene, words: Words, key: Press, entry: Entry) -> Outcome:
    desk = replace(scene.desk, entry=None)
    unsaid = entry.tail and entry.text[-1:] in ("", " ")
    text = "" if unsaid else f"{entry.text}{entry.tail}".strip()
    if not text:
        return Outcome(desk)
    if entry.kind == "reading":
        return Outcome(desk, reading=text)
    if entry.kind == "add":
        return Outcome(desk, reading=f"add {text}")
    if entry.kind == "note":
        return Outcome(desk, WriteNote(text, entry.key))
    found = matches(scene, words, text)
    if not found:
        return Outcome(desk.said(say("refusal.no_action", text=text), scene.now, bad=True))
    return act(replace(scene, desk=desk), words, found[entry.place % len(found)], key)


def matches(scene: Scene, words: Words, text: str) -> tuple[Action, ...]:
    """Actions whose label holds the text, those that do something now first; a digit needs its own key."""
    wanted = text.strip().casefold()
    found = [
        action
        for action in ACTIONS
        if action.id != "assign" and wanted in words(f"action.{action.id}").casefold()
    ]
    return tuple(sorted(found, key=lambda action: not available(action, scene)))
