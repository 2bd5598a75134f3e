"""`bagcall VERB ...`: plain verbs, exit codes 0 done, 1 the answer is no, 2 bad input or usage."""

from __future__ import annotations

import argparse
import json
import sys
from collections.abc import Callable, Sequence
from pathlib import Path
from typing import Any

from engine import PROGRAM

DONE, NO, BAD = 0, 1, 2


def main(arguments: Sequence[str] | None = None) -> int:
    """Run one verb; whatever is wrong is said in sentences on standard error."""
    asked = _parser().parse_args(arguments)
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
    _add(verbs, "run", _run, "drive a pour on the full screen", "bagcall run my-job.toml", _run_options)
    _add(
        verbs,
        "check",
        _check,
        "read a job file, plan its day",
        "bagcall check my-job.toml --json",
        _job_options,
    )
    _add(
        verbs,
        "enter",
        _enter,
        "write the log of a day kept by hand",
        "bagcall enter job.toml notes.csv -o day.jsonl",
        _enter_options,
    )
    _add(
        verbs,
        "status",
        _status,
        "what a log says at a moment",
        "bagcall status day.jsonl --at 15:20",
        _status_options,
    )
    _add(
        verbs,
        "replay",
        _replay,
        "a log again, as a list of its lines",
        "bagcall replay day.jsonl --text",
        _replay_options,
    )
    return parser


def _add(
    verbs: Any,
    name: str,
    run: Callable[[argparse.Namespace], int],
    about: str,
    example: str,
    options: Callable[[argparse.ArgumentParser], None],
) -> None:
    verb = verbs.add_parser(
        name, help=about, description=f"{about[0].upper()}{about[1:]}.", epilog=f"Example: {example}"
    )
    options(verb)
    verb.set_defaults(run=run)


def _run_options(verb: argparse.ArgumentParser) -> None:
    verb.add_argument("job", nargs="?", type=Path, metavar="JOB", help="job file; left out: the demo job")
    verb.add_argument("--log", type=Path, help="write to, or go on with, this log")
    verb.add_argument("--new", action="store_true", help="begin a fresh log although today's exists")
    verb.add_argument(
        "--look", choices=("light", "dark"), default="light", help="light for sun, dark for shade"
    )
    verb.add_argument("--ascii", action="store_true", help="no block figures, for plain terminals")


def _job_options(verb: argparse.ArgumentParser) -> None:
    verb.add_argument("job", type=Path, metavar="JOB")
    verb.add_argument("--json", action="store_true", help="stable keys, SI units in their names, ISO times")


def _enter_options(verb: argparse.ArgumentParser) -> None:
    verb.add_argument("job", type=Path, metavar="JOB")
    verb.add_argument(
        "notes", type=Path, metavar="NOTES", help="CSV with the columns time,what,which,who,value"
    )
    verb.add_argument("-o", dest="out", type=Path, required=True, metavar="LOG", help="the log to write")
    verb.add_argument("--json", action="store_true", help="say what was written as JSON")


def _status_options(verb: argparse.ArgumentParser) -> None:
    verb.add_argument("log", type=Path, metavar="LOG")
    verb.add_argument("--at", metavar="TIME", help="15:20, 15:20:05, 27:30 or an ISO time; left out: now")
    verb.add_argument("--json", action="store_true", help="stable keys, SI units in their names, ISO times")


def _replay_options(verb: argparse.ArgumentParser) -> None:
    verb.add_argument("log", type=Path, metavar="LOG")
    verb.add_argument("--text", action="store_true", required=True, help="as a readable list")
    verb.add_argument("--json", action="store_true", help="the list as JSON")


def _print_json(value: object) -> None:
    print(json.dumps(value, indent=2, ensure_ascii=False, allow_nan=False))


def _check(asked: argparse.Namespace) -> int:
    from engine import console
    from tui.printed import plan_text

    said = console.words()
    plan = console.check(asked.job, said)
    if asked.json:
        _print_json(plan)
    else:
        print(plan_text(plan))
    return DONE if plan["feasible"] else NO


def _enter(asked: argparse.Namespace) -> int:
    from engine import console

    lines = console.enter(asked.job, asked.notes, asked.out, console.words())
    if asked.json:
        _print_json({"log": str(asked.out), "lines": lines})
    else:
        print(f"{asked.out}: {lines} lines")
    return DONE


def _status(asked: argparse.Namespace) -> int:
    from engine import console
    from tui.printed import status_text

    said = console.words()
    found = console.status(asked.log, asked.at, said)
    if asked.json:
        _print_json(found)
    else:
        print(status_text(found))
    return DONE


def _replay(asked: argparse.Namespace) -> int:
    from engine import console

    said = console.words()
    entries = console.replay_list(asked.log, said)
    if asked.json:
        _print_json(entries)
    else:
        print(console.replay_text(entries, said))
    return DONE


def _run(asked: argparse.Namespace) -> int:
    from tui.start import start

    return start(asked.job, log=asked.log, fresh=asked.new, look=asked.look, ascii_only=asked.ascii)
