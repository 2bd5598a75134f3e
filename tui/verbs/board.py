"""The call board of a day that another program writes. Nothing is imported before it is needed: the screen opens at once."""

from __future__ import annotations

import argparse
from pathlib import Path

from tui.verbs.verb import Verb, look_options, sound_options


def _options(verb: argparse.ArgumentParser) -> None:
    verb.add_argument("log", type=Path, metavar="LOG", help="the log of the day, being written or not")
    look_options(verb)
    sound_options(verb)


def _run(asked: argparse.Namespace) -> int:
    from tui.start import board

    return board(
        asked.log,
        look=asked.look,
        ascii_only=asked.ascii,
        keys=asked.keys,
        language=asked.language,
        sound_command=asked.sound_command,
    )


BOARD = Verb(
    "board",
    "the call board of a day on a second screen, following its log",
    "bagcall board day.jsonl",
    _options,
    _run,
)
