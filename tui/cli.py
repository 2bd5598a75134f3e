"""`bagcall VERB ...`: plain verbs, exit codes 0 done, 1 the answer is no, 2 bad input or usage."""

from __future__ import annotations

import argparse
import os
import sys
from collections.abc import Sequence

from engine import PROGRAM
from tui.verbs import BAD, NO, VERBS
from tui.verbs.verb import language_here, language_option


def main(arguments: Sequence[str] | None = None) -> int:
    """Run one verb; whatever is wrong is said in sentences on standard error."""
    asked = _parser().parse_args(arguments)
    asked.language = asked.language or language_here(os.environ)
    from engine.errors import BadInput, LogDamaged, LogHeld

    try:
        return int(asked.run(asked))
    except BadInput as bad:
        return _tell(str(bad), BAD)
    except LogDamaged as damaged:
        return _tell(str(damaged), NO)
    except LogHeld as held:
        return _tell(str(held), NO)
    except OSError as error:
        return _tell(f"{error.filename or ''}: {error.strerror or error}".lstrip(": "), BAD)


def _tell(sentence: str, code: int) -> int:
    print(sentence, file=sys.stderr)
    return code


def _parser() -> argparse.ArgumentParser:
    parser = argparse.ArgumentParser(
        prog="bagcall", description="Call the next bag in time, and keep the day's record."
    )
    parser.add_argument("--version", action="version", version=PROGRAM)
    verbs = parser.add_subparsers(title="verbs", required=True, metavar="VERB")
    for verb in VERBS:
        about = f"{verb.about[0].upper()}{verb.about[1:]}."
        added = verbs.add_parser(
            verb.name, help=verb.about, description=about, epilog=f"Example: {verb.example}"
        )
        verb.options(added)
        language_option(added)
        added.set_defaults(run=verb.run)
    return parser
