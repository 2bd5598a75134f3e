"""A key file's table as a keymap: what may be a key, what no action may be without, and every problem in one run."""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Mapping
from pathlib import Path
from typing import Any

from engine.errors import BadInput
from engine.tables import BAD, Page, joined, shown
from tui.actions import ACTIONS, DIGITS, Action, Second
from tui.after.keys import AFTER
from tui.keymap import SIGNS, Keymap, bound, keymap, name_of_sign
from tui.paint.cells import width_of
from tui.plan.keys import PLAN
from tui.replay.keys import REPLAY

SCREENS: dict[str, tuple[Action, ...]] = {
    "live": ACTIONS,
    "planning": PLAN,
    "aftercare": AFTER,
    "replay": REPLAY,
}
NEEDED = {  # without a key for these nobody finds the rest, or the way out
    "live": ("advance", "call", "undo", "quit", "help", "answer", "find"),
    "planning": ("close", "turn", "help"),
    "aftercare": ("close", "turn", "help"),
    "replay": ("play", "quit", "help"),
}
PLAIN = ("space", "enter", "backspace", "tab", "up", "down", "left", "right", "0")
PAGING = ("home", "end", "pageup", "pagedown")
CODE_SIGNS = ("left_square_bracket", "right_square_bracket", "semicolon", "tilde")
NAMES = (*PLAIN, *(name for name in SIGNS if name not in CODE_SIGNS))
OWN_SECONDS: dict[Second, tuple[str, ...]] = {"yes": ("y",), "packets": ("h", "0")}
HELD = ("ctrl", "alt", "shift", "meta", "super", "hyper")

BROKEN = "a slow line breaks the code of an arrow key, and it would come in by itself; take a letter"
MODIFIED = "ctrl, alt, shift and function keys belong to terminals and what runs between; take a plain key"
CAPITAL = (
    "write the letter small: caps lock and shift make no difference, and a broken arrow key ends in a capital"
)
PERSON = "the digits 1 to 9 stay the persons of the crew list and second keys"
PAGE_KEY = "only under [replay]: broken by a slow line, it would come in as a digit"
NO_KEY = 'one key: a small letter, a sign such as "/", or one of ' + ", ".join(PLAIN)
A_LIST = 'a list of keys such as ["r"]; an empty one takes the key off'
ALL_DIGITS = "the digits 1 to 9 and nothing else; the line may be left out"


def read_keymap(table: Mapping[str, Any], file: str) -> Keymap:
    """The keys in force under a key file. Raises `BadInput` with every problem of it."""
    page = Page(file)
    for section in table:
        if section not in SCREENS:
            page.fault(
                joined("", section),
                shown(table[section]),
                "keys stand under [live], [planning], [aftercare] and [replay]",
                SCREENS,
                section,
            )
    changed: dict[str, tuple[str, ...]] = {}
    for screen in SCREENS:
        changed |= _screen(table.get(screen, {}), screen, page)
    if page.problems:
        raise BadInput(page.all())
    return keymap(changed)


def _screen(table: Any, screen: str, page: Page) -> dict[str, tuple[str, ...]]:
    """The actions of one screen that the file changes, with their keys."""
    if not isinstance(table, dict):
        page.fault(screen, shown(table), f"a table of actions, under [{screen}]")
        return {}
    by_name = {name_in_file(action, screen): action for action in SCREENS[screen]}
    read: dict[str, list[Any]] = {}
    for name, value in table.items():
        where = joined(screen, name)
        if name not in by_name:
            page.fault(where, shown(value), "no action is called that", by_name, name)
        else:
            read[name] = _keys(value, where, screen, by_name[name], page)
    _report_clashes(read, by_name, screen, page)
    return {by_name[name].id: tuple(keys) for name, keys in read.items() if BAD not in keys}


def name_in_file(action: Action, screen: str) -> str:
    """The id of an action under the section of its screen."""
    return action.id.removeprefix(f"{screen}.")


