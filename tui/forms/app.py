"""The full screen around a form: keys in, the painting out, the verdict reckoned beside the keys."""

from __future__ import annotations

from typing import ClassVar

from textual import events
from textual.app import App
from textual.binding import BindingType
from textual.message import Message

from engine.console.written import Sheet, Verdict
from engine.words import Words
from tui.app import LiveScreen
from tui.forms.filling import Filling
from tui.glyphs import ASCII, BLOCKS
from tui.looks import FIRST, PLAIN
from tui.paint.pen import Pen
from tui.painted import Painted


class Checked(Message):
    """What `check` says of some answers."""

    def __init__(self, answers: dict[str, tuple[str, ...]], verdict: Verdict) -> None:
        super().__init__()
        self.answers, self.verdict = answers, verdict


class FormApp(App[int], inherit_bindings=False):
    """One form. Every key goes to it; none is bound."""

    ENABLE_COMMAND_PALETTE = False
    ALLOW_SELECT = False
    BINDINGS: ClassVar[list[BindingType]] = []

    def __init__(self, sheet: Sheet, words: Words, look: str = FIRST, ascii_only: bool = False) -> None:
        super().__init__()
        self.filling = Filling(sheet, Pen(words, ASCII if ascii_only else BLOCKS))
        self._look = look
        self._checking = False
        self.painted = Painted(PLAIN if self.no_color else look, ascii_only)

    def get_default_screen(self) -> LiveScreen:
        return LiveScreen(self.painted)

    def on_resize(self, event: events.Resize) -> None:
        self.look_again((event.size.width, event.size.height))

    def on_key(self, event: events.Key) -> None:
        if self.filling.follow(event.key, event.character):
            self.exit(0)
            return
        self.look_again()
        self._check()

    def on_paste(self, event: events.Paste) -> None:
        self.filling.paste(event.text)
        self.look_again()

    def _check(self) -> None:
        if self.filling.wants_verdict and not self._checking:
            self._checking = True
            self.run_worker(self._check_beside, thread=True, exit_on_error=False)

    def _check_beside(self) -> None:
        """On a worker's thread."""
        self.post_message(Checked(*self.filling.find_verdict()))

    def on_checked(self, message: Checked) -> None:
        self._checking = False
        self.filling.take_verdict(message.answers, message.verdict)
        self.look_again()
        self._check()

    def look_again(self, size: tuple[int, int] | None = None) -> None:
        """Paint what is so now."""
        width, height = size or self.size
        look = PLAIN if self.no_color else self._look
        self.painted.show(self.filling.lines(width, height), look)


def run_form(sheet: Sheet, words: Words, look: str = FIRST, ascii_only: bool = False) -> tuple[str, ...]:
    """Show a form until it is left; the files written, none where it was left unwritten."""
    app = FormApp(sheet, words, look, ascii_only)
    app.run(mouse=False)
    return app.filling.written
