"""Where logs live and what they are called: `DATE-JOB-XXXX.jsonl`, `-2`, `-3` for fresh starts of a day."""

from __future__ import annotations

import hashlib
import re
import unicodedata
from pathlib import Path

SUFFIX = ".jsonl"
_LONGEST_SLUG = 40


def default_folder() -> Path:
    """`bagcall/` in the user's data folder."""
    from platformdirs import user_data_path  # only where no folder was given: start-up stays short

    return user_data_path("bagcall", appauthor=False)


def log_path(folder: Path, job: Path | str, date: str) -> Path:
    """The log of a job file, or of a job known by name only, on a day (ISO date).

    Four digits tell apart job files of one name in different folders.
    """
    known_as = str(job.resolve()) if isinstance(job, Path) else job
    name = job.stem if isinstance(job, Path) else job
    digest = hashlib.sha256(known_as.encode("utf-8", "surrogateescape")).hexdigest()[:4]
    return folder / f"{date}-{_slug(name)}-{digest}{SUFFIX}"


def next_free(path: Path) -> Path:
    """The path itself, or the first of `-2`, `-3`, … that is higher than any there is."""
    taken = _numbers(path)
    return _numbered(path, max(taken) + 1) if taken else path


def moved_to(typed: str, log: Path) -> Path:
    """Where a log goes on: in a file `NAME.jsonl`, or in a folder under the name it has; what is there is never taken.

    Raises `OSError` where the folder cannot be looked into, `RuntimeError` for the home of somebody unknown,
    `ValueError` for what is no path.
    """
    if not typed.isprintable():
        raise ValueError("it holds a sign that no name of a file may hold")
    wanted = Path(typed).expanduser().absolute()
    as_file = wanted.suffix == SUFFIX and not wanted.is_dir()
    return next_free(wanted if as_file else wanted / log.name)


def latest(folder: Path, job: Path | str, date: str) -> Path | None:
    """The newest log there is of a job and a day; None where there is none."""
    path = log_path(folder, job, date)
    taken = _numbers(path)
    return _numbered(path, max(taken)) if taken else None


def _numbers(path: Path) -> list[int]:
    """The numbers of the starts of one day that exist; the first counts as 1."""
    pattern = re.compile(rf"{re.escape(path.stem)}(?:-([1-9]\d*))?{re.escape(path.suffix)}")
    if not path.parent.is_dir():
        return []
    matches = (pattern.fullmatch(entry.name) for entry in path.parent.iterdir())
    return [int(match[1] or 1) for match in matches if match]


def _numbered(path: Path, number: int) -> Path:
    return path if number == 1 else path.with_name(f"{path.stem}-{number}{path.suffix}")


def _slug(name: str) -> str:
    plain = unicodedata.normalize("NFKD", name).encode("ascii", "ignore").decode().lower()
    return re.sub(r"[^a-z0-9]+", "-", plain).strip("-")[:_LONGEST_SLUG].strip("-") or "job"
