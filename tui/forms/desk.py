"""What stands in a form and where the hands are: frozen, all texts as typed."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from typing import Literal

from engine.job.writing.questions import Answers, Page, Question, questions
from engine.words import Say

Ask = Literal["", "over", "leave"]
WRITE, LEAVE = 0, 1  # what the last page offers


@dataclass(frozen=True)
class Spot:
    """A line of the form: the place of its question among all, and its place among that question's lines."""

    question: int
    line: int = 0


@dataclass(frozen=True)
class FormDesk:
    """Texts by question and line, the page shown, the spot and the cursor in it.

    The page after those of the questions is the last: what was assumed, the verdict, and a choice. `top`: its first row shown.
    """

    pages: tuple[Page, ...]
    texts: tuple[tuple[str, ...], ...]
    page: int = 0
    spot: Spot = Spot(0)
    cursor: int = 0
    choice: int = WRITE
    top: int = 0
    ask: Ask = ""
    changed: bool = False
    message: Say | None = None

    @property
    def questions(self) -> tuple[Question, ...]:
        return questions(self.pages)

    @property
    def is_last(self) -> bool:
        return self.page == len(self.pages)

    @property
    def answers(self) -> dict[str, tuple[str, ...]]:
        """Every answer, empty lines included: faults name lines as they stand."""
        return {question.key: lines for question, lines in zip(self.questions, self.texts, strict=True)}

    @property
    def text(self) -> str:
        """Of the line where the cursor is."""
        return self.texts[self.spot.question][self.spot.line]

    def spots(self) -> list[Spot]:
        """Every line of the page shown, in order."""
        shown = self.pages[self.page].questions if not self.is_last else ()
        return [
            Spot(number, line)
            for number, question in enumerate(self.questions)
            if question in shown
            for line in range(len(self.texts[number]))
        ]


def begun(pages: Sequence[Page], answers: Answers) -> FormDesk:
    """A form with what is known already."""
    texts = [_lines(question, answers.get(question.key, ())) for question in questions(pages)]
    desk = FormDesk(tuple(pages), tuple(texts))
    return replace(desk, cursor=len(desk.text))


def _lines(question: Question, lines: Iterable[str]) -> tuple[str, ...]:
    """At least one; where many may be given, always an empty one to go on with."""
    lines = tuple(lines)
    if not question.many:
        return (lines or ("",))[:1]
    return lines if lines and not lines[-1].strip() else (*lines, "")


def with_line(desk: FormDesk, text: str, cursor: int) -> FormDesk:
    """The desk with another text where the cursor is."""
    lines = list(desk.texts[desk.spot.question])
    lines[desk.spot.line] = text
    return with_lines(desk, lines, desk.spot.line, cursor)


def with_lines(desk: FormDesk, lines: Sequence[str], line: int, cursor: int) -> FormDesk:
    """The desk with other lines at the question where the cursor is."""
    number = desk.spot.question
    texts = list(desk.texts)
    texts[number] = _lines(desk.questions[number], lines)
    return replace(desk, texts=tuple(texts), spot=Spot(number, line), cursor=cursor, changed=True)
