"""What stands on the screen before the job is read: its name. Loads next to nothing, so that it is there at once."""

from __future__ import annotations

from tui.paint.runs import Lines, block, row


def paint_frame(title: str, opening: str, width: int, height: int) -> Lines:
    """Exactly `height` rows of exactly `width` cells."""
    above = [row("", width)] * (height // 3)
    return block([*above, row(f"  {title}", width, "strong"), row(f"  {opening}", width)], width, height)
