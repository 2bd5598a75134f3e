"""A job and a mix card of one's own. Nothing is imported before it is needed."""

from __future__ import annotations

import argparse
import sys
from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING

from engine.errors import BadInput, Problem
from tui.looks import FIRST, LOOK_ORDER
from tui.verbs.verb import BAD, DONE, JSON_HELP, NO, Verb, answer

if TYPE_CHECKING:
    from engine.console.written import Sheet
    from engine.words import Words


def _options(what: str) -> Callable[[argparse.ArgumentParser], None]:
    def add(verb: argparse.ArgumentParser) -> None:
        verb.add_argument(
            "file", type=Path, metavar=f"{what}.toml", help="a new file, or one to be opened and mended"
        )
        verb.add_argument(
            "--from",
            dest="answers",
            type=Path,
            metavar="ANSWERS",
            help="without a screen: a text file, one `question: answer` a line",
        )
        verb.add_argument("--look", choices=LOOK_ORDER, default=FIRST, help="colours, or plain for none")
        verb.add_argument("--ascii", action="store_true", help="for plain terminals")
        verb.add_argument("--json", action="store_true", help=f"with --from: {JSON_HELP}")

    return add


def _new(asked: argparse.Namespace) -> int:
    def opened(said: Words) -> Sheet:
        from engine.console import new_job

        return new_job(asked.file, said)

    return _filled(asked, opened)


def _card(asked: argparse.Namespace) -> int:
    def opened(said: Words) -> Sheet:
        from engine.console import new_card

        return new_card(asked.file, said)

    return _filled(asked, opened)


def _filled(asked: argparse.Namespace, opened: Callable[[Words], Sheet]) -> int:
    if asked.answers is None:
        return _on_screen(asked, opened)
    from engine import console

    said = console.words(asked.language)
    sheet = opened(said)
    found = console.fill(sheet, console.answers_from(asked.answers, sheet.pages), said)
    told = [*(one["text"] for one in found["assumed"]), *found["check"]]
    answer(
        asked,
        found,
        lambda: "\n".join([*told, *(said("form.written", path=path) for path in found["written"])]),
    )
    return DONE if found["good"] else NO


def _on_screen(asked: argparse.Namespace, opened: Callable[[Words], Sheet]) -> int:
    """Raises `BadInput` for what only goes without a screen."""
    if asked.json:
        raise BadInput([Problem("", "--json", "", "it goes with --from ANSWERS; the screen prints nothing")])
    from tui.start import form

    written = form(opened, look=asked.look, ascii_only=asked.ascii, language=asked.language)
    if written is None:
        print("--from ANSWERS fills the form in without a screen", file=sys.stderr)
        return BAD
    from engine import console

    said = console.words(asked.language)
    print("\n".join(said("form.written", path=path) for path in written) or said("form.unwritten"))
    return DONE if written else NO


NEW = Verb(
    "new",
    "a job file filled in by keys; what nobody says is assumed, and told",
    "bagcall new my-job.toml",
    _options("JOB"),
    _new,
)


CARD = Verb(
    "card",
    "a mix card filled in from what a bag's label says",
    "bagcall card mixes/our-mix.toml",
    _options("CARD"),
    _card,
)
