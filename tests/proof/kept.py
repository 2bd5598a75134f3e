"""What a painted screen shows as kept, and whether the bytes of a log hold it. Nothing of the program is used here."""

from __future__ import annotations

import json
import re
from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass, field

STAGES = {
    "called": "bag called",
    "mixing": "water added",
    "mixed": "mixed",
    "tipped": "tipped",
    "floated": "stroke done",
    "first trowel": "stroke done",
    "second trowel": "stroke done",
    "broomed": "stroke done",
    "edged": "stroke done",
}
ORDER = tuple(STAGES)
MARK, KEY, STAGE = 11, slice(52, 57), slice(70, 80)  # cells of a row of running work, 80 across
HOLLOW, SOLID = "○", "●"
NOTE, TYPED = " note: ", "_"  # a line still being typed ends in a cursor
HEADING = re.compile(r" (\d+) on ")
UNDONE = " taken back: "


@dataclass(frozen=True)
class Claim:
    """One event: its kind in the log, and the batch, pour or text it speaks of."""

    kind: str
    of: str


@dataclass(frozen=True)
class ShownRow:
    """A row of running work: batch or pour, its stage, whether its mark is solid."""

    key: str
    stage: str
    kept: bool


def half_painted(row: ShownRow) -> bool:
    """Whether a row holds cells of two: a pour is called, all else is a batch's."""
    return row.stage == "called" and "." in row.key


def shows_work(display: Sequence[str]) -> bool:
    """Whether the running work is in sight, be it empty, with as many rows as its heading counts."""
    counted = [int(head[1]) for text in display if (head := HEADING.match(text))]
    return counted == [len(rows_of(display))]


def rows_of(display: Sequence[str]) -> list[ShownRow]:
    """The running rows in sight."""
    found = []
    for text in display:
        key, stage = text[KEY].strip(), text[STAGE].strip()
        if len(text) > MARK and text[MARK] in (HOLLOW, SOLID) and stage in STAGES and key:
            found.append(ShownRow(key, stage, text[MARK] == SOLID))
    return found


@dataclass(frozen=True)
class Going:
    """A new stage on its way to the disk, and how many notes and undos were answered before it came."""

    claim: Claim
    stage: str
    told_before: int


def further(stage: str, before: str) -> bool:
    """Whether a stage comes after another."""
    return ORDER.index(stage) > ORDER.index(before)


@dataclass
class Seen:
    """What the screen told, look after look.

    A stage further on than the one before needs an event of its own. Once its mark is solid it is claimed, and with it
    every note and undo whose answer was on the screen before that stage was: lines are kept in order.
    """

    claims: list[Claim] = field(default_factory=list)
    story: list[str] = field(default_factory=list)  # every look that differs from the one before
    _stages: dict[str, str] = field(default_factory=dict)
    _told: list[Claim] = field(default_factory=list)  # notes and undos answered so far
    _counted: int = 0  # of them, known as kept
    _going: dict[str, Going] = field(default_factory=dict)
    _last_told: str = ""

    def begin(self, display: Sequence[str]) -> None:
        """What stood there at the start was kept by an earlier run."""
        self._stages = {row.key: row.stage for row in rows_of(display)}

    def look(self, display: Sequence[str]) -> None:
        """Take in the screen as it stands now."""
        rows, text = rows_of(display), display[-2]
        if not shows_work(display) or any(half_painted(row) for row in rows):
            return
        self._note(f"{text.strip()} | {rows}")
        if not text.startswith(UNDONE):
            self._began(rows)
        self._stages = {row.key: row.stage for row in rows}
        self._going = {
            key: going for key, going in self._going.items() if self._stages.get(key) == going.stage
        }
        for row in rows:
            if row.kept and row.key in self._going:
                self._known(self._going.pop(row.key))
        self._message(text)

    def _note(self, look: str) -> None:
        if not self.story or self.story[-1] != look:
            self.story.append(look)

    def _began(self, rows: Sequence[ShownRow]) -> None:
        """New stages that an event of their own must have brought; a call that comes back with an undo has none."""
        gone = self._stages.keys() - {row.key for row in rows}
        for row in rows:
            before = self._stages.get(row.key)
            new = row.stage in ("called", "mixing") if before is None else further(row.stage, before)
            came_back = row.stage == "called" and any(key.startswith(f"{row.key}.") for key in gone)
            if new and not came_back:
                self._going[row.key] = Going(Claim(STAGES[row.stage], row.key), row.stage, len(self._told))

    def _known(self, going: Going) -> None:
        self.claims += [*self._told[self._counted : going.told_before], going.claim]
        self._counted = max(self._counted, going.told_before)

    def _message(self, row: str) -> None:
        text = row.rstrip().partition("  ")[0]  # the corner says something else
        if text == self._last_told or text.endswith(TYPED):
            return
        self._last_told = text
        if text.startswith(NOTE):
            self._told.append(Claim("note written", text.removeprefix(NOTE)))
        elif text.startswith(UNDONE):
            self._told.append(Claim("undone", ""))


def missing(claims: Sequence[Claim], log: bytes) -> list[Claim]:
    """Claims that whole lines of these bytes do not hold, counted: two stamps of a batch need two lines."""
    events = [json.loads(line) for line in log.split(b"\n")[:-1]]
    held = Counter(claim for event in events for claim in _told_by(event["kind"], event["data"]))
    wanted = Counter(claims)
    return [claim for claim, count in wanted.items() if held[claim] < count]


def _told_by(kind: str, data: dict[str, object]) -> set[Claim]:
    if kind == "note written":
        return {Claim(kind, str(data["text"]))}
    if kind == "undone":
        return {Claim(kind, "")}
    batches = [data.get("batch"), *(data.get("batches") or [])]  # type: ignore[misc]
    names = {str(batch) for batch in batches if batch}
    pours = {name.partition(".")[0] for name in names} | ({str(data["pour"])} if data.get("pour") else set())
    return {Claim(kind, name) for name in names | pours}
