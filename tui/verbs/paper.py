"""The day on paper. Nothing is imported before it is needed: the screen opens at once."""

from __future__ import annotations

import argparse
from pathlib import Path

from tui.verbs.verb import DONE, JSON_HELP, NO, Verb, answer


def _options(verb: argparse.ArgumentParser) -> None:
    verb.add_argument("job", type=Path, metavar="JOB")
    verb.add_argument(
        "-o", dest="out", type=Path, required=True, metavar="FILE", help="a new file ending in .html"
    )
    verb.add_argument(
        "--paper", choices=("a4", "letter"), help="size of the sheet; left out: letter for US units, else A4"
    )
    verb.add_argument("--json", action="store_true", help=JSON_HELP)


def _paper(asked: argparse.Namespace) -> int:
    from engine import console

    said = console.words(asked.language)
    found = console.paper(asked.job, said)
    console.write_paper(found, asked.out, said, asked.paper)
    answer(asked, found, lambda: str(asked.out))
    return DONE if found["feasible"] else NO


PAPER = Verb(
    "paper",
    "the day on one sheet, to print: queue, call-outs, windows, cells to write in",
    "bagcall paper my-job.toml -o monday.html",
    _options,
    _paper,
)
