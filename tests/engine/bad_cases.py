"""Good files with one line changed, and what must be said about it."""

from __future__ import annotations

import tomllib
from dataclasses import dataclass
from pathlib import Path

from engine.errors import Problem

DATA = Path(__file__).parents[1] / "data"
LIBRARY = DATA / "scenarios" / "library"


@dataclass(frozen=True)
class Case:
    """A line of the good file, what stands instead, where the problem is found and what it says."""

    line: str
    instead: str
    where: str
    says: str

    def spoil(self, good: str) -> str:
        """The good text with the first such line changed; what follows it on the line is kept."""
        head, found, tail = f"\n{good}".partition(f"\n{self.line}")
        assert found, self.line
        return f"{head}\n{self.instead}{tail}"[1:]

    def is_among(self, problems: tuple[Problem, ...]) -> bool:
        """Whether one of the problems is the one expected."""
        return any(p.where == self.where and self.says in p.sentence() for p in problems)


def cases(name: str) -> list[Case]:
    """The cases of one file below tests/data/bad."""
    table = tomllib.loads((DATA / "bad" / name).read_text(encoding="utf-8"))
    return [Case(**case) for case in table["case"]]


def case_name(case: Case) -> str:
    """A case in pytest's list."""
    return f"{case.where}: {case.says}"
