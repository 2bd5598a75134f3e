"""The config reader: job files with all they name, the shipped practice, the words. Nothing else here opens files."""

from __future__ import annotations

import datetime
import functools
import os
import re
import stat
import tomllib
from collections.abc import Mapping
from dataclasses import replace
from pathlib import Path, PurePath
from typing import Any

from engine import tables
from engine.errors import BadInput, Problem
from engine.job.learned import LearnedFile, problems_of, read_learned, with_learned
from engine.job.model import Job, Practice
from engine.job.practice import Value, read_practice
from engine.job.reader import mix_key, read_job_table
from engine.mix.card import MixCard
from engine.mix.reader import read_mix
from engine.tables import printable, shown

LARGEST_FILE = 2_000_000
LONGEST_LINE = 4_000  # the TOML reader's time grows with the square of a key's parts
DEMO_JOB = "community-hall.toml"


def configs_folder() -> Path:
    """The shipped files: inside the package when installed, beside it in a checkout."""
    package = Path(__file__).resolve().parent.parent
    inside = package / "configs"
    return inside if inside.is_dir() else package.parent / "configs"


def demo_job_path() -> Path:
    """A job that works on whatever day it is run."""
    return configs_folder() / "jobs" / DEMO_JOB


def languages() -> tuple[str, ...]:
    """Those with a catalogue, in the order of their codes."""
    return tuple(sorted(path.stem for path in _catalogues().glob("*.toml")))


def _catalogues() -> Path:
    return configs_folder() / "words"


def read_words(language: str) -> dict[str, str]:
    """The texts of a language by dotted key. Raises `BadInput` for a language without a catalogue."""
    if language not in languages():
        raise BadInput([Problem("words", "language", shown(language), "one of " + ", ".join(languages()))])
    table = read_toml(_catalogues() / f"{language}.toml")
    return {key: str(text) for key, text in tables.flat(table, lambda _: True).items()}


def shipped_practice() -> tuple[Value, ...]:
    """The values of `practice.toml`. Raises `BadInput` where that file is damaged."""
    path = configs_folder() / "practice.toml"
    values, problems = read_practice(read_toml(path), str(path))
    if problems:
        raise BadInput(problems)
    return values


@functools.cache
def practice_by_key() -> Mapping[str, Value]:
    """The shipped values by key, read once. Raises `BadInput` where that file is damaged."""
    return {value.key: value for value in shipped_practice()}


@functools.cache
def _practice_names() -> frozenset[str]:
    """The keys of `practice.toml`, without their values: a log that has them all needs no units read."""
    return frozenset(tables.flat(read_toml(configs_folder() / "practice.toml"), lambda key: "." not in key))


def with_later_practice(job: Job) -> Job:
    """A job written by an older program: practice values that came since stand as shipped, its own stay as written."""
    written = {key for key, _ in job.practice.values}
    if _practice_names() <= written:
        return job
    later = tuple((value.key, value.number) for value in shipped_practice() if value.key not in written)
    return replace(job, practice=Practice((*job.practice.values, *later)))


def read_job(path: Path, today: datetime.date) -> Job:
    """The job of a file with its mixes and practice; `today` stands for a date left out.

    Raises `BadInput` with every problem of the job file, its mixes and learned files in one go.
    """
    table = read_toml(path)
    values = shipped_practice()
    entries = _entries(table, "mixes")
    cards, of_mixes = _cards(path, entries)
    job, of_job = read_job_table(table, str(path), cards, values, today)
    files, unread = _learned(path, _entries(table, "learned"))
    job = None if job is None else with_learned(job, files)
    problems = (*of_job, *of_mixes, *unread, *problems_of(files))
    if job is None or problems:
        raise BadInput(problems)
    return job


def _entries(table: Mapping[str, Any], key: str) -> list[tuple[str, str]]:
    """Place and path of each file a job names, as far as they are texts; the reader reports the others."""
    head = table.get("job")
    paths = head.get(key) if isinstance(head, dict) else None
    named = enumerate(paths) if isinstance(paths, list) else ()
    return [(f"job.{key}[{n}]", path) for n, path in named if isinstance(path, str) and path.isprintable()]


def _cards(job: Path, entries: list[tuple[str, str]]) -> tuple[dict[str, MixCard | None], list[Problem]]:
    cards: dict[str, MixCard | None] = {}
    problems: list[Problem] = []
    for place, entry in entries:
        card, found = _card(job, place, entry)
        cards.setdefault(mix_key(entry), card)
        problems += found
    return cards, problems


