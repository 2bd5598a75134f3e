"""The one live widget: painted rows in, strips out; only what differs from the rows before is drawn again.

The framework sends a changed row from the left edge of its widget on, so the painting hangs in a few panes side by
side: a countdown at the right does not cost the whole row.
"""

from __future__ import annotations

from rich.segment import Segment
from rich.style import Style
from textual.app import ComposeResult
from textual.geometry import Region
from textual.strip import Strip
from textual.widget import Widget

from tui.looks import LOOKS, Ink, Look
from tui.paint.cells import width_of
from tui.paint.runs import Line, Lines, ascii_lines

PANES = 4


class Painted(Widget):
    """Shows rows as they are handed in. It has no focus, no colours of its own and keeps no time."""

    DEFAULT_CSS = "Painted { width: 100%; height: 100%; layout: horizontal; }"

    def __init__(self, look: str, ascii_only: bool = False) -> None:
        super().__init__()
        self._ascii_only = ascii_only
        self._look = look
        self._styles = rich_styles(LOOKS[look])
        self._strips: list[Strip] = []
        self.lines: Lines = ()
        self.panes = [Pane(self) for _ in range(PANES)]

    def compose(self) -> ComposeResult:
        yield from self.panes

    def show(self, lines: Lines, look: str) -> None:
        """Draw these rows instead of those before."""
        if self._ascii_only:
            lines = ascii_lines(lines)
        before, self.lines = self.lines, lines
        if look != self._look or len(before) != len(lines):
            self._look, self._styles = look, rich_styles(LOOKS[look])
            self._strips = [self._strip(line) for line in lines]
            for pane in self.panes:
                pane.refresh()
            return
        for y, (old, new) in enumerate(zip(before, lines, strict=True)):
            if old != new:
                self._strips[y] = self._strip(new)
                self._redraw(y, *changed_cells(old, new))

    def _strip(self, line: Line) -> Strip:
        return Strip([Segment(text, self._styles[name]) for text, name in line])

    def _redraw(self, y: int, first: int, last: int) -> None:
        for pane in self.panes:
            left, right = pane.region.x, pane.region.right
            if first < right and last > left:
                pane.refresh(Region(0, y, min(last, right) - left, 1))

    def strip_of(self, y: int, left: int, right: int) -> Strip:
        """The part of a row that a pane shows."""
        if y >= len(self._strips):
            return Strip.blank(right - left, self._styles["text"])
        return self._strips[y].crop(left, right).adjust_cell_length(right - left, self._styles["text"])


class Pane(Widget):
    """One upright part of the painting."""

    can_focus = False
    DEFAULT_CSS = "Pane { width: 1fr; height: 100%; }"

    def __init__(self, painted: Painted) -> None:
        super().__init__()
        self._painted = painted

    def render_line(self, y: int) -> Strip:
        return self._painted.strip_of(y, self.region.x, self.region.right)


def rich_styles(look: Look) -> dict[str, Style]:
    """The styles of a look as the terminal library knows them."""
    return {name: _style(ink) for name, ink in look.items()}


def _style(ink: Ink) -> Style:
    """A colour not named is not sent, not even as the terminal's own."""
    return Style(
        color=ink.ink or None,
        bgcolor=ink.paper or None,
        bold=ink.bold,
        reverse=ink.reverse,
        underline=ink.underline,
    )


def changed_cells(old: Line, new: Line) -> tuple[int, int]:
    """First cell that differs and the one after the last; both rows are equally wide."""
    before, after = _signs(old), _signs(new)
    same = _alike(before, after)
    tail = _alike(before[same:][::-1], after[same:][::-1])
    first = width_of("".join(sign for sign, _ in after[:same]))
    last = width_of("".join(sign for sign, _ in after[: len(after) - tail]))
    return first, max(last, width_of("".join(sign for sign, _ in before[: len(before) - tail])))


def _signs(line: Line) -> list[tuple[str, str]]:
    return [(sign, style) for text, style in line for sign in text]


def _alike(one: list[tuple[str, str]], other: list[tuple[str, str]]) -> int:
    """How many signs agree from the start on."""
    return next(
        (n for n, (a, b) in enumerate(zip(one, other, strict=False)) if a != b), min(len(one), len(other))
    )
