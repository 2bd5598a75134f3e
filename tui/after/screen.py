"""The after screen: call and most urgent pass on top, a list with what its marked row asks for, then messages and keys."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace
from typing import Any

from tui.actions import BY_ID as LIVE
from tui.after.changes import change_texts, changes, price_sums
from tui.after.checks import check_count, check_texts, checks
from tui.after.cure import cure_texts, cures, thirsty
from tui.after.keys import AFTER, hints
from tui.after.listed import Listed, paint_list
from tui.after.marker import PAGES, keys_of, page_of
from tui.after.press import offered
from tui.after.visits import visit_texts, visits
from tui.paint.cells import wrap
from tui.paint.pages import in_pages, key_lines
from tui.paint.pen import Pen
from tui.paint.runs import Line, Lines, Run, block, row
from tui.paint.under import Under, hint_line, page_rows, paint_under, tabs
from tui.plan.keys import SHARED
from tui.scene import Scene

LEAST_LIST = 4  # rows with the heading
LEAST_HINTS = 6  # rows of a page that has one left for its keys
LONGEST = 8  # rows of one sentence
HELP_COLUMN = 80


@dataclass(frozen=True)
class Page:
    """A page: its list, what is told of the marked row, and of all of them at its head."""

    listed: Callable[[Scene], Listed[Any]]
    texts: Callable[[Scene, Pen], Iterator[Run]]
    told: Callable[[Scene, Pen], str]


_PAGES: dict[str, Page] = {
    "cure": Page(cures, cure_texts, lambda _scene, _pen: ""),
    "checks": Page(checks, check_texts, check_count),
    "changes": Page(changes, change_texts, price_sums),
    "visits": Page(visits, visit_texts, lambda _scene, _pen: ""),
}


def paint_after(scene: Scene, width: int, height: int, pen: Pen) -> Lines:
    """Exactly `height` rows of exactly `width` cells; a part that cannot be drawn stays blank and is told."""
    under = Under(
        body=lambda rows: _body(scene, width, rows, pen),
        asked=lambda: question(scene, pen),
        keys=lambda: [(one, pen.say(f"action.{one.id}")) for one in hints(scene, writes=False)],
    )
    return paint_under(scene, width, height, pen, under)


def moved(scene: Scene, width: int, height: int, pen: Pen) -> Scene:
    """With the text moved on no further than to its end, so that the way back is as short."""
    after = scene.desk.after
    if after is None or not after.scroll:
        return scene
    most = max(0, len(_text_lines(scene, width, pen)) - _shares(scene, page_rows(scene, height) - 1)[1])
    if after.scroll <= most:
        return scene
    return replace(scene, desk=replace(scene.desk, after=replace(after, scroll=most)))


def _shares(scene: Scene, rows: int) -> tuple[int, int, int]:
    """Rows of the list, of what is told of its marked row, and of the keys; by how long the list is alone."""
    keys = 1 if rows >= LEAST_HINTS else 0
    room = max(0, rows - keys)
    listed = min(max(2, len(keys_of(scene)) + 1), max(LEAST_LIST, room // 2), room)
    return listed, room - listed, keys


def _body(scene: Scene, width: int, height: int, pen: Pen) -> Lines:
    """The names of the pages over the one turned to."""
    head = _tabs(scene, width, pen)
    if height <= 1:
        return block((head,), width, height)
    if scene.desk.after and scene.desk.after.help:
        return head, *_help(scene.desk.after.help, width, height - 1, pen)
    if scene.after is None:
        return head, row(f" {pen.say('after.none')}", width, "text", pen.glyphs.cut)
    listed, told, keys = _shares(scene, height - 1)
    page = _PAGES[page_of(scene)]
    return (
        head,
        *paint_list(scene, page.listed(scene), width, listed, pen),
        *block(_texts(scene, width, told, pen), width, told),
        *((_keys(scene, width, pen),) if keys else ()),
    )


def _tabs(scene: Scene, width: int, pen: Pen) -> Line:
    """Pours that are dry are named at the head of every page, before what the page itself has to say."""
    pages = [(pen.say(f"after.page.{name}"), name == page_of(scene)) for name in PAGES]
    told = thirsty(scene, pen) or _PAGES[page_of(scene)].told(scene, pen)
    return tabs(pen.say("after.name"), pages, told, width, pen)


def _texts(scene: Scene, width: int, height: int, pen: Pen) -> list[Line]:
    """From the line moved to on; the last row says that there is more."""
    lines = _text_lines(scene, width, pen)
    scroll = scene.desk.after.scroll if scene.desk.after else 0
    start = max(0, min(scroll, len(lines) - height))
    shown = lines[start : start + height]
    if start + height < len(lines) and height > 1:
        more = pen.say("after.more", key=pen.key("aftercare.on"), n=len(lines) - start - height + 1)
        shown[-1] = row(f" {more}", width, "rule", pen.glyphs.cut)
    return shown


def _text_lines(scene: Scene, width: int, pen: Pen) -> list[Line]:
    """What is told of the marked row, a sentence in as many rows as it takes."""
    found: list[Line] = []
    for text, style in _PAGES[page_of(scene)].texts(scene, pen):
        for part in wrap(text, max(1, width - 2), LONGEST, pen.glyphs.cut):
            found.append(row(f" {part}", width, style, pen.glyphs.cut))
    return found


def _keys(scene: Scene, width: int, pen: Pen) -> Line:
    """What the keys that write would do to the marked row."""
    told = [(one, pen.say(f"action.{one.id}")) for one in hints(scene, writes=True)]
    return hint_line(told, width, pen)


def _help(number: int, width: int, height: int, pen: Pen) -> Lines:
    """Every key of the after screen, and those of the live screen that go on working."""
    told = [(action, pen.say(f"help.{action.id}")) for action in AFTER]
    told += [(LIVE[name], pen.say(f"help.{name}")) for name in SHARED]
    pages = in_pages("after.help", key_lines(told, min(width, HELP_COLUMN), pen), (width, height), pen)
    return pages[(number - 1) % len(pages)]


def question(scene: Scene, pen: Pen) -> str:
    """The question that waits, with the second keys it takes; empty where none does."""
    ask = scene.desk.after.ask if scene.desk.after else None
    if ask is None:
        return ""
    keys = "  ".join(f"{choice.key} {pen.say(choice.text)}" for choice in offered(scene, ask))
    name = ask.action.replace(".", "_")
    return f"{pen.say(f'ask.{name}', which=ask.key)} {keys}"
