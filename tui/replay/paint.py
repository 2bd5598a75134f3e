"""What the replay paints beside the live screen: its badge, the line of the day, its last lines and its pages."""

from __future__ import annotations

import math
from collections.abc import Sequence

from engine.record.replaying.incidents import KINDS, Incident
from engine.record.replaying.predicted import Predicted
from engine.site.windows import window_state
from engine.words import Say
from tui.paint.cells import width_of, wrap
from tui.paint.foot import hint_of, with_keys
from tui.paint.layout import FOOT, arrange
from tui.paint.pages import in_pages, key_lines
from tui.paint.pen import Pen, span
from tui.paint.runs import Line, Lines, Run, block, fit, line_width, merged, row
from tui.paint.screen import paint_screen
from tui.replay.keys import HINTS, REPLAY
from tui.scene import Scene

MARKS = dict(zip(KINDS, "LJ!VABCr", strict=True))
GRAVE = KINDS[: KINDS.index("clock")]
COLUMN, LEGEND = 78, 3
WIDTHS = (8, 14, 9, 9, 9, 9, 8)
HEADS = ("batch", "pass", "at_tip", "latest", "late", "done", "off", "state")


def paint_replay(scene: Scene, last: Lines, page: Lines, width: int, height: int, pen: Pen) -> Lines:
    """The live screen with the replay's own last lines; `page` covers what stands between the lanes and them."""
    rows = list(paint_screen(scene, width, max(0, height - len(last) + FOOT), pen)[:-FOOT])
    layout = arrange(width, height - len(last) + FOOT, len(scene.view.crew), pen.glyphs.half_rows)
    if page:
        room = page_room(scene, width, height, len(last), pen)
        rows[layout.above : layout.above + room] = block(page, width, room)
    for heading in {0, layout.lanes[0]} if layout.lanes[1] else {0}:
        if heading < len(rows):
            rows[heading] = _badged(rows[heading], width, pen)
    return block([*rows, *last], width, height)


def page_room(scene: Scene, width: int, height: int, last: int, pen: Pen) -> int:
    """Rows that a page has."""
    height = height - last + FOOT
    room = height - arrange(width, height, len(scene.view.crew), pen.glyphs.half_rows).above - FOOT
    return max(0, room - min(scene.banner_rows, max(0, room - 1)))


def _badged(line: Line, width: int, pen: Pen) -> Line:
    badge = f" {pen.say('replay.badge')} "
    return merged((*fit(line, max(0, width - width_of(badge)), cut=" "), (badge, "bad")))


def paint_day_line(
    span_s: tuple[float, float], at: float, incidents: Sequence[Incident], width: int, pen: Pen
) -> Line:
    """The day from its first line to its latest, a mark where an incident was, the moment shown in reverse."""
    begins, ends = span_s
    left, right = f" {pen.clock(begins, seconds=False)} ", f" {pen.clock(ends, seconds=False)} "
    cells = max(0, width - width_of(left) - width_of(right))
    if cells < 2:
        return row(left, width, "text", pen.glyphs.cut)
    here = _cell(at, span_s, cells)
    marked: dict[int, Incident] = {}
    for one in sorted(incidents, key=lambda one: KINDS.index(one.kind), reverse=True):
        marked[_cell(one.at, span_s, cells)] = one  # the gravest last, so that it stays
    middle = [_mark(marked.get(n), n == here, pen) for n in range(cells)]
    return merged(((left, "text"), *middle, (right, "text")))


def _cell(at: float, span_s: tuple[float, float], cells: int) -> int:
    begins, ends = span_s
    part = (at - begins) / (ends - begins) if ends > begins else 1.0
    return min(cells - 1, max(0, round(part * (cells - 1))))


def _mark(incident: Incident | None, here: bool, pen: Pen) -> Run:
    sign = MARKS[incident.kind] if incident else pen.glyphs.rule
    if here:
        return (sign if incident else "|"), "bad"
    if incident is None:
        return sign, "rule"
    return sign, "lost" if incident.kind in GRAVE else "strong"


