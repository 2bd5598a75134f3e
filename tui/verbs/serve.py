"""The call board of a day in browsers of the site's network. Nothing is imported before it is needed."""

from __future__ import annotations

import argparse
import os
import sys
from pathlib import Path

from tui.looks import FIRST, LOOK_ORDER
from tui.serve.place import FIRST_PORT, HERE, PORTS, Address, Place, read_address
from tui.verbs.verb import BAD, Verb


def _options(verb: argparse.ArgumentParser) -> None:
    verb.add_argument("log", type=Path, metavar="LOG", help="the log of the day, being written or not")
    verb.add_argument(
        "--address",
        type=_address,
        default=HERE,
        metavar="ADDRESS",
        help=f"this machine's one on the site's network, such as 192.168.1.20; left out: {HERE}, nobody else",
    )
    verb.add_argument(
        "--port", type=_port, default=FIRST_PORT, metavar="PORT", help=f"left out: {FIRST_PORT}"
    )
    verb.add_argument("--look", choices=LOOK_ORDER, default=FIRST, help="as on the screens")


def _address(text: str) -> Address:
    """Of the command line. Raises `ArgumentTypeError`."""
    try:
        return read_address(text)
    except ValueError as wrong:
        raise argparse.ArgumentTypeError(str(wrong)) from None


def _port(text: str) -> int:
    """Of the command line. Raises `ArgumentTypeError`."""
    if not (text.isascii() and text.isdigit() and len(text) <= 5 and int(text) in PORTS):
        raise argparse.ArgumentTypeError(f"{text}: a number from {PORTS[0]} to {PORTS[-1]}")
    return int(text)


def _run(asked: argparse.Namespace) -> int:
    from tui.serve.statics import missing

    if without := missing():
        print(
            f"serve needs {', '.join(without)}: install bagcall with its extra, pip install 'bagcall[serve]'",
            file=sys.stderr,
        )
        return BAD
    from engine.console import open_following
    from engine.job.files import read_words
    from engine.words import Words
    from tui.serve.run import serve

    said = Words(read_words(asked.language))
    open_following(asked.log, said).close()
    place = Place(asked.address, asked.port)
    try:
        return serve(
            asked.log, place, look=asked.look, language=asked.language, said=said, coded=_draws_codes()
        )
    except OSError as fault:
        raise OSError(fault.errno, _why(fault), place.host) from fault


def _why(fault: OSError) -> str:
    """What the machine says, with its number in words."""
    return os.strerror(fault.errno) if fault.errno else str(fault)


def _draws_codes() -> bool:
    from tui.start import carries_blocks

    encoding = sys.stdout.encoding or ""
    return sys.stdout.isatty() and carries_blocks(os.environ, encoding, assumed=bool(sys.flags.utf8_mode))


SERVE = Verb(
    "serve",
    "the call board of a day in browsers on the site's network, read only",
    "bagcall serve day.jsonl --address 192.168.1.20",
    _options,
    _run,
)
