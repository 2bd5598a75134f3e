"""A table as the text of a TOML file, with a head that says what was assumed, by key path."""

from __future__ import annotations

import itertools
import re
from collections.abc import Iterable, Mapping
from typing import Any

import tomli_w

from engine.job.writing.questions import Assumed
from engine.words import Words

OURS = "bagcall"  # in the first line of every file written here, whatever the language
_TABLES = "job|conditions|materials|people|stations|times|stock|pours|targets"
_PARTS = "water|depth|mixing|clock|passes|retarder|heat|strength|opening"
_ASSUMED = re.compile(rf"# ((?:{_TABLES}|{_PARTS})(?:\[[0-9]+\])?(?:\.[a-z_]+)?): .+")


def file_text(table: Mapping[str, Any], head: str, assumed: Iterable[Assumed], said: Words) -> str:
    """The file: `head` says who wrote it, a line for each assumed value, then the table."""
    comments = [f"# {said(head)}", *(f"# {one.where}: {said(one.said)}" for one in assumed)]
    values = {key: value for key, value in table.items() if not (isinstance(value, dict) or _is_rows(value))}
    parts = [tomli_w.dumps(values)] if values else []  # above all tables: below one they would be its own
    parts += [_part(key, value) for key, value in table.items() if key not in values]
    return "\n".join(comments) + "\n\n" + "\n".join(parts)


def _part(key: str, value: Any) -> str:
    """A table, or rows each under its own [[...]]."""
    if _is_rows(value):
        return "\n".join(f"[[{key}]]\n{tomli_w.dumps(row)}" for row in value)
    return tomli_w.dumps({key: value})


def _is_rows(value: Any) -> bool:
    return isinstance(value, list) and bool(value) and all(isinstance(row, dict) for row in value)


def assumed_keys(text: str) -> tuple[str, ...]:
    """The key paths that a file's head says were assumed."""
    return tuple(found[1] for line in _head(text) if (found := _ASSUMED.fullmatch(line)))


def _head(text: str) -> list[str]:
    """The lines at the top that this program writes itself."""
    lines = text.splitlines()
    if not (lines and lines[0].startswith("#") and OURS in lines[0]):
        return []
    return [lines[0], *itertools.takewhile(_ASSUMED.fullmatch, lines[1:])]


def has_more_remarks(text: str, written: str) -> bool:
    """Whether a file has remarks that its text as written anew would not have."""
    return _remarks(text) > _remarks(written)


def _remarks(text: str) -> int:
    """How often a remark may begin below the head; signs inside texts count alike on both sides."""
    return sum(line.count("#") for line in text.splitlines()[len(_head(text)) :])
