"""A mix card copied from a bag's label: what is there already, what answers come to, and the writing of it."""

from __future__ import annotations

from dataclasses import dataclass, replace
from pathlib import Path

from engine.console.written import Opened, Verdict, faulty, put_whole, refuse_to_lose, standing
from engine.errors import BadInput
from engine.job.files import configs_folder, read_text, read_toml, shipped_practice
from engine.job.writing.label import Shelf, draft_card, label_of
from engine.job.writing.questions import LABEL_PAGES, Answers, Draft, Page
from engine.job.writing.reopened import lost
from engine.job.writing.text import file_text
from engine.mix.card import MixCard
from engine.mix.reader import read_mix
from engine.words import Words


@dataclass(frozen=True)
class CardSheet:
    """A mix card. Made by `new_card`."""

    opened: Opened
    shelf: Shelf
    said: Words
    answers: Answers
    kind: str = "card"
    pages: tuple[Page, ...] = LABEL_PAGES

    @property
    def path(self) -> Path:
        return self.opened.path

    @property
    def over(self) -> bool:
        return self.opened.before is not None

    def draft(self, answers: Answers) -> Draft:
        return self._draft(answers)[0]

    def _draft(self, answers: Answers) -> tuple[Draft, MixCard | None]:
        return draft_card(answers, self.path.stem, self.shelf)

    def verdict(self, answers: Answers) -> Verdict:
        draft, card = self._draft(answers)
        if card is None:
            raise faulty(self.path, draft)
        return Verdict(True, (self.said("form.verdict_card"),))

    def write(self, answers: Answers, over: bool = False) -> tuple[str, ...]:
        draft, card = self._draft(answers)
        if card is None:
            raise faulty(self.path, draft)
        self.opened.check(over)
        put_whole(self.path, file_text(draft.table, "form.card_head", draft.assumed, self.said))
        return (str(self.path),)


def new_card(path: Path, said: Words) -> CardSheet:
    """The form over a card: empty, or with what the card's own marks call the label's.

    Raises `BadInput` for a place where nothing can be written, and for a card of which the form would lose something.
    """
    sheet = CardSheet(standing(path), shelf(), said, {})
    return _reopened(sheet) if sheet.opened.before else sheet


def shelf() -> Shelf:
    """The shipped cards by kind, and the practice's day before anything opens."""
    opens = {value.key: value.number for value in shipped_practice()}["opening.next_day"]
    found = [(file.stem, read_toml(file)) for file in sorted((configs_folder() / "mixes").glob("*.toml"))]
    cards = [(read_mix(table, key, key)[0], table) for key, table in found]
    good = [(card, table) for card, table in cards if card is not None]
    return Shelf({card.kind: card for card, _ in good}, {card.kind: table for card, table in good}, opens)


def _reopened(sheet: CardSheet) -> CardSheet:
    path, table = sheet.path, read_toml(sheet.path)
    card, problems = read_mix(table, path.stem, str(path))
    if card is None:
        raise BadInput(problems)
    answers = label_of(table)
    draft, again = sheet._draft(answers)
    if again is None:
        raise faulty(path, draft)
    written = file_text(draft.table, "form.card_head", draft.assumed, sheet.said)
    refuse_to_lose(path, lost(card, again), read_text(path), written)
    return replace(sheet, answers=answers)
