"""The call board on a second terminal: it follows a log that another program writes, and only reads along."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING

from engine.words import Words
from tui.app import ConsoleApp
from tui.looks import FIRST

if TYPE_CHECKING:
    from engine.console.following import Following
    from tui.keymap import Keymap
    from tui.paint.pen import Pen
    from tui.session import Session
    from tui.watched import Watched

POLL_S = 0.25


class BoardApp(ConsoleApp, inherit_bindings=False):
    """The board of a log. `open_session` opens a followed one, on a worker thread after the first paint."""

    live: Watched | None

    def _begin(self, session: Session, pen: Pen) -> None:
        from engine.console.following import Following
        from tui.sound.outlet import Outlet
        from tui.watched import Watched

        assert isinstance(session, Following)
        self._outlet = Outlet(self.bell, self._sound_command)
        self.live = Watched(session, pen, self._look)

    def on_opened(self) -> None:
        super().on_opened()
        self.set_interval(POLL_S, self.poll)

    def poll(self) -> None:
        """Show what came; where nothing did, that costs a look at the file."""
        if self.live is not None and self.live.watched.poll():
            self.tick()


def run_board(
    open_log: Callable[[], Following],
    title: str,
    words: Words,
    look: str = FIRST,
    ascii_only: bool = False,
    read_keys: Callable[[], Keymap] | None = None,
    sound_command: tuple[str, ...] = (),
) -> int:
    """Show the board until it is left. Raises what `open_log` raised, once the terminal is itself again."""
    app = BoardApp(open_log, title, words, look, ascii_only, read_keys, sound_command)
    try:
        app.run(mouse=False)
    finally:
        app.close_session()
    if app.failure is not None:
        raise app.failure
    return 0
