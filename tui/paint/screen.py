"""The whole screen: every part in its place."""

from __future__ import annotations

from collections.abc import Callable

from tui.desk import Desk
from tui.paint.alarms import alarm_rows, kept_rows, paint_alarms
from tui.paint.board import board_parts, shows_board
from tui.paint.crew import paint_crew, paint_timeline
from tui.paint.foot import paint_banners, paint_footer, paint_message, paint_message_above
from tui.paint.lanes import paint_lanes
from tui.paint.layout import FOOT, LEAST_WIDTH, Layout, arrange
from tui.paint.pages import help_pages, paint_finder, paint_help, paint_start
from tui.paint.pen import Pen
from tui.paint.queue import paint_queue, paint_queue_line
from tui.paint.rate import paint_rate
from tui.paint.running import paint_running
from tui.paint.runs import Lines, beside, block, row
from tui.paint.site import paint_site
from tui.paint.ways import paint_ways
from tui.scene import Scene

BORDER = " "
HEADED_FROM = 8


def paint_screen(scene: Scene, width: int, height: int, pen: Pen, start: bool = False) -> Lines:
    """Exactly `height` rows of exactly `width` cells; `start`: with the limits of what the program knows.

    A part that cannot be drawn stays blank and the message line says so; nothing is raised.
    """
    layout = arrange(width, height, len(scene.view.crew), pen.glyphs.half_rows)
    boarded = shows_board(scene)
    lanes_rows = 0 if boarded else layout.above
    room = max(0, height - lanes_rows - FOOT)
    faults: list[Exception] = []
    banner_rows = min(scene.banner_rows, max(0, room - 1))
    lanes = _guarded(faults, lambda: paint_lanes(scene, width, layout.lanes, pen), width, lanes_rows)
    banners = _guarded(faults, lambda: paint_banners(scene, width, banner_rows, pen), width, banner_rows)
    rows = room - banner_rows
    alarms = () if boarded else paint_alarms(scene, width, alarm_rows(scene, rows), pen)
    kept = 0 if boarded else kept_rows(scene, rows)
    most = max(0, rows - 1 - len(alarms))
    told = paint_ways(scene, width, most, pen) or paint_message_above(scene, width, most, pen)
    if boarded:
        body = _board(faults, scene, width, rows, len(told), pen)
    else:
        own = rows - kept_rows(scene, rows) if _page_open(scene) else rows
        body = _guarded(faults, lambda: _body(scene, width, own, layout, pen, start), width, own)
    foot = _guarded(faults, lambda: _foot(scene, width, pen, faults), width, FOOT)
    body = block(body, width, rows)
    above = _guarded(faults, lambda: _covered(body, alarms, told, kept), width, rows)
    work, said = (
        above[: rows - len(told)],
        above[rows - len(told) :],
    )  # a long message goes on in the last lines
    return block([*lanes, *work, *banners, *said, *foot], width, height)


def _guarded(faults: list[Exception], paint: Callable[[], Lines], width: int, height: int) -> Lines:
    """What a painter painted, in exactly its place; a fault of it is noted."""
    try:
        return block(paint(), width, height)
    except Exception as fault:
        faults.append(fault)
        return block((), width, height)


def _board(faults: list[Exception], scene: Scene, width: int, rows: int, covered: int, pen: Pen) -> Lines:
    """The call board, part by part: one that cannot be drawn leaves the others in sight."""
    parts = board_parts(scene, width, rows, covered, pen)
    painted = [line for paint, height in parts for line in _guarded(faults, paint, width, height)]
    return block(painted, width, rows)


def _foot(scene: Scene, width: int, pen: Pen, faults: list[Exception]) -> Lines:
    message = paint_message(scene, width, pen)
    if shows_board(scene) and scene.alarms and not _speaks(scene.desk):
        message = paint_alarms(scene, width, 1, pen)[0]
    if faults:
        message = row(f" {pen.say('screen.fault', what=repr(faults[0]))}", width, "bad", pen.glyphs.cut)
    return message, paint_footer(scene, width, pen)


