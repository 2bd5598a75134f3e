"""What cannot be kept, the last waters, what each hole calls for, the cautions of the day: a text that is moved on."""

from __future__ import annotations

from collections.abc import Iterator

from engine.words import Say
from tui.paint.cells import wrap
from tui.paint.pen import Pen
from tui.paint.runs import Line, Lines, block, row
from tui.paint.waters import water_lines
from tui.scene import Scene

LONGEST = 6  # rows of one sentence


def paint_cautions(scene: Scene, width: int, height: int, pen: Pen) -> Lines:
    """From the line moved to; the last page always stays full."""
    lines = caution_lines(scene, width, pen)
    scroll = scene.desk.plan.scroll if scene.desk.plan else 0
    start = max(0, min(scroll, len(lines) - height))
    return block(lines[start : start + height], width, height)


def caution_lines(scene: Scene, width: int, pen: Pen) -> list[Line]:
    """The whole text in rows."""
    return list(_lines(scene, width, pen))


def _lines(scene: Scene, width: int, pen: Pen) -> Iterator[Line]:
    plan = scene.plan
    if plan is None:
        yield row(f" {pen.say('plan.no_plan')}", width)
        return
    yield from _block("plan.head.misses", plan.misses, "!!", width, pen)
    waters = water_lines(scene, width - 2, pen)
    yield row(f" {pen.say('plan.head.waters')}", width, "rule", pen.glyphs.cut)
    yield from (
        row(f" {text}", width, "text", pen.glyphs.cut) for text in waters or [pen.say("plan.no_promise")]
    )
    yield from _block("plan.head.cautions", plan.cautions, "-", width, pen)
    yield from _block("plan.head.notes", plan.notes, "-", width, pen)


def _block(title: str, said: tuple[Say, ...], mark: str, width: int, pen: Pen) -> Iterator[Line]:
    """A heading over sentences; nothing where there is none."""
    if not said:
        return
    yield row(f" {pen.say(title)}", width, "rule", pen.glyphs.cut)
    indent = len(mark) + 2
    for one in said:
        for n, text in enumerate(wrap(pen.say(one), max(1, width - indent - 1), LONGEST, pen.glyphs.cut)):
            head = f" {mark} " if n == 0 else " " * indent
            yield row(head + text, width, "strong" if mark == "!!" else "text", pen.glyphs.cut)
