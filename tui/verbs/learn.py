"""Logs of many days. Nothing is imported before it is needed: the screen opens at once."""

from __future__ import annotations

import argparse
from pathlib import Path

from tui.verbs.verb import DONE, JSON_HELP, NO, Verb, answer


def _options(verb: argparse.ArgumentParser) -> None:
    verb.add_argument("logs", type=Path, nargs="+", metavar="LOG")
    verb.add_argument(
        "-o", dest="out", type=Path, metavar="FILE", help="write what is told to this new learned file"
    )
    verb.add_argument("--made-up", action="store_true", help="from logs of rehearsals, and from nothing else")
    verb.add_argument("--json", action="store_true", help=JSON_HELP)


def _learn(asked: argparse.Namespace) -> int:
    from engine import console
    from tui.printed_learned import learned_text

    found = console.learn(asked.logs, console.words(asked.language), asked.out, made_up=asked.made_up)
    answer(asked, found, lambda: learned_text(found))
    return NO if asked.out is not None and found["written"] is None else DONE


LEARN = Verb(
    "learn",
    "what many days tell of mixes and crew, beside card and job",
    "bagcall learn april/*.jsonl -o small-stone.learned.toml",
    _options,
    _learn,
)
