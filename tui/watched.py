"""A followed log as the screen works it: it begins on the call board, and q leaves at once, since nothing can be lost."""

from __future__ import annotations

from dataclasses import replace

from engine.console.following import Following
from tui.actions import BY_ID
from tui.live import Live
from tui.paint.frame import paint_frame
from tui.paint.pen import Pen
from tui.paint.runs import Lines
from tui.press import Press


class Watched(Live):
    """One followed log on the screen."""

    def __init__(self, session: Following, pen: Pen, look: str) -> None:
        self.watched = session
        super().__init__(session, pen, look, lambda _seq: None)
        self.desk = replace(self.desk, board=True)

    def take_view(self) -> None:
        """A new view of the day, once there is one."""
        if self.watched.waits is None:
            super().take_view()

    def follow(self, key: Press) -> bool:
        """Do what a key asks for; whether it was the wish to leave, which is not asked about again."""
        leaves = self._pen.keys.live.get(key.key) is BY_ID["quit"] and not self.desk.entry
        return leaves or super().follow(key)

    def lines(self, width: int, height: int) -> Lines:
        """The rows of the whole screen as of now; before there is a day, what it waits for."""
        if self.view is None and (waits := self.watched.waits):
            leave = self._pen.say("screen.leave", key=self._pen.key("quit")) if self._pen.keys.live else ""
            return paint_frame(self._pen.say(waits), leave, width, height)
        return super().lines(width, height)