def _speaks(desk: Desk) -> bool:
    """Whether the message line has something of the moment to say: on the board the first alarm stands there else."""
    return any((desk.message, desk.ask, desk.entry, desk.corner))


def _covered(body: Lines, alarms: Lines, told: Lines, kept: int) -> Lines:
    """The last rows under alarms and what was said; the first alarm keeps its place whether others follow or not."""
    top = len(body) - max(len(alarms) + len(told), kept)
    return body[:top] + alarms + body[top + len(alarms) : len(body) - len(told)] + told


def _page_open(scene: Scene) -> bool:
    """Whether something to read stands in the place of the work: it makes room for alarms instead of losing lines."""
    finding = scene.desk.entry is not None and scene.desk.entry.kind == "find"
    return bool(scene.desk.page or scene.desk.sheet) or finding


def page_count(scene: Scene, width: int, height: int, pen: Pen) -> int:
    """How many pages the help has at this size."""
    if not scene.desk.page:
        return 0
    return len(help_pages(scene, width, _page_rows(scene, width, height, pen), pen))


def _page_rows(scene: Scene, width: int, height: int, pen: Pen) -> int:
    """Rows of a help page: what lies between the lanes and the last lines."""
    room = height - arrange(width, height, len(scene.view.crew), pen.glyphs.half_rows).above - FOOT
    rows = max(0, room - min(scene.banner_rows, max(0, room - 1)))
    return rows - kept_rows(scene, rows)


def _body(scene: Scene, width: int, height: int, layout: Layout, pen: Pen, start: bool) -> Lines:
    """What stands between the lanes and the last lines."""
    if height <= 0:
        return ()
    if scene.desk.entry and scene.desk.entry.kind == "find":
        return paint_finder(scene, width, height, pen)
    if scene.desk.page and (page := paint_help(scene, width, height, pen)):
        return page
    if scene.desk.sheet:
        return paint_rate(scene, width, height, pen)
    if start and not scene.clock_runs and width >= LEAST_WIDTH:
        return paint_start(width, height, pen)
    return _panels(scene, width, height, layout, pen)


def _panels(scene: Scene, width: int, height: int, layout: Layout, pen: Pen) -> Lines:
    """Running work, crew, queue, site; banners take their rows from the running work."""
    fixed = layout.crew + layout.queue + layout.site
    middle = max(1, height - fixed)
    running = _work(scene, width, middle, layout, pen)
    people = paint_timeline if layout.timeline else paint_crew
    crew = people(scene, width, layout.crew, pen)
    site = paint_site(scene, width, layout.site, pen) if layout.site else ()
    return block([*running, *crew, *_narrow_queue(scene, width, layout.queue, pen), *site], width, height)


def _work(scene: Scene, width: int, height: int, layout: Layout, pen: Pen) -> Lines:
    """The running work; while nothing runs, the queue stands in its place."""
    if layout.wide:
        return _wide_middle(scene, width, height, pen)
    if scene.view.rows or height < 3:
        return paint_running(scene, width, height, pen, headed=height >= HEADED_FROM)
    return paint_queue(scene, width, height, pen)


def _wide_middle(scene: Scene, width: int, height: int, pen: Pen) -> Lines:
    left = max(80, width * 5 // 9)
    running = paint_running(scene, left, height, pen, headed=True)
    border = block([((BORDER, "rule"),)] * height, 1, height)
    return beside(beside(running, border), paint_queue(scene, width - left - 1, height, pen))


def _narrow_queue(scene: Scene, width: int, rows: int, pen: Pen) -> Lines:
    if rows <= 0:
        return ()
    if rows == 1:
        return (paint_queue_line(scene, width, pen),)
    return paint_queue(scene, width, rows, pen)
