"""Which keys ask for what: the registry's own, or those of a key file. Frozen; painters and presses look here alone."""

from __future__ import annotations

import string
import unicodedata
from collections.abc import Mapping
from dataclasses import dataclass, replace

from tui.actions import ACTIONS, DIGITS, Action
from tui.after.keys import AFTER
from tui.plan.keys import PLAN
from tui.replay.keys import REPLAY

TWINS = {"enter": ("ctrl+j",)}  # what some lines send for it
RENAMED = {  # signs that the framework names otherwise than the character table
    "solidus": "slash",
    "reverse_solidus": "backslash",
    "commercial_at": "at",
    "hyphen_minus": "minus",
    "plus_sign": "plus",
    "low_line": "underscore",
}


def name_of_sign(sign: str) -> str:
    """A sign of the keyboard as the framework names its key; letters and digits are their own names."""
    if sign.isalnum():
        return sign
    name = unicodedata.name(sign).lower().replace("-", "_").replace(" ", "_")
    return RENAMED.get(name, name)


SIGNS = {name_of_sign(sign): sign for sign in string.punctuation}


def bound(keys: tuple[str, ...]) -> tuple[str, ...]:
    """All that the terminal may send for some keys: letters in both cases, since a caps lock must not stop the work."""
    capitals = tuple(key.upper() for key in keys if len(key) == 1 and key.isalpha() and len(key.upper()) == 1)
    twins = tuple(twin for key in keys for twin in TWINS.get(key, ()))
    return tuple(dict.fromkeys(keys + twins + capitals))


@dataclass(frozen=True)
class Keymap:
    """`keys`: by id of an action, of every screen, the one to be named first; the others: what a key of a screen asks for."""

    keys: Mapping[str, tuple[str, ...]]
    live: Mapping[str, Action]
    replay: Mapping[str, Action]
    plan: Mapping[str, Action]
    after: Mapping[str, Action]

    def replaying(self) -> Keymap:
        """For the live painters on a replay: an action that both screens know goes by the replay's keys."""
        keys = {
            id.removeprefix("replay."): keys for id, keys in self.keys.items() if id.startswith("replay.")
        }
        return replace(self, keys={**self.keys, **keys})

    def named(self, action: str) -> tuple[str, ...]:
        """The keys of an action as screens name them: the catalogue may write them out, signs are written as they are."""
        keys = self.keys[action]
        return ("digit",) if keys == DIGITS else tuple(SIGNS.get(key, key) for key in keys)


def keymap(changed: Mapping[str, tuple[str, ...]]) -> Keymap:
    """The registry's keys, with other ones for some actions; an action may have none. No key may be in two actions of a screen."""
    keys = {action.id: changed.get(action.id, action.keys) for action in (*ACTIONS, *REPLAY, *PLAN, *AFTER)}
    return Keymap(keys, *(_by_key(actions, keys) for actions in (ACTIONS, REPLAY, PLAN, AFTER)))


def _by_key(actions: tuple[Action, ...], keys: Mapping[str, tuple[str, ...]]) -> dict[str, Action]:
    return {key: action for action in actions for key in bound(keys[action.id])}


STANDARD = keymap({})
