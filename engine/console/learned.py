"""Logs of many days, learned from: card beside learned, and a learned file where one is asked for."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path
from typing import Any

import tomli_w

from engine.console.ground import make_way
from engine.errors import BadInput, LogDamaged, Problem
from engine.record.learning.gathered import Learning, learned_from, unfit
from engine.record.learning.seen import LoggedDay, logged_day
from engine.record.learning.table import learned_table, learning_table
from engine.record.store import read_log
from engine.record.written import events_of
from engine.words import Words


def learn(
    logs: Sequence[Path], said: Words, out: Path | None = None, *, made_up: bool = False
) -> dict[str, Any]:
    """What the logs tell, as plain JSON values; `out` gets what is told as a learned file, never over another file.

    `made_up`: from rehearsals, and from nothing else. Raises `BadInput` with every log that cannot be learned from
    with the others, a damaged or unreadable one included, and `OSError` where the file cannot be written.
    """
    days = _days(logs)
    if problems := unfit(days, made_up):
        raise BadInput(problems)
    learning = learned_from(days)
    written = None if out is None else _write(learning, out, said)
    return {**learning_table(learning, said), "written": written}


def _days(logs: Sequence[Path]) -> list[LoggedDay]:
    days: list[LoggedDay] = []
    problems: list[Problem] = []
    for log in logs:
        try:
            contents = read_log(log)
            job, events, _ = events_of(contents.lines, str(log))
            days.append(logged_day(str(log), job, events, torn=bool(contents.tail)))
        except BadInput as bad:
            problems += bad.problems
        except LogDamaged as damaged:
            problems.append(Problem(str(log), f"line {damaged.line}", "", f"a whole log: {damaged.why}"))
        except OSError as error:
            problems.append(Problem(str(log), "file", "", f"a file that can be read: {error.strerror}"))
    if problems:
        raise BadInput(problems)
    return days


def _write(learning: Learning, out: Path, said: Words) -> str | None:
    """The path written; None where the logs tell nothing."""
    if not learning.told():
        return None
    text = f"# {said('learned.head')}\n\n" + tomli_w.dumps(learned_table(learning))
    make_way(out)
    with out.open("x", encoding="utf-8", newline="\n") as stream:
        stream.write(text)
    return str(out)
