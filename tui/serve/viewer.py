"""The process of one viewer: the board of a log drawn into a pipe. It takes sizes and no keys, and ends with its server.

python -m tui.serve.viewer LOG LOOK LANGUAGE
"""

from __future__ import annotations

import contextlib
import functools
import os
import sys
import threading
from pathlib import Path
from typing import TYPE_CHECKING

from textual.drivers.web_driver import WebDriver
from textual.messages import ExitApp

from engine.words import Words
from tui.following import BoardApp
from tui.serve.child import UNREADABLE

if TYPE_CHECKING:
    from engine.console.following import Following
    from tui.keymap import Keymap

KINDNESS = 15  # whoever writes the log goes first
PATIENCE_S = 1.0


class Window(WebDriver):
    """Draws into standard output. Of its input only sizes count; at its end, which is the server's, it ends too."""

    def on_meta(self, packet_type: str, payload: dict[str, object]) -> None:
        if packet_type == "resize":
            super().on_meta(packet_type, payload)

    def process_message(self, event: object) -> None:
        """Drops what was typed."""

    def run_input_thread(self) -> None:
        super().run_input_thread()
        last = threading.Timer(PATIENCE_S, os._exit, (1,))
        last.daemon = True
        last.start()
        with contextlib.suppress(RuntimeError):
            self._app.post_message(ExitApp())


def no_keys() -> Keymap:
    """No key reaches a viewer, so none is named."""
    from tui.keymap import STANDARD, keymap

    return keymap(dict.fromkeys(STANDARD.keys, ()))


def board_of(log: Path, look: str, language: str) -> BoardApp:
    """The board, in a window."""

    def texts() -> dict[str, str]:
        from engine.job.files import read_words

        return read_words(language)

    said = Words(functools.cache(texts))

    def opened() -> Following:
        from engine.console import open_following

        return open_following(log, said)

    app = BoardApp(opened, log.stem, said, look, read_keys=no_keys)
    app.driver_class = Window
    return app


def main(arguments: list[str]) -> int:
    """Draw until the server goes; 2 where the log cannot be read."""
    log, look, language = arguments
    os.nice(KINDNESS)
    app = board_of(Path(log), look, language)
    try:
        app.run(mouse=False)
    finally:
        app.close_session()
    return UNREADABLE if app.failure is not None else 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
