"""The keys in force, and whether a key file is good. Nothing is imported before it is needed."""

from __future__ import annotations

import argparse
from pathlib import Path

from tui.verbs.verb import DONE, JSON_HELP, Verb, answer


def _options(verb: argparse.ArgumentParser) -> None:
    verb.add_argument(
        "file", nargs="?", type=Path, metavar="FILE", help="check this key file; left out: your own, if any"
    )
    verb.add_argument("--json", action="store_true", help=JSON_HELP)


def _run(asked: argparse.Namespace) -> int:
    from engine import console
    from engine.tables import printable
    from tui.keyfile import read_keymap
    from tui.printed_keys import keys_table, keys_text

    table, file = console.read_keys(asked.file)
    keys = read_keymap(table, file)
    own = f"the program's own keys; yours would stand in {console.own_keys_file()}"
    source = printable(f"keys of {file}" if file else own)
    answer(
        asked,
        {"file": file, **keys_table(keys)},
        lambda: keys_text(keys, source, console.words(asked.language)),
    )
    return DONE


KEYS = Verb(
    "keys",
    "the keys in force as a key file; or say what is wrong with one",
    "bagcall keys > keys.toml",
    _options,
    _run,
)
