"""A form in hand: keys in, painted rows out, over the door of one file."""

from __future__ import annotations

from dataclasses import replace

from engine.console.written import Sheet, Verdict
from engine.errors import BadInput
from engine.words import say
from tui.forms.desk import FormDesk, begun
from tui.forms.paint import FormScene, paint_form
from tui.forms.press import Act, Given, press
from tui.paint.pen import Pen
from tui.paint.runs import Lines


class Filling:
    """One form from its first key to the file or to leaving. `written`: the files it wrote."""

    def __init__(self, sheet: Sheet, pen: Pen) -> None:
        self._sheet, self._pen = sheet, pen
        self.desk: FormDesk = begun(sheet.pages, sheet.answers)
        self.draft = sheet.draft(self.desk.answers)
        self.verdict: Verdict | None = None
        self.written: tuple[str, ...] = ()

    @property
    def wants_verdict(self) -> bool:
        """Whether the last page waits for what `check` says."""
        return self.desk.is_last and self.verdict is None and not self.draft.faults

    def follow(self, key: str, char: str | None) -> bool:
        """Take a key; whether the form is done with."""
        before = self.desk
        faults, assumed = self.draft.faults, self.draft.assumed
        given = Given(faults[0] if faults else None, self._sheet.over, len(faults or assumed))
        outcome = press(before, key, char, given)
        self.desk = outcome.desk
        if self.desk.texts != before.texts:
            self.draft, self.verdict = self._sheet.draft(self.desk.answers), None
        return self._does(outcome.act)

    def paste(self, text: str) -> None:
        """A text from elsewhere, as if it were typed; a line's end goes on to the next line."""
        for number, line in enumerate(text.splitlines()):
            if number:
                self.follow("enter", None)
            for char in line:
                if char.isprintable():
                    self.follow(char, char)

    def find_verdict(self) -> tuple[dict[str, tuple[str, ...]], Verdict]:
        """What `check` says of the answers as they are; may take a second, and may run on another thread."""
        answers = self.desk.answers
        return answers, self._sheet.verdict(answers)

    def take_verdict(self, answers: dict[str, tuple[str, ...]], verdict: Verdict) -> None:
        """Keep it where the answers are still those."""
        if answers == self.desk.answers:
            self.verdict = verdict

    def _does(self, act: Act) -> bool:
        if act not in ("write", "write over"):
            return act == "leave"
        try:
            self.written = self._sheet.write(self.desk.answers, over=act == "write over")
        except (BadInput, OSError) as wrong:
            self.desk = replace(self.desk, message=say("form.trouble", why=str(wrong).splitlines()[0]))
            return False
        return True

    def lines(self, width: int, height: int) -> Lines:
        """The screen."""
        sheet = self._sheet
        path = str(sheet.path)
        scene = FormScene(self.desk, self.draft, sheet.kind, path, sheet.over, self.verdict)
        return paint_form(scene, width, height, self._pen)
