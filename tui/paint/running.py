"""The running work, most urgent first: countdown first in its row, then what is to be done, where and by whom."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from engine.pour.views import Row, Window
from tui.actions import BY_ID
from tui.asking import choices
from tui.glyphs import Glyphs
from tui.paint.cells import clean, pad, pad_left, width_of
from tui.paint.lanes import name_of, state_of, until_word
from tui.paint.pen import Pen
from tui.paint.runs import Line, Lines, Run, block, fit, line_width, row
from tui.scene import Scene

MARKS = {"early": ".", "open": "-", "due": "*", "late": "!", "lost": "x"}
GAUGE = 3
GAUGE_FROM = 80  # cells across; below it a single mark


@dataclass(frozen=True)
class Column:
    """A column of the list; those of the highest `rank` go first where the width is short."""

    name: str
    width: int
    rank: int
    text: Callable[[Row, Pen], str]


COLUMNS = (
    Column("sure", 5, 2, lambda row, pen: pen.sure(row.sure_s)),
    Column("until", 8, 1, lambda _row, _pen: ""),
    Column("state", 9, 0, lambda row, pen: pen.word("state", state_of(row)) if state_of(row) else ""),
    Column("step", 13, 0, lambda row, pen: pen.word("step", row.step.kind)),
    Column("pour", 5, 0, lambda row, _: clean(name_of(row))),
    Column("who", 4, 1, lambda row, _: clean(row.step.who)),
    Column("finish", 6, 3, lambda row, pen: pen.word("finish", row.finish)),
    Column("stage", 10, 4, lambda row, pen: pen.word("stage", row.stage)),
    Column("where", 22, 5, lambda row, _: clean(row.where)),
    Column("packets", 11, 6, lambda row, pen: pen.packets(row.packets)),
    Column("heat", 6, 7, lambda row, pen: f"{pen.temperature(row.temperature_c)}{pen.degrees()}"),
    Column("age", 8, 8, lambda row, _: f"{row.set_age_s / 60:.1f} min"),
    Column("edge", 8, 9, lambda row, pen: pen.clock(row.workable_until) if row.workable_until else ""),
)


def lead_width(width: int) -> int:
    """Cells of marker, gauge, countdown and kept mark: what a question leaves standing."""
    return 9 + (GAUGE if width >= GAUGE_FROM else 1)


def columns_for(width: int) -> tuple[Column, ...]:
    """The columns that fit, in their order."""
    room, kept = width - lead_width(width) + 1, set()
    for column in sorted(COLUMNS, key=lambda column: column.rank):
        room -= column.width + 1
        if room < 0:
            break
        kept.add(column.name)
    return tuple(column for column in COLUMNS if column.name in kept)


def paint_running(scene: Scene, width: int, height: int, pen: Pen, headed: bool = False) -> Lines:
    """The rows, with the one under the marker always in sight; `headed`: names over the columns."""
    columns = columns_for(width)
    head = [_heading(scene, columns, width, pen)] if headed and height > 1 else []
    room = height - len(head)
    rows = scene.view.rows
    if not rows:
        head.append(row(f"  {pen.say('screen.nothing_runs')}", width, "text", pen.glyphs.cut))
    shown = [paint_row(scene, rows[place], columns, width, pen) for place in window(rows, scene, room)]
    return block([*head, *shown], width, height)


def window(rows: tuple[Row, ...], scene: Scene, room: int) -> range:
    """Places of the rows in sight: from the top, moved on only as far as the marker needs."""
    marked = next((place for place, one in enumerate(rows) if one is scene.row), 0)
    start = max(0, min(marked - room + 1, len(rows) - room)) if marked >= room else 0
    return range(start, min(len(rows), start + max(0, room)))


def _heading(scene: Scene, columns: tuple[Column, ...], width: int, pen: Pen) -> Line:
    names = "".join(pad(pen.say(f"column.{column.name}"), column.width + 1) for column in columns)
    count = len(scene.view.rows)
    lead = pad(f" {pen.say('column.running', n=count)}", lead_width(width))
    return row(lead + names, width, "rule", pen.glyphs.cut)


def paint_row(scene: Scene, one: Row, columns: tuple[Column, ...], width: int, pen: Pen) -> Line:
    """One line of the running work; a question that waits for its second key stands in it."""
    chosen, state = one is scene.row, state_of(one)
    style = state if state in ("late", "lost") else ("chosen" if chosen else "text")
    lead = _lead(scene, one, width, style, pen)
    if scene.desk.ask and scene.desk.ask.key == one.key and scene.desk.ask.action not in ("quit", "ways"):
        asked = question(scene, pen, width - line_width(lead))
        return fit((*lead, (asked, "ask")), width, "ask", pen.glyphs.cut)
    cells: list[Run] = []
    for column in columns:
        text = until_word(one, scene.now, pen) if column.name == "until" else column.text(one, pen)
        cell = state if column.name == "state" and state else style
        cells += [(pad(text, column.width, pen.glyphs.cut), cell), (" ", style)]
    return fit((*lead, *cells), width, style, pen.glyphs.cut)


def _lead(scene: Scene, one: Row, width: int, style: str, pen: Pen) -> Line:
    kept = pen.glyphs.solid if one.seq <= scene.kept_seq else pen.glyphs.hollow
    time = pen.short_countdown(one.until, scene.now) if one.until is not None else ""
    shape = gauge(one.window, scene.now, pen.glyphs) if width >= GAUGE_FROM else MARKS.get(state_of(one), " ")
    marker, assumed = ">" if one is scene.row else " ", "~" if one.assumed else " "
    return ((f"{marker}{shape}{pad_left(time, 6)}{assumed}{kept} ", style),)


def gauge(window: Window | None, now: float, glyphs: Glyphs) -> str:
    """How far a window is through: nothing, up to due, up to late; then a shout, then crosses. Blank without one."""
    if window is None:
        return " " * GAUGE
    whole = {"early": "", "late": f"{glyphs.through * 2}!", "lost": MARKS["lost"] * GAUGE}
    if window.state in whole:
        return whole[window.state].ljust(GAUGE, glyphs.ahead)
    through, begins, ends = ("", window.open, window.due)
    if window.state == "due":
        through, begins, ends = (glyphs.through, window.due, window.late)
    half = now < (begins + ends) / 2
    return (through + (glyphs.begun if half else glyphs.through)).ljust(GAUGE, glyphs.ahead)


def question(scene: Scene, pen: Pen, room: int) -> str:
    """The question that waits, with the second keys it takes; closer together where the room is short."""
    ask = scene.desk.ask
    if ask is None:
        return ""
    action = BY_ID[ask.action]
    offered = [f"{choice.key} {pen.say(choice.text)}" for choice in choices(scene, action, ask.half)]
    key = "ask.quit_running" if ask.action == "quit" and scene.clock_runs else f"ask.{ask.action}"
    asked = pen.say(key, which=_asked_about(scene))
    wide = f" {asked} {'  '.join(offered)} "
    return wide if width_of(wide) <= room else f" {asked} {' '.join(offered)} "


def _asked_about(scene: Scene) -> str:
    if scene.row:
        return name_of(scene.row)
    return scene.selected.key if scene.selected else ""
