"""Ways out, above the message line: what each does, what it costs in minutes and risk, and the key that takes it."""

from __future__ import annotations

from typing import TYPE_CHECKING

from engine.pour.told_replanned import way_said
from tui.actions import DIGITS
from tui.paint.cells import wrap
from tui.paint.pen import Pen, span
from tui.paint.runs import Line, Lines, row
from tui.scene import Scene

if TYPE_CHECKING:
    from engine.pour.around.ways_out import Way

ROWS_A_WAY = 2
LONGEST_SLACK_S = 3600.0  # more than that presses nobody


def asks_for_way(scene: Scene) -> bool:
    """Whether ways out stand on the screen."""
    return scene.desk.ask is not None and scene.desk.ask.action == "ways" and scene.desk.ways is not None


def paint_ways(scene: Scene, width: int, most: int, pen: Pen) -> Lines:
    """One or two rows a way, the best first; those for which there is no room are left out from the end."""
    if not asks_for_way(scene) or scene.desk.ways is None:
        return ()
    rows: list[Line] = []
    for key, way in zip(DIGITS, scene.desk.ways.ways, strict=False):
        text = f"{pen.say(way_said(way.parts))} {pen.glyphs.dot} {cost_of(way, pen)}"
        lines = wrap(text, max(1, width - 5), ROWS_A_WAY, pen.glyphs.cut)
        if len(rows) + len(lines) > most:
            break
        heads = [f" {key} ", *["   "] * ROWS_A_WAY]
        rows += [
            row(f"{head} {line}", width, "ask", pen.glyphs.cut)
            for head, line in zip(heads, lines, strict=False)
        ]
    return tuple(rows)


def cost_of(way: Way, pen: Pen) -> str:
    """Minutes, the least slack, the risk, and what is left undone."""
    minutes = round(way.later_s / 60)
    later = pen.say(
        "ways.later" if minutes > 0 else "ways.sooner" if minutes < 0 else "ways.as_long", n=abs(minutes)
    )
    parts = [later, pen.say("ways.risk", risk=f"{way.risk:.0%}")]
    if way.slack_s < LONGEST_SLACK_S:
        parts.insert(1, pen.say("ways.slack", slack=span(round(way.slack_s))))
    if way.left_bags > 0:
        parts.append(pen.say("ways.left", bags=pen.bags(way.left_bags)))
    return ", ".join(parts)
