"""A form filled in without a screen: answers from a text file, one `question: answer` a line."""

from __future__ import annotations

from pathlib import Path
from typing import Any

from engine.console.written import Sheet, faulty
from engine.errors import BadInput, Problem
from engine.job.files import read_text
from engine.job.writing.questions import Answers, Page, questions
from engine.tables import nearest, shown
from engine.words import Words


def answers_from(path: Path, pages: tuple[Page, ...]) -> dict[str, tuple[str, ...]]:
    """The answers of a file; a question with several lines stands several times, `#` begins a remark.

    Raises `BadInput` with every line that is no answer to a question of these pages.
    """
    known = {question.key: question for question in questions(pages)}
    found: dict[str, tuple[str, ...]] = {}
    problems: list[Problem] = []
    for number, line in enumerate(read_text(path).splitlines(), start=1):
        key, colon, text = (part.strip() for part in line.partition(":"))
        if not line.strip() or line.lstrip().startswith("#"):
            continue
        if not colon or key not in known:
            accepted = "a question and its answer, such as name: School; questions are " + ", ".join(known)
            problems.append(Problem(str(path), f"line {number}", shown(key), accepted, nearest(key, known)))
        elif key in found and not known[key].many:
            problems.append(
                Problem(str(path), f"line {number}", shown(key), "one answer: it stands above already")
            )
        else:
            found[key] = (*found.get(key, ()), text)
    if problems:
        raise BadInput(problems)
    return found


def fill(sheet: Sheet, answers: Answers, said: Words) -> dict[str, Any]:
    """Write the file of answers, never over another; what came of it, as plain JSON values.

    Raises `BadInput` with every answer that is missing or wrong, and for a file that is there already; `OSError`.
    """
    draft = sheet.draft(answers)
    if draft.faults:
        raise faulty(sheet.path, draft)
    verdict = sheet.verdict(answers)
    written = sheet.write(answers)
    return {
        "written": list(written),
        "assumed": [{"where": one.where, "text": said(one.said)} for one in draft.assumed],
        "good": verdict.good,
        "check": list(verdict.sentences),
    }
