"""A key in a form: the desk after it, and what it asks for. Pure; no key needs escape, control or alt."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from typing import Literal

from engine.job.writing.questions import Fault
from engine.words import say
from tui.forms.desk import LEAVE, WRITE, FormDesk, Spot, with_line, with_lines

Act = Literal["", "write", "write over", "leave"]
LONGEST_LINE = 200


@dataclass(frozen=True)
class Outcome:
    """The desk after a key, and what it wants done."""

    desk: FormDesk
    act: Act = ""


@dataclass(frozen=True)
class Given:
    """What the answers come to, as far as keys need it: the first fault, a file there, sentences on the last page."""

    fault: Fault | None
    over: bool
    sentences: int = 0


def press(desk: FormDesk, key: str, char: str | None, given: Given) -> Outcome:
    """What one key does."""
    desk = replace(desk, message=None)
    if desk.ask:
        return _answered(desk, char)
    if desk.is_last:
        return _on_last(desk, key, given)
    if key in MOVES:
        return Outcome(MOVES[key](desk))
    if char and char.isprintable() and len(desk.text) < LONGEST_LINE:
        text = desk.text[: desk.cursor] + char + desk.text[desk.cursor :]
        return Outcome(with_line(desk, text, desk.cursor + 1))
    return Outcome(desk)


def _answered(desk: FormDesk, char: str | None) -> Outcome:
    """The second key of a question: y, or anything else for no."""
    yes, plain = (char or "").casefold() == "y", replace(desk, ask="")
    if desk.ask == "leave":
        return Outcome(plain, "leave" if yes else "")
    return Outcome(plain, "write over") if yes else Outcome(replace(plain, message=say("form.not_over")))


def _on_last(desk: FormDesk, key: str, given: Given) -> Outcome:
    if key == "enter":
        return _chosen(desk, given)
    if key in ("up", "shift+tab"):
        return Outcome(
            replace(desk, choice=WRITE) if desk.choice == LEAVE else _to_page(desk, desk.page - 1, last=True)
        )
    if key in ("down", "tab"):
        return Outcome(replace(desk, choice=LEAVE))
    if key in ("right", "left"):
        top = desk.top + (SCROLLED if key == "right" else -SCROLLED)
        return Outcome(replace(desk, top=max(0, min(top, given.sentences - 1))))
    return Outcome(_to_page(desk, desk.page - 1) if key == "pageup" else desk)


def _chosen(desk: FormDesk, given: Given) -> Outcome:
    if desk.choice == LEAVE:
        return Outcome(replace(desk, ask="leave")) if desk.changed else Outcome(desk, "leave")
    if given.fault is not None:
        return Outcome(_to_fault(desk, given.fault))
    return Outcome(replace(desk, ask="over")) if given.over else Outcome(desk, "write")


def _to_fault(desk: FormDesk, fault: Fault) -> FormDesk:
    """The line that a fault names, or where it would stand."""
    number = next((n for n, question in enumerate(desk.questions) if question.key == fault.key), 0)
    page = next(n for n, page in enumerate(desk.pages) if desk.questions[number] in page.questions)
    spot = Spot(number, min(fault.line, len(desk.texts[number]) - 1))
    moved = replace(desk, page=page, spot=spot, top=0)
    return replace(moved, cursor=len(moved.text))


def _to_page(desk: FormDesk, page: int, last: bool = False) -> FormDesk:
    """Another page, at its first line or its last; there is none before the first and none after the last."""
    moved = replace(desk, page=max(0, min(len(desk.pages), page)), choice=WRITE, top=0)
    spots = moved.spots()
    if not spots:
        return moved
    moved = replace(moved, spot=spots[-1 if last else 0])
    return replace(moved, cursor=len(moved.text))


def _step(desk: FormDesk, by: int) -> FormDesk:
    """The next line or the one before, over the edge of a page as well."""
    spots = desk.spots()
    place = spots.index(desk.spot) + by
    if not 0 <= place < len(spots):
        return desk if desk.page + by < 0 else _to_page(desk, desk.page + by, last=by < 0)
    moved = replace(desk, spot=spots[place])
    return replace(moved, cursor=len(moved.text))


def _enter(desk: FormDesk) -> FormDesk:
    """The next line; before the first sign of one of several it makes room for another above."""
    if desk.questions[desk.spot.question].many and desk.text.strip() and desk.cursor == 0:
        lines = list(desk.texts[desk.spot.question])
        return with_lines(desk, [*lines[: desk.spot.line], "", *lines[desk.spot.line :]], desk.spot.line, 0)
    return _step(desk, 1)


def _backspace(desk: FormDesk) -> FormDesk:
    """The sign before the cursor; at the start of an empty line among others, the line."""
    if desk.cursor:
        text = desk.text[: desk.cursor - 1] + desk.text[desk.cursor :]
        return with_line(desk, text, desk.cursor - 1)
    lines = list(desk.texts[desk.spot.question])
    if desk.text or desk.spot.line == len(lines) - 1:
        return desk
    return with_lines(desk, lines[: desk.spot.line] + lines[desk.spot.line + 1 :], desk.spot.line, 0)


def _delete(desk: FormDesk) -> FormDesk:
    if desk.cursor == len(desk.text):
        return desk
    return with_line(desk, desk.text[: desk.cursor] + desk.text[desk.cursor + 1 :], desk.cursor)


def _to(desk: FormDesk, cursor: int) -> FormDesk:
    return replace(desk, cursor=max(0, min(len(desk.text), cursor)))


SCROLLED = 5
MOVES: dict[str, Callable[[FormDesk], FormDesk]] = {
    "tab": lambda desk: _step(desk, 1),
    "down": lambda desk: _step(desk, 1),
    "enter": _enter,
    "shift+tab": lambda desk: _step(desk, -1),
    "up": lambda desk: _step(desk, -1),
    "pagedown": lambda desk: _to_page(desk, desk.page + 1),
    "pageup": lambda desk: _to_page(desk, desk.page - 1),
    "left": lambda desk: _to(desk, desk.cursor - 1),
    "right": lambda desk: _to(desk, desk.cursor + 1),
    "home": lambda desk: _to(desk, 0),
    "end": lambda desk: _to(desk, len(desk.text)),
    "backspace": _backspace,
    "delete": _delete,
}
