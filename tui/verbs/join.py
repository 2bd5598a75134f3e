"""Logs of one day joined. Nothing is imported before it is needed: the screen opens at once."""

from __future__ import annotations

import argparse
from pathlib import Path

from tui.verbs.verb import DONE, JSON_HELP, Verb, answer


def _options(verb: argparse.ArgumentParser) -> None:
    verb.add_argument("logs", type=Path, nargs="+", metavar="LOG", help="logs of one day and one job")
    verb.add_argument("-o", dest="out", type=Path, required=True, metavar="FILE", help="the new log to write")
    verb.add_argument("--json", action="store_true", help=JSON_HELP)


def _join(asked: argparse.Namespace) -> int:
    from engine import console
    from tui.printed_joined import joined_text

    found = console.join(asked.logs, asked.out, console.words(asked.language))
    answer(asked, found, lambda: joined_text(found))
    return DONE


JOIN = Verb(
    "join",
    "logs of one day put together, when a second machine went on; the gap is shown",
    "bagcall join first.jsonl second.jsonl -o day.jsonl",
    _options,
    _join,
)
