"""The one live widget: painted rows in, strips out; only what differs from the rows before is drawn again."""

from __future__ import annotations

from itertools import zip_longest

from rich.segment import Segment
from rich.style import Style
from textual.geometry import Region
from textual.strip import Strip
from textual.widget import Widget

from tui.looks import LOOKS, Look
from tui.paint.cells import width_of
from tui.paint.runs import Line, Lines


class Painted(Widget):
    """Shows rows as they are handed in. It has no focus, no colours of its own and keeps no time."""

    can_focus = False
    DEFAULT_CSS = "Painted { width: 100%; height: 100%; }"

    def __init__(self, look: str) -> None:
        super().__init__()
        self._look = look
        self._styles = rich_styles(LOOKS[look])
        self.lines: Lines = ()

    def show(self, lines: Lines, look: str) -> None:
        """Draw these rows instead; from the left edge to the last cell that changed."""
        before, self.lines = self.lines, lines
        if look != self._look or len(before) != len(lines):
            self._look, self._styles = look, rich_styles(LOOKS[look])
            self.refresh()
            return
        regions = [
            Region(0, y, changed, 1)
            for y, (old, new) in enumerate(zip(before, lines, strict=True))
            if (changed := changed_width(old, new))
        ]
        if regions:
            self.refresh(*regions)

    def render_line(self, y: int) -> Strip:
        if y >= len(self.lines):
            return Strip.blank(self.size.width, self._styles["text"])
        return Strip([Segment(text, self._styles[name]) for text, name in self.lines[y]])


def rich_styles(look: Look) -> dict[str, Style]:
    """The styles of a look as the terminal library knows them."""
    return {name: Style(color=ink.ink, bgcolor=ink.paper, bold=ink.bold) for name, ink in look.items()}


def changed_width(old: Line, new: Line) -> int:
    """Cells from the left edge to the end of the last run that differs; 0 where nothing does."""
    if old == new:
        return 0
    end = changed = 0
    for before, after in zip_longest(old, new):
        end += width_of(after[0]) if after else 0
        if before != after:
            changed = end
    return changed if len(new) >= len(old) else end
