"""Today's rate on a page: in words, as a picture of how sure it is, and sign by sign with the number to forget it by."""

from __future__ import annotations

import math

from engine.pour.views import FactorView, SignView
from tui.paint.cells import width_of, wrap
from tui.paint.pen import Pen
from tui.paint.runs import Line, Lines, beside, block, row
from tui.scene import Scene

BESIDE = 72  # from this width on the picture stands beside the signs
AXIS = 2  # rows under the picture
TALLEST = 8
TEACHING = ("ready", "not_yet", "still_moves")


def paint_rate(scene: Scene, width: int, height: int, pen: Pen) -> Lines:
    """The page below the lanes; on narrow screens without the picture."""
    factor = scene.view.factor
    title = pen.say("rate.title", key=pen.key("rate"), reading=pen.key("reading"))
    head = [row(f" {title}", width, "rule", pen.glyphs.cut)]
    said = pen.say(factor.said) if factor.said else ""
    texts = [row(f" {text}", width, "strong") for text in wrap(said, width - 2, 2, pen.glyphs.cut)]
    left = len(factor.spread) + 3 if width >= BESIDE and factor.spread else 0
    room = max(0, height - len(head) - len(texts))
    signs = block(_signs(factor.signs, width - left, pen), width - left, room)
    picture = block(_picture(factor, room, left, pen), left, room)
    return block([*head, *texts, *(beside(picture, signs) if left else signs)], width, height)


def _signs(signs: tuple[SignView, ...], width: int, pen: Pen) -> list[Line]:
    """The latest first: when, the rate it would give by itself, what it was; one that does not count stays pale."""
    if not signs:
        keys = ", ".join(pen.key_and_label(name) for name in TEACHING)
        return [row(f" {pen.say('rate.no_signs', keys=keys)}", width, "text", pen.glyphs.cut)]
    lines: list[Line] = []
    for sign in reversed(signs):
        text = f"{pen.clock(sign.at, seconds=False)} {_alone(sign, pen)} {pen.say(sign.said)}"
        style = "strong" if sign.counts else "text"
        lines += [row(f" {part}", width, style) for part in wrap(text, max(1, width - 2), 2, pen.glyphs.cut)]
    return lines


def _alone(sign: SignView, pen: Pen) -> str:
    if sign.factor is None:
        return pen.glyphs.rule
    return f"{'' if sign.reached else '<'}{sign.factor:.2f}"


def _picture(factor: FactorView, height: int, width: int, pen: Pen) -> list[Line]:
    """Columns as tall as each part of the rates is sure, over a line that marks the card and the rate in force."""
    rows = min(TALLEST, height - AXIS)
    if rows < 1:
        return []
    shapes = [*columns(factor.spread, rows, pen), *_axis(factor, pen)]
    return [row(f" {text}", width, "text") for text in shapes]


def columns(spread: tuple[float, ...], rows: int, pen: Pen) -> list[str]:
    """The shares as columns, the tallest over all rows; half rows where the terminal has signs for them."""
    glyphs, tallest = pen.glyphs, max(spread)
    halves = [round(2 * rows * share / tallest) for share in spread]
    low = glyphs.lower if glyphs.half_rows else " "
    return [
        "".join(glyphs.full if half >= top else low if half == top - 1 else " " for half in halves)
        for top in range(2 * rows, 0, -2)
    ]


def _axis(factor: FactorView, pen: Pen) -> tuple[str, str]:
    """The ends, the card's rate and today's."""
    parts = len(factor.spread)
    line, marks = [pen.glyphs.rule] * parts, [" "] * parts
    line[_place(1.0, factor)] = "+"
    line[_place(factor.value, factor)] = "^"
    today = pen.say("rate.now", value=f"{factor.value:.2f}")
    ends = (f"{factor.span[0]:g}", f"{factor.span[1]:g}")
    start = min(
        max(_place(factor.value, factor) - 2, width_of(ends[0]) + 1),
        parts - width_of(today) - width_of(ends[1]) - 1,
    )
    for text, at in ((ends[0], 0), (today, start), (ends[1], parts - width_of(ends[1]))):
        marks[at : at + width_of(text)] = list(text)
    return "".join(line), "".join(marks)


def _place(value: float, factor: FactorView) -> int:
    """The column of a rate."""
    low, high = factor.span
    parts = len(factor.spread)
    return min(max(math.floor(parts * math.log(value / low) / math.log(high / low)), 0), parts - 1)
