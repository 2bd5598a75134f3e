"""What a form asks: its pages and questions, the answers to them in lines of text, and what is wrong with one."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any

from engine.words import Say

Answers = Mapping[str, tuple[str, ...]]  # by question; a line each where many may be given


@dataclass(frozen=True)
class Question:
    """One question; `many`: as many lines as there are things to tell of."""

    key: str
    needed: bool = False
    many: bool = False


@dataclass(frozen=True)
class Page:
    """Questions that stand together on a screen."""

    key: str
    questions: tuple[Question, ...]


@dataclass(frozen=True)
class Fault:
    """What is wrong with a line of an answer; lines count from 0."""

    key: str
    line: int
    says: str


@dataclass(frozen=True)
class Assumed:
    """A value that nobody gave: its key path in the file, and the sentence that says so."""

    where: str
    said: Say


@dataclass(frozen=True)
class Draft:
    """What answers come to: the table of the file, what was assumed, what keeps it from being written."""

    table: dict[str, Any] = field(default_factory=dict)
    assumed: tuple[Assumed, ...] = ()
    faults: tuple[Fault, ...] = ()


def told(answers: Answers, key: str) -> Iterator[tuple[int, str]]:
    """Number and text of each line that says something."""
    for number, line in enumerate(answers.get(key, ())):
        if line.strip():
            yield number, line.strip()


def one(answers: Answers, key: str) -> str:
    """The one line of an answer; empty where nothing was said."""
    return next((text for _, text in told(answers, key)), "")


def missing(pages: Sequence[Page], answers: Answers) -> Iterator[Fault]:
    """A fault for every needed question without an answer."""
    for page in pages:
        for question in page.questions:
            if question.needed and not one(answers, question.key):
                yield Fault(question.key, 0, "this has to be said: nothing can stand in its place")


def questions(pages: Sequence[Page]) -> tuple[Question, ...]:
    """All questions in order."""
    return tuple(question for page in pages for question in page.questions)


JOB_PAGES = (
    Page(
        "site",
        (
            Question("name", needed=True),
            Question("units"),
            Question("time_zone"),
            Question("date"),
            Question("start"),
        ),
    ),
    Page("weather", (Question("weather", needed=True, many=True),)),
    Page("patches", (Question("patches", needed=True, many=True),)),
    Page("crew", (Question("people", many=True), Question("stations", many=True))),
    Page(
        "trailer",
        (
            Question("mixes"),
            Question("bags"),
            Question("packets"),
            Question("vessels"),
            Question("bags_temperature"),
            Question("water_temperature"),
            Question("currency"),
        ),
    ),
    Page("day", (Question("promises", many=True), Question("times", many=True))),
)

LABEL_PAGES = (
    Page(
        "bag",
        (
            Question("name", needed=True),
            Question("kind", needed=True),
            Question("mass", needed=True),
            Question("yield", needed=True),
            Question("price"),
        ),
    ),
    Page(
        "mixing",
        (
            Question("water_low", needed=True),
            Question("water_high"),
            Question("mixing_time"),
            Question("depth_min", needed=True),
            Question("depth_max", needed=True),
            Question("largest_stone"),
        ),
    ),
    Page(
        "clock",
        (
            Question("working_time", needed=True),
            Question("working_from"),
            Question("at_temperature"),
            Question("initial_set"),
            Question("final_set"),
            Question("packets_most"),
        ),
    ),
    Page("open", (Question("feet"), Question("wheels"), Question("strength", many=True))),
)
