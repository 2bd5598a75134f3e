"""One big lane: a heading, figures on the fill of its state, details beside them."""

from __future__ import annotations

from dataclasses import dataclass

from tui.paint.cells import clip, width_of
from tui.paint.figures import figure
from tui.paint.pen import Pen
from tui.paint.runs import Lines, beside, blank, block, fit, parts, row

LOUD = ("due", "late", "lost", "mix now", "edge at risk", "joint")
MARKS = {"late": "!! ", "lost": "xx ", "edge at risk": "!! ", "joint": "xx "}  # the state by shape
LEAST_SIDE = 6
LEAST_REST = 4
GAP = "  "


@dataclass(frozen=True)
class Lane:
    """What a lane says. `texts` are figures to try, the fullest first; each detail is worded from long to short.

    `side` is the room in cells that the details should get before a fuller text is taken.
    """

    state: str
    heading: str
    texts: tuple[str, ...] = ()
    details: tuple[tuple[str, ...], ...] = ()
    side: int = 0


def draw_lane(lane: Lane, width: int, height: int, pen: Pen) -> Lines:
    """Exactly `height` rows; the heading is the first of them."""
    head = row(f" {MARKS.get(lane.state, '')}{lane.heading}", width, "strong", pen.glyphs.cut)
    if height <= 1:
        return block([head], width, height)
    fill = lane.state if lane.state in LOUD else "text"
    drawn = _drawn(lane, width, height - 1, pen)
    if not drawn:
        return (head, *_in_words(lane, width, height - 1, fill, pen))
    return (head, *_in_figures(lane, drawn, (width, height - 1), fill, pen))


def _drawn(lane: Lane, width: int, rows: int, pen: Pen) -> tuple[str, ...]:
    """The fullest text that leaves room for the details, else the fullest that fits at all."""
    for room in (width - lane.side, width):
        for text in lane.texts:
            if drawn := figure(text, room, rows, pen.glyphs):
                return drawn
    return ()


def _in_figures(lane: Lane, drawn: tuple[str, ...], size: tuple[int, int], fill: str, pen: Pen) -> Lines:
    width, rows = size
    across = len(drawn[0])
    left = 1 if width > across + lane.side else 0
    room = width - across - left
    above = max(0, (rows - len(drawn)) // 2)
    figures = block([blank(across, fill)] * above + [((line, fill),) for line in drawn], across, rows, fill)
    details = block(
        [
            fit(((GAP + _worded(texts, room - len(GAP), pen.glyphs.cut), fill),), room, fill, pen.glyphs.cut)
            for texts in lane.details
        ]
        if room >= LEAST_SIDE
        else [],
        room,
        rows,
        fill,
    )
    return beside(beside(block((), left, rows, fill), figures), details)


def _worded(texts: tuple[str, ...], room: int, cut: str) -> str:
    """The longest wording that fits whole; of one that only goes on from the shortest, as much as fits."""
    longest, shortest = texts[0], texts[-1]
    if longest.startswith(f"{shortest} ") and width_of(shortest) + LEAST_REST <= room:
        return clip(longest, room, cut)
    return next((text for text in texts if width_of(text) <= room), "")


def _in_words(lane: Lane, width: int, rows: int, fill: str, pen: Pen) -> Lines:
    """Letters of the usual size, where no figure fits or its signs have none."""
    texts = [lane.texts[0]] if lane.texts else []
    first = parts([*texts, *(worded[0] for worded in lane.details)], width - 2)
    return block(
        [fit(((f" {first or ''.join(texts)}", fill),), width, fill, pen.glyphs.cut)], width, rows, fill
    )
