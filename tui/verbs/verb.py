"""What a verb of the command line is, and how it answers."""

from __future__ import annotations

import argparse
import json
import re
import shlex
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from pathlib import Path

from tui.looks import FIRST, LOOK_ORDER

DONE, NO, BAD = 0, 1, 2
JSON_HELP = "stable keys, SI units in their names, ISO times"


@dataclass(frozen=True)
class Verb:
    """A verb: what it is about, an example, its options, and what it does."""

    name: str
    about: str
    example: str
    options: Callable[[argparse.ArgumentParser], None]
    run: Callable[[argparse.Namespace], int]


def language_option(verb: argparse.ArgumentParser) -> None:
    """Of every verb: the catalogue its sentences are taken from."""
    verb.add_argument(
        "--language",
        type=_language,
        metavar="LANGUAGE",
        help="en or es; left out: by LC_ALL, LC_MESSAGES or LANG, else en",
    )


def _language(text: str) -> str:
    """Of the command line: one that has a catalogue. Raises `ArgumentTypeError`."""
    from engine.job.files import languages

    if text not in languages():
        raise argparse.ArgumentTypeError(f"{text}: one of {', '.join(languages())}")
    return text


def language_here(environment: Mapping[str, str]) -> str:
    """Spanish where the locale of messages says so, by the order of POSIX; else English."""
    told = (environment.get(name, "") for name in ("LC_ALL", "LC_MESSAGES", "LANG"))
    return "es" if re.match(r"es(?![a-z])", next(filter(None, told), "")) else "en"


def look_options(verb: argparse.ArgumentParser) -> None:
    """Of every verb with a full screen."""
    verb.add_argument(
        "--look",
        choices=LOOK_ORDER,
        default=FIRST,
        help="blue-gold for colour-weak eyes, plain for no colour at all",
    )
    verb.add_argument("--ascii", action="store_true", help="no block figures, for plain terminals")
    verb.add_argument(
        "--keys", type=Path, metavar="FILE", help="other keys; left out: your own keys.toml, if there is one"
    )


def sound_options(verb: argparse.ArgumentParser) -> None:
    """Of every verb that calls out."""
    verb.add_argument(
        "--sound-command",
        type=_command,
        default=(),
        metavar='"PROGRAM ARG ..."',
        help="run instead of the bell, without a shell, with BAGCALL_SOUND set to call, due or late",
    )


def _command(text: str) -> tuple[str, ...]:
    """Of the command line: words as a shell would part them, and nothing else of a shell. Raises `ArgumentTypeError`."""
    try:
        words = tuple(shlex.split(text))
    except ValueError as error:
        raise argparse.ArgumentTypeError(f"{text}: {error}") from None
    if not words or not words[0]:
        raise argparse.ArgumentTypeError("a program and its arguments, or leave the option out for the bell")
    if any("\0" in word for word in words):
        raise argparse.ArgumentTypeError("no argument can hold a zero byte")
    return words


def answer(asked: argparse.Namespace, found: object, text: Callable[[], str]) -> None:
    """What was found, as JSON where that is asked for, else in words."""
    plain = json.dumps(found, indent=2, ensure_ascii=False, allow_nan=False) if asked.json else text()
    print(plain)
