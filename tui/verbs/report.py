"""The report of a day. Nothing is imported before it is needed: the screen opens at once."""

from __future__ import annotations

import argparse
from pathlib import Path

from tui.verbs.verb import DONE, Verb, answer


def _options(verb: argparse.ArgumentParser) -> None:
    verb.add_argument("log", type=Path, metavar="LOG")
    verb.add_argument(
        "-o",
        dest="out",
        type=Path,
        required=True,
        metavar="FILE",
        help="a new file; its ending picks the form: .html, .md, .csv or .json",
    )
    verb.add_argument(
        "--client",
        action="store_true",
        help="for the client: no names of the crew, internal notes, causes, losses or costs",
    )
    verb.add_argument(
        "--at", metavar="TIME", help="15:20, 15:20:05, 27:30 or an ISO time; left out: the last line"
    )
    verb.add_argument("--json", action="store_true", help="say what was written as JSON")


def _report(asked: argparse.Namespace) -> int:
    from engine import console

    said = console.words(asked.language)
    console.write_report(asked.log, asked.out, asked.at, said, client=asked.client)
    answer(asked, {"report": str(asked.out)}, lambda: str(asked.out))
    return DONE


REPORT = Verb(
    "report",
    "the record of a day for the client and the office",
    "bagcall report day.jsonl -o day.html --client",
    _options,
    _report,
)
