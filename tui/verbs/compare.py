"""Two pours or days side by side. Nothing is imported before it is needed: the screen opens at once."""

from __future__ import annotations

import argparse

from tui.verbs.verb import DONE, JSON_HELP, Verb, answer

SIDE_HELP = "a log, or a pour of it: day.jsonl or day.jsonl:P2"


def _options(verb: argparse.ArgumentParser) -> None:
    verb.add_argument("first", metavar="LOG[:POUR]", help=SIDE_HELP)
    verb.add_argument("second", metavar="LOG[:POUR]", help="what is laid beside it, the same way")
    verb.add_argument("--json", action="store_true", help=JSON_HELP)


def _compare(asked: argparse.Namespace) -> int:
    from engine import console
    from tui.printed_compared import compared_text

    found = console.compare(asked.first, asked.second, console.words(asked.language))
    answer(asked, found, lambda: compared_text(found))
    return DONE


COMPARE = Verb(
    "compare",
    "two pours or days side by side, and why they differ",
    "bagcall compare cold.jsonl:P1 warm.jsonl:P1",
    _options,
    _compare,
)
