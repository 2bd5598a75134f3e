"""Prints made-up screens, or runs the console over one: `python -m tests.tui.show 80 24 "busy and late"`,
`python -m tests.tui.show run "busy and late" shade`."""

from __future__ import annotations

import sys
from zoneinfo import ZoneInfo

from engine.clock import SystemClock
from tests.tui.days import NOW, VIEWS, WORDS, ZONE, FakeSession
from tui.desk import Desk
from tui.glyphs import ASCII, BLOCKS
from tui.paint.pen import Pen
from tui.paint.runs import Lines, plain
from tui.paint.screen import paint_screen
from tui.scene import Scene, settled


class Running(FakeSession):
    """A made-up day whose clock runs."""

    began = SystemClock().stamp().boot

    def now(self) -> float:
        return NOW + SystemClock().stamp().boot - self.began


def screen(name: str, width: int, height: int, desk: Desk | None = None, ascii_only: bool = False) -> Lines:
    """The painted rows of a made-up view."""
    seen = VIEWS[name]
    scene = settled(Scene(seen, NOW, desk or Desk(), kept_seq=14))
    pen = Pen(WORDS, ASCII if ascii_only else BLOCKS, seen.units, ZoneInfo(ZONE))
    return paint_screen(scene, width, height, pen)


def main() -> None:
    if sys.argv[1] == "run":
        from tui.app import run

        run(lambda: Running(VIEWS[sys.argv[2]]), "made-up day", WORDS, *sys.argv[3:4])
        return
    for name in sys.argv[3:] or list(VIEWS):
        print(f"== {name}")
        print("\n".join(plain(line) for line in screen(name, int(sys.argv[1]), int(sys.argv[2]))))


if __name__ == "__main__":
    main()
