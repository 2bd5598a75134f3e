"""The full screen of a replay: the console's own, with the replay's keys."""

from __future__ import annotations

import gc
from collections.abc import Callable
from functools import partial
from typing import TYPE_CHECKING

from engine.words import Words
from tui.app import ConsoleApp, Opened
from tui.looks import FIRST

if TYPE_CHECKING:
    from engine.console import Replay
    from tui.keymap import Keymap
    from tui.replay.replayed import Replayed


class ReplayApp(ConsoleApp, inherit_bindings=False):
    """A log on a past clock. `open_replay` is called on a worker thread after the first paint."""

    live: Replayed | None

    def __init__(
        self,
        open_replay: Callable[[], Replay],
        title: str,
        words: Words,
        look: str = FIRST,
        ascii_only: bool = False,
        read_keys: Callable[[], Keymap] | None = None,
    ) -> None:
        super().__init__(open_replay, title, words, look, ascii_only, read_keys)
        self._open_replay = open_replay

    def _opening(self) -> None:
        """On the worker's thread: the log is read here, and the rest of the program is loaded."""
        from tui.replay.replayed import Replayed

        try:
            pen = self._pen()
            self.live = Replayed(self._open_replay(), pen, self._look)
        except Exception as error:
            self.failure = error
        self.post_message(Opened())

    def on_opened(self) -> None:
        super().on_opened()
        if self.live is not None:
            self.run_worker(partial(prepare, self.live.session, self._left), thread=True, exit_on_error=False)

    def _left(self) -> bool:
        return self.live is None


def prepare(replay: Replay, stopped: Callable[[], bool] = bool) -> None:
    """Reckon ahead; what stays for good is taken from the collector, whose walk over it would be felt at a key."""
    replay.prepare(stopped)
    gc.freeze()


def run_replay(
    open_replay: Callable[[], Replay],
    title: str,
    words: Words,
    look: str = FIRST,
    ascii_only: bool = False,
    read_keys: Callable[[], Keymap] | None = None,
) -> int:
    """Show a replay until it is left. Raises what `open_replay` raised, once the terminal is itself again."""
    app = ReplayApp(open_replay, title, words, look, ascii_only, read_keys)
    app.run(mouse=False)
    if app.failure is not None:
        raise app.failure
    return 0
