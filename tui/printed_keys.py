"""The keys in force as a key file: one action a line, its label behind it."""

from __future__ import annotations

import json
from collections.abc import Iterator

from engine.words import Words
from tui.keyfile import SCREENS, name_in_file
from tui.keymap import SIGNS, Keymap

LABEL_AT = 32


def keys_table(keys: Keymap) -> dict[str, dict[str, list[str]]]:
    """By screen and action, as a key file has them: signs as they are, other keys by name."""
    return {
        screen: {
            name_in_file(action, screen): [SIGNS.get(key, key) for key in keys.keys[action.id]]
            for action in actions
        }
        for screen, actions in SCREENS.items()
    }


def keys_text(keys: Keymap, source: str, words: Words) -> str:
    """A key file that gives these keys; `source` says where they come from."""
    return "\n".join([f"# {source}", *_lines(keys, words)])


def _lines(keys: Keymap, words: Words) -> Iterator[str]:
    for screen, actions in keys_table(keys).items():
        yield from ("", f"[{screen}]")
        for name, listed in actions.items():
            label = words(f"action.{name}" if screen == "live" else f"action.{screen}.{name}")
            line = f"{name} = {json.dumps(listed, ensure_ascii=False)}"
            yield f"{line:<{LABEL_AT}}  # {label}"