def _card(job: Path, place: str, entry: str) -> tuple[MixCard | None, tuple[Problem, ...]]:
    try:
        return read_mix(read_toml(_allowed(job, place, entry), entry), mix_key(entry), printable(entry))
    except BadInput as bad:
        return None, bad.problems


def _learned(job: Path, entries: list[tuple[str, str]]) -> tuple[list[LearnedFile], list[Problem]]:
    """The learned files a job names, and what keeps any of them from being read."""
    files: list[LearnedFile] = []
    problems: list[Problem] = []
    for place, entry in entries:
        try:
            files.append(read_learned(read_toml(_allowed(job, place, entry), entry), entry))
        except BadInput as bad:
            problems += bad.problems
    return files, problems


def _allowed(job: Path, place: str, entry: str) -> Path:
    """Where an entry leads: the job's own folder, below it, or a sibling folder `mixes`; links are followed first."""
    folder = job.resolve().parent
    leads = _resolved(folder / entry)
    roots = (folder, folder.parent / "mixes")
    if (
        leads is None
        or PurePath(entry).is_absolute()
        or not any(leads.is_relative_to(root) for root in roots)
    ):
        accepted = "a path in the job's own folder, below it, or in a folder `mixes` beside it"
        raise BadInput([Problem(printable(str(job)), place, shown(entry), accepted)])
    return leads


def _resolved(path: Path) -> Path | None:
    """A path without links; None where it cannot be followed."""
    try:
        return path.resolve()
    except (OSError, ValueError, RuntimeError):
        return None


def read_toml(path: Path, name: str = "") -> dict[str, Any]:
    """The table of a TOML file. Raises `BadInput`; problems call the file by `name` or its path."""
    file = printable(name or str(path))
    text = read_text(path, name)
    for n, line in enumerate(text.split("\n"), start=1):
        if len(line) > LONGEST_LINE:
            raise BadInput([Problem(file, f"line {n}", "", f"a line of at most {LONGEST_LINE} characters")])
    try:
        return tomllib.loads(text)
    except RecursionError:
        raise BadInput([Problem(file, "file", "", "tables and lists nested less deeply")]) from None
    except ValueError as error:
        raise BadInput([_syntax(file, str(error))]) from None


def _syntax(file: str, said: str) -> Problem:
    """What the TOML reader says, with its line as the place."""
    where = re.search(r" \(at line ([0-9]+), column [0-9]+\)$", said)
    what = printable(said[: where.start()] if where else said)
    return Problem(
        file, f"line {where[1]}" if where else "file", "", f"this cannot be read as TOML: {what[:120]}"
    )


def read_text(path: Path, name: str = "") -> str:
    """The text of a UTF-8 file of at most `LARGEST_FILE` bytes. Raises `BadInput`; never waits on a pipe."""
    file = printable(name or str(path))
    try:
        data = _read_bytes(path)
        text = data.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        raise BadInput([Problem(file, f"byte {error.start}", "", "a text file in UTF-8")]) from None
    except (OSError, ValueError) as error:
        why = error.strerror if isinstance(error, OSError) and error.strerror else str(error)
        raise BadInput([Problem(file, "file", "", f"a file that can be read: {why}")]) from None
    if not text.strip():
        raise BadInput([Problem(file, "file", "", "a file with something in it")])
    return text


def _read_bytes(path: Path) -> bytes:
    """Raises `ValueError` for what is no plain file and for too large a one, before a byte is read."""
    if not stat.S_ISREG(os.stat(path).st_mode):
        raise ValueError("this is a folder, a pipe or a device, not a file")
    # A pipe put in the file's place meanwhile must not hold the program up.
    handle = os.open(path, os.O_RDONLY | getattr(os, "O_NONBLOCK", 0) | getattr(os, "O_BINARY", 0))
    with os.fdopen(handle, "rb") as stream:
        status = os.fstat(handle)
        if not stat.S_ISREG(status.st_mode) or status.st_size > LARGEST_FILE:
            raise ValueError(f"it must be a plain file of at most {LARGEST_FILE} bytes")
        data = stream.read(LARGEST_FILE + 1)
    if len(data) > LARGEST_FILE:
        raise ValueError(f"it must be a plain file of at most {LARGEST_FILE} bytes")
    return data
