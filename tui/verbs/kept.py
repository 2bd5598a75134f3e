"""A log, written from notes or read. Nothing is imported before it is needed: the screen opens at once."""

from __future__ import annotations

import argparse
from pathlib import Path

from tui.verbs.verb import DONE, JSON_HELP, Verb, answer, look_options


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
    verb.add_argument("--json", action="store_true", help=JSON_HELP)


def _replay_options(verb: argparse.ArgumentParser) -> None:
    verb.add_argument("log", type=Path, metavar="LOG")
    verb.add_argument("--text", action="store_true", help="as a readable list, without a screen")
    verb.add_argument("--json", action="store_true", help="the list as JSON")
    look_options(verb)


def _returns_options(verb: argparse.ArgumentParser) -> None:
    verb.add_argument("log", type=Path, metavar="LOG")
    verb.add_argument("-o", dest="out", type=Path, metavar="FILE", help="write the days agreed as a calendar")
    verb.add_argument("--json", action="store_true", help="the list as JSON")


def _enter(asked: argparse.Namespace) -> int:
    from engine import console

    lines = console.enter(asked.job, asked.notes, asked.out, console.words(asked.language))
    answer(asked, {"log": str(asked.out), "lines": lines}, lambda: f"{asked.out}: {lines} lines")
    return DONE


def _status(asked: argparse.Namespace) -> int:
    from engine import console
    from tui.printed_status import status_text

    said = console.words(asked.language)
    found = console.status(asked.log, asked.at, said)
    answer(asked, found, lambda: status_text(found))
    return DONE


def _replay(asked: argparse.Namespace) -> int:
    if not (asked.text or asked.json):
        from tui.start import replay

        return replay(
            asked.log, look=asked.look, ascii_only=asked.ascii, keys=asked.keys, language=asked.language
        )
    from engine import console

    said = console.words(asked.language)
    entries = console.replay_list(asked.log, said)
    answer(asked, entries, lambda: console.replay_text(entries, said))
    return DONE


def _returns(asked: argparse.Namespace) -> int:
    from engine import console
    from tui.speech import visit_line

    visits = console.returns(asked.log, console.words(asked.language), asked.out)
    answer(asked, visits, lambda: "\n".join(map(visit_line, visits)) or "nothing is due")
    return DONE


ENTER = Verb(
    "enter",
    "write the log of a day kept by hand",
    "bagcall enter job.toml notes.csv -o day.jsonl",
    _enter_options,
    _enter,
)


STATUS = Verb(
    "status",
    "what a log says at a moment",
    "bagcall status day.jsonl --at 15:20",
    _status_options,
    _status,
)


REPLAY = Verb(
    "replay",
    "a log again, on the live screen or as a list of its lines",
    "bagcall replay day.jsonl",
    _replay_options,
    _replay,
)


RETURNS = Verb(
    "returns",
    "visits and looks still due, and their calendar",
    "bagcall returns day.jsonl -o returns.ics",
    _returns_options,
    _returns,
)