def _keys(value: Any, where: str, screen: str, action: Action, page: Page) -> list[Any]:
    """The framework's names of the keys listed, `BAD` in the places of bad ones."""
    if action.keys == DIGITS:
        if value != list(DIGITS):
            page.fault(where, shown(value), ALL_DIGITS)
        return list(DIGITS)
    if not isinstance(value, list):
        return [page.fault(where, shown(value), A_LIST)]
    if not value and name_in_file(action, screen) in NEEDED[screen]:
        return [page.fault(where, "an empty list", "at least one key: this action cannot be left without")]
    return [_key(one, f"{where}[{n}]", screen, action, page) for n, one in enumerate(value)]


def _key(value: Any, where: str, screen: str, action: Action, page: Page) -> Any:
    """The framework's name of one key, or `BAD`."""
    name = name_of_sign(value) if isinstance(value, str) and len(value) == 1 and _typed(value) else value
    known = NAMES + (PAGING if screen == "replay" else ())
    why = _unfit(name, known) or _breaks(name, action)
    if not why:
        return name
    if why == CAPITAL:
        return page.fault(where, shown(value), why, (value.lower(),), value.lower())
    return page.fault(
        where, shown(value), why, known, value if isinstance(value, str) and why == NO_KEY else ""
    )


def _typed(sign: str) -> bool:
    return sign.isprintable() and sign != " " and bool(unicodedata.name(sign, ""))


def _unfit(key: Any, known: tuple[str, ...]) -> str:
    """Why a key cannot be one; empty where it can."""
    if not isinstance(key, str):
        return NO_KEY
    if key == "escape" or key in CODE_SIGNS:
        return BROKEN
    if ("+" in key and key.split("+")[0].lower() in HELD) or re.fullmatch("[fF][0-9]+", key):
        return MODIFIED
    if key in DIGITS:
        return PERSON
    if len(key) == 1 and key.isalpha():
        return CAPITAL if key != key.lower() else "" if _plain_letter(key) else NO_KEY
    if key in PAGING and key not in known:
        return PAGE_KEY
    return "" if key in known else NO_KEY


def _plain_letter(key: str) -> bool:
    """One that takes one cell, is written from the left and comes from the keyboard as one sign."""
    return (
        width_of(key) == 1 and unicodedata.bidirectional(key) == "L" and unicodedata.is_normalized("NFC", key)
    )


def _breaks(key: str, action: Action) -> str:
    """Why this action cannot have a key that others may: the key is an answer to its own question."""
    if key not in OWN_SECONDS.get(action.second, ()):
        return ""
    return f"not {key} for this action: pressed twice it would answer its own question"


def _report_clashes(read: dict[str, list[Any]], by_name: dict[str, Action], screen: str, page: Page) -> None:
    """A key of two actions, or twice in one list, at its place in the file; the registry's own keys never clash."""
    owners: dict[str, str] = {}
    for name, action in by_name.items():
        if name not in read:
            owners |= dict.fromkeys(bound(action.keys), name)
    for name, keys in read.items():
        for n, key in enumerate(keys):
            if key is BAD:
                continue
            taken = next((owners[sent] for sent in bound((key,)) if sent in owners), None)
            if taken is not None:
                page.fault(f"{joined(screen, name)}[{n}]", f'"{SIGNS.get(key, key)}"', _clash(taken, name))
            owners |= dict.fromkeys(bound((key,)), name)


def _clash(taken: str, name: str) -> str:
    if taken == name:
        return "listed twice; once is enough"
    return f"a key of its own: this one is the key of {taken}; give one of the two another key"


def keys_in_force(named: Path | None) -> Keymap:
    """Of the file named, else of the user's own where there is one, else the registry's. Raises `BadInput`."""
    from engine.console import read_keys

    table, file = read_keys(named)
    return read_keymap(table, file)
