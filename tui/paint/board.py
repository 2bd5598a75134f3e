"""The call board: what must be done now in the tallest figures, the other order in a band, then the crew.

Read from ten feet: the pass alone on line one, its pour and time on line two; a third of the height each at most.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from functools import cache

from tui.paint.boarded import Called, most_urgent, the_other
from tui.paint.cells import width_of, wrap
from tui.paint.fat import fat_figure, fat_sizes
from tui.paint.lane import LOUD, MARKS, draw_lane
from tui.paint.lanes import call_lane, pass_first, pass_lane
from tui.paint.layout import FOOT, NARROW
from tui.paint.pen import Pen
from tui.paint.people import paint_people
from tui.paint.runs import Lines, beside, block, fit, row
from tui.scene import Scene

SHARE = 0.3  # of all rows, for each line of figures
TALLEST_LOW, LOW_ROWS = 7, 30  # on low screens; on narrow ones too, where pour and time fit no taller
LEAST = 4  # lower figures than this stand on one line, as on the live screen
ONE_PICKED = 4  # rows that one person's figures need
BAND, TALL_BAND = 3, 5
TALL_FROM = 14
SIDE = 12  # cells that words beside figures should get
LEAST_SIDE = 10
ALIKE = {"mix now", "due"}  # the same fill in every look
WRAPPED = 2  # rows a detail may take
Part = tuple[Callable[[], Lines], int]
Texts = tuple[str, ...]


@dataclass(frozen=True)
class Shares:
    """Rows of each line of figures (0: one lane does for both), of all that is urgent, of the band, of the crew."""

    figure: int
    urgent: int
    band: int
    crew: int


def shows_board(scene: Scene) -> bool:
    """Whether the board is on the screen: help, finder and pages of the day stand below the lanes as ever."""
    desk = scene.desk
    finding = desk.entry is not None and desk.entry.kind == "find"
    return desk.board and not (finding or desk.page or desk.sheet)


def board_parts(scene: Scene, width: int, height: int, covered: int, pen: Pen) -> tuple[Part, ...]:
    """The painters from top to bottom and the rows of each; the last `covered` rows stay blank for what is told.

    Messages cover the crew; what is longer than the crew's rows makes everything smaller: the call is never covered.
    """
    found = shares(height, len(scene.view.crew), pen, width)
    if covered > found.crew:
        found = shares(height - covered, len(scene.view.crew), pen, width)
    else:
        found = Shares(found.figure, found.urgent, found.band, found.crew - covered)
    urgent = cache(lambda: _urgent(scene, width, found, pen))
    return (
        (lambda: urgent()[0], found.urgent),
        (lambda: _other(scene, urgent()[1], width, found.band, pen), found.band),
        (lambda: paint_people(scene, width, found.crew, pen), found.crew),
        (lambda: (), covered),
    )


def shares(rows: int, people: int, pen: Pen, width: int = NARROW) -> Shares:
    """Share out the rows by size and crew alone, so that nothing moves while work runs."""
    low, narrow = rows + FOOT < LOW_ROWS, width < NARROW
    most = TALLEST_LOW if low or narrow else round(SHARE * (rows + FOOT))
    tall_band = TALLEST_LOW if narrow and not low else TALL_BAND
    crew = max(people, ONE_PICKED)
    for size in fat_sizes(pen.glyphs):
        left = rows - 2 * size.rows - 1 - crew
        if LEAST <= size.rows <= most and left >= 1:
            band = min(left, tall_band if size.rows >= TALL_FROM or tall_band > TALL_BAND else BAND)
            return Shares(size.rows, 2 * size.rows + 1, band, crew + left - band)
    return _small(rows, people)


def _small(rows: int, people: int) -> Shares:
    """The urgent and the band first, two persons a row where that is all there is room for."""
    band = 1 if rows >= 3 else 0
    crew = max(0, min(-(-people // 2), rows - band - 2))
    return Shares(0, max(0, rows - band - crew), band, crew)


def _urgent(scene: Scene, width: int, found: Shares, pen: Pen) -> tuple[Lines, Texts]:
    """What presses most, and what must be in sight and may have found no room there."""
    called = most_urgent(scene, pen)
    if found.figure:
        return paint_urgent(called, width, found.figure, pen)
    lane = pass_lane if pass_first(scene) else call_lane
    return draw_lane(lane(scene, width, pen), width, found.urgent, pen), called.details[: called.must]


def paint_urgent(called: Called, width: int, rows: int, pen: Pen) -> tuple[Lines, Texts]:
    """Two lines of figures, and between them a row that shows by its shape what is late or lost."""
    fill = fill_of(called.state, "text")
    top, left = _line(called.first, ("", ""), called.details, (width, rows), fill, pen)
    mark = MARKS.get(called.state, "")
    between = row(mark * (width // len(mark)) if mark else "", width, fill)
    below, left = _line(called.second, called.badge, left, (width, rows), fill, pen)
    return (*top, between, *below), tuple(text for text in called.details[: called.must] if text in left)


def _line(
    texts: Texts,
    badge: tuple[str, str],
    details: Texts,
    size: tuple[int, int],
    fill: str,
    pen: Pen,
) -> tuple[Lines, Texts]:
    """A line of figures with words beside it, and the words that found no room."""
    width, rows = size
    drawn = fat_figure(texts, width - 1, rows, pen.glyphs, _sides(badge[0], width, pen))
    if not drawn:
        details = (*texts[:1], *details)
    across = len(drawn[0]) + 1 if drawn else 0
    room = width - across - 2
    figures = block([((f" {line}", fill),) for line in drawn], across, rows, fill)
    told, left = _beside(badge, details, room, rows, pen)
    words = [fit(((f"  {text}", fill),), room + 2, fill, pen.glyphs.cut) for text in told]
    return beside(figures, block(words, width - across, rows, fill)), left


def _sides(badge: str, width: int, pen: Pen) -> tuple[int, ...]:
    """Cells to leave beside a figure: those of the badge in the lowest figures, where it is a short one, or of words."""
    drawn = fat_figure((badge,), width // 2, BAND, pen.glyphs)
    return (len(drawn[0]) + 2, SIDE) if drawn else (SIDE,)


def _beside(
    badge: tuple[str, str], details: Texts, room: int, rows: int, pen: Pen
) -> tuple[list[str], Texts]:
    """What stands beside a figure, and the details that found no place there."""
    if room < LEAST_SIDE:
        return [], details
    drawn = fat_figure(badge[:1], room, max(BAND, rows // 2), pen.glyphs) if rows > BAND else ()
    told = [*drawn] or [badge[1]] * bool(badge[1])
    left: list[str] = []
    for detail in details:
        lines = wrapped(detail, room)
        if lines and len(told) + len(lines) <= rows:
            told += lines
        elif detail:
            left.append(detail)
    return told, tuple(left)


def wrapped(text: str, room: int) -> list[str]:
    """A text in as few rows as it takes, none of its words cut; nothing where it takes too many."""
    lines = wrap(text, room, WRAPPED + 1, "") if text else ()
    whole = all(width_of(word) <= room for word in text.split())
    return [*lines] if whole and len(lines) <= WRAPPED else []


def _other(scene: Scene, first: Texts, width: int, rows: int, pen: Pen) -> Lines:
    """The band, without a fill where it would run into the same fill above it."""
    other = the_other(scene, pen)
    fills = [fill_of(called.state, "strong") for called in (most_urgent(scene, pen), other)]
    return paint_band(other, first, width, rows, "strong" if set(fills) <= ALIKE else fills[1], pen)


def paint_band(called: Called, first: Texts, width: int, rows: int, fill: str, pen: Pen) -> Lines:
    """The other order: in figures with its words beside, else in words. `first` is what had no room above."""
    must = called.details[: called.must]
    for text in called.whole if rows >= BAND and not first else ():
        if fat_figure((text,), width - 1 - SIDE, rows, pen.glyphs):
            whole = called.whole[:1] if width < NARROW and text != called.whole[0] else ()
            details = (*must, *whole, called.badge[1], *called.details[called.must :])
            lines, left = _line((text,), ("", ""), details, (width, rows), fill, pen)
            if not set(must) & set(left):
                return lines
    return _in_words(called, first, width, rows, fill, pen)


def _in_words(called: Called, first: Texts, width: int, rows: int, fill: str, pen: Pen) -> Lines:
    """The fullest wording that leaves room for all that must be in sight."""
    must, mark = (*first, *called.details[: called.must]), MARKS.get(called.state, "")
    for head in (*(f"{mark}{text}" for text in called.whole), called.badge[1]):
        texts = (*first, head, *called.details)
        lines, left = _filled([text for text in texts if text], width - 2, rows, f" {pen.glyphs.dot} ")
        if not set(must) & set(left):
            break
    return block([row(f" {line}", width, fill, pen.glyphs.cut) for line in lines], width, rows, fill)


def _filled(texts: list[str], width: int, rows: int, gap: str) -> tuple[list[str], list[str]]:
    """Rows of whole texts in their order, and the texts that found no room; the first of a row may be too long for it."""
    lines, left = list[str](), list[str]()
    for text in texts:
        if lines and width_of(f"{lines[-1]}{gap}{text}") <= width:
            lines[-1] += f"{gap}{text}"
        elif len(lines) < rows:
            lines.append(text)
        else:
            left.append(text)
    return lines, left


def fill_of(state: str, calm: str) -> str:
    """The fill of a state, or the style of what does not press."""
    return state if state in LOUD else calm
