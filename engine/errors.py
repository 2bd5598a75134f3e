"""What can be wrong with what people hand in, said so that they can mend it."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True)
class Problem:
    """One fault in a file: where it stands, what was given, what is accepted, the nearest known word."""

    file: str
    where: str  # key path such as `pours[2].depths[0]`, or `line 7`
    given: str  # as written, shortened; empty where something is missing
    accepted: str  # a phrase: "a length such as \"2 1/4 in\" or \"57 mm\""
    nearest: str = ""

    def sentence(self) -> str:
        """The fault on one line."""
        given = f"{self.given} given, " if self.given else ""
        nearest = f" (nearest known: {self.nearest})" if self.nearest else ""
        return f"{self.file}: {self.where}: {given}{self.accepted}{nearest}"


class BadInput(Exception):
    """A file or a command line that cannot be used; carries every problem found."""

    def __init__(self, problems: list[Problem] | tuple[Problem, ...]) -> None:
        self.problems = tuple(problems)
        super().__init__("\n".join(problem.sentence() for problem in self.problems))


class LogDamaged(Exception):
    """A log that breaks its own chain; names the line."""

    def __init__(self, path: str, line: int, why: str) -> None:
        self.path, self.line, self.why = path, line, why
        super().__init__(f"{path}: line {line}: {why}")


class LogHeld(Exception):
    """Another program writes this log; says which process holds it."""

    def __init__(self, path: str, holder: str) -> None:
        self.path, self.holder = path, holder
        super().__init__(f"{path} is being written by {holder}; look at it with `bagcall status` instead")
