"""One command line run in this process, and what is wrong with how it ended: a traceback, a code or words that are not allowed."""

from __future__ import annotations

import contextlib
import io
import json
import re
import traceback
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path

from tests.proof.hostile_cases import LOGS, SECRET, Case
from tui.cli import main

CODES = (0, 1, 2)
KEY = r'(?:[\w-]+|"[^\n]*?")'
PLACE = re.compile(
    rf"(?P<file>.+?): (?:lines? \d+(?: to \d+)?|byte \d+|whole file|file|further down|{KEY}(?:\[\d+\]|\.{KEY})*(?:, line \d+)?): ."
)


@dataclass(frozen=True)
class Ended:
    """How a command line ended."""

    code: int | None
    out: str
    err: str
    fault: str = ""


def ran(arguments: Sequence[str]) -> Ended:
    """Run it; whatever it raises is its fault."""
    out, err = io.StringIO(), io.StringIO()
    code: int | None = None
    fault = ""
    with contextlib.redirect_stdout(out), contextlib.redirect_stderr(err):
        try:
            code = _opened(Path(arguments[1])) if arguments[0] == "opened" else main(list(arguments))
        except SystemExit as left:
            code = left.code if isinstance(left.code, int) else None
        except MemoryError:
            fault = "MemoryError: more than it may take"
        except Exception:
            fault = _shortened(traceback.format_exc())
    return Ended(code, out.getvalue(), err.getvalue(), fault)


def _opened(log: Path) -> int:
    """The doors of the screens: `replay`, `board` and `run --log`, each with all that it draws once."""
    from engine.console import open_following, open_replay, open_session, words
    from engine.errors import BadInput, LogDamaged, LogHeld

    said = words("en")
    try:
        with contextlib.closing(open_replay(log)) as past:
            past.prepare()
            past.follow()
            past.view(), past.plan_page(), past.after_page(), past.predicted(), past.causes(), past.said()
        with contextlib.closing(open_following(log, said)) as followed:
            followed.view(), followed.glance(), followed.plan_page(), followed.after_page()
        with contextlib.closing(open_session(None, said, log=log)) as session:
            session.view(), session.glance(), session.plan_page(), session.after_page()
    except (BadInput, LogDamaged, LogHeld) as refused:
        import sys

        print(refused, file=sys.stderr)
        return 2
    return 0


def _shortened(text: str) -> str:
    lines = text.strip().splitlines()
    return "\n".join([*lines[-9:-1], lines[-1][:300]])


def wrong_with(ended: Ended, arguments: Sequence[str], case: Case) -> str:
    """What is wrong with how it ended; empty where nothing is."""
    if ended.fault:
        return ended.fault
    if ended.code not in CODES:
        return f"exit code {ended.code}"
    return next(_wrong_words(ended, arguments, case), "")


def _wrong_words(ended: Ended, arguments: Sequence[str], case: Case) -> Iterator[str]:
    both = ended.out + ended.err
    if odd := sorted({sign for sign in both if not sign.isprintable() and sign != "\n"}):
        yield f"signs that a terminal obeys: {odd!r}"
    if SECRET in both:
        yield "it shows what stands in a file outside"
    if "Traceback" in both or "<class '" in both or "<function" in both or "<module" in both:
        yield "it shows the insides of the program"
    if "--json" in arguments and ended.code == 0:
        json.loads(ended.out, parse_constant=lambda name: (_ for _ in ()).throw(ValueError(name)))
    if ended.code == 2 and not ended.err.strip():
        yield "refused without a word"
    if ended.err and ended.code:
        yield from _unplaced(ended.err, arguments, case)


def _unplaced(err: str, arguments: Sequence[str], case: Case) -> Iterator[str]:
    """Lines of a refusal that name no file or no place in it."""
    for line in err.strip().split("\n"):
        met = PLACE.match(line)
        files = {
            Path(one).name for argument in arguments[1:] for one in (argument, argument.rpartition(":")[0])
        } | {case.file}
        if met is None:
            yield f"names no place: {line[:200]}"
        elif Path(met["file"]).name not in files and case.kind not in ("named files", "job"):
            yield f"names no file: {line[:200]}"


def prepared(case: Case, folder: Path) -> None:
    """What command lines of a log need beside it."""
    if any("other.jsonl" in run for run in case.runs):
        (folder / "other.jsonl").write_bytes(LOGS[0].read_bytes())