def paint_replay_footer(scene: Scene, at: float, width: int, pen: Pen) -> Line:
    """The badge and the moment, then as many whole key hints as fit."""
    runs: list[Run] = [(f" {pen.say('replay.badge')} {pen.clock(at)} ", "bad")]
    room = width - line_width(tuple(runs))
    for action in with_keys(HINTS, pen):
        hint = hint_of(action, scene, pen)
        if line_width(hint) <= room:
            runs += hint
            room -= line_width(hint)
    return fit(runs, width, "footer")


def paint_keys(width: int, height: int, pen: Pen) -> tuple[Lines, ...]:
    """Pages of the replay's keys, and what the marks of the day line stand for."""
    told = [(action, pen.say(f"help.{action.id}")) for action in REPLAY]
    marks = ", ".join(f"{sign} {pen.say(f'replay.kind.{kind}')}" for kind, sign in MARKS.items())
    texts = wrap(pen.say("replay.title.marks", marks=marks), max(1, width - 2), LEGEND, pen.glyphs.cut)
    legend = tuple(row(f" {text}", width, "text", pen.glyphs.cut) for text in texts)
    room = max(2, height - len(legend))
    pages = in_pages("replay.title.keys", key_lines(told, min(width, COLUMN), pen), (width, room), pen)
    return tuple((*page, *legend) for page in pages)


def paint_windows(
    rows: Sequence[Predicted], at: float, page: int, width: int, height: int, pen: Pen
) -> tuple[Lines, int]:
    """A page of the windows as foretold and as they were, counted from 1, and how many pages there are."""
    if not rows:
        return (row(f" {pen.say('replay.title.none')}", width, "strong", pen.glyphs.cut),), 1
    room = max(1, height - 2)
    pages = math.ceil(len(rows) / room)
    title = pen.say("replay.title.windows", page=page, pages=pages, key=pen.key("replay.windows"))
    shown = rows[(page - 1) * room : page * room]
    heads = _cells([pen.say(f"replay.head.{name}") for name in HEADS])
    told = [
        row(title_, width, style, pen.glyphs.cut)
        for title_, style in ((f" {title}", "rule"), (heads, "strong"))
    ]
    told += [row(_cells(_window(one, at, pen)), width, _style(one, at), pen.glyphs.cut) for one in shown]
    return tuple(told), pages


def paint_causes(causes: Sequence[Say], width: int, height: int, pen: Pen) -> Lines:
    """What was missed, each with its seconds by cause; nothing where nothing was."""
    if not causes:
        return ()
    lines = [text for one in causes for text in wrap(pen.say(one), max(1, width - 2), LEGEND, pen.glyphs.cut)]
    head = row(f" {pen.say('replay.title.causes')}", width, "rule", pen.glyphs.cut)
    return (head, *(row(f" {text}", width, "text", pen.glyphs.cut) for text in lines[: max(0, height - 1)]))


def _cells(texts: Sequence[str]) -> str:
    return " " + "".join(f"{text:<{room}}" for text, room in zip(texts, (*WIDTHS, 0), strict=True))


def _window(one: Predicted, at: float, pen: Pen) -> list[str]:
    done = one.stroke.at if one.stroke else None
    return [
        one.batch,
        pen.word("step", one.name),
        _clock(one.at_tip.due, pen),
        _clock(one.latest.due, pen),
        _clock(one.latest.late, pen),
        _clock(done, pen),
        _off(one.off_s),
        pen.say("replay.skipped") if one.skipped else pen.word("state", _state(one, at)),
    ]


def _state(one: Predicted, at: float) -> str:
    return window_state(one.latest, one.stroke.at if one.stroke else at)


def _style(one: Predicted, at: float) -> str:
    return "strong" if _state(one, at) in ("late", "lost") and not one.skipped else "text"


def _clock(at: float | None, pen: Pen) -> str:
    return "-" if at is None or not math.isfinite(at) else pen.clock(at)


def _off(off_s: float | None) -> str:
    """Minutes and seconds after (`+`) or before the due first foretold."""
    if off_s is None or not math.isfinite(off_s):
        return "-"
    return f"{'-' if off_s < 0 else '+'}{span(round(abs(off_s)))}"
