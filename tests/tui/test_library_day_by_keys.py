"""The whole library day driven with the keys of the live screen, held against the same day entered from its notes."""

from __future__ import annotations

import csv
import datetime
import re
from pathlib import Path
from zoneinfo import ZoneInfo

from engine import console
from engine.clock import HandClock
from engine.pour.reckoning import Moment
from tests.scenarios.expected import DATA
from tests.tui.days import WORDS
from tui.live import Live
from tui.paint.pen import Pen
from tui.press import Press

LIBRARY = DATA / "library"
ZONE = ZoneInfo("America/Chicago")
STEP_OF = {
    "mixed": "mixed",
    "tipped": "tipped",
    "floated": "float",
    "first trowel": "first_trowel",
    "second trowel": "second_trowel",
    "broomed": "broom",
    "edged": "edge",
}
STRAY = {"09:33:00", "09:33:06"}  # a slip and its undo: the keys do not offer that stroke
CALL_AHEAD_S = 8.0


def moment(clock: str) -> float:
    time = datetime.time.fromisoformat(clock)
    return datetime.datetime.combine(datetime.date(2026, 11, 5), time, ZONE).timestamp()


class Hands:
    """Somebody at the keys who does what the notes say, when they say it."""

    def __init__(self, log: Path) -> None:
        self.clock = HandClock(moment("07:30:00"))
        self.session = console.open_session(LIBRARY / "job.toml", WORDS, log=log, clock=self.clock)
        self.live = Live(self.session, Pen(WORDS), "sun", lambda _seq: None)

    def until(self, at: float) -> None:
        """Time passes; the screen is looked at shortly before and at the end, as it is every second."""
        for moment_before in (2.0, 1.0, 0.0):
            self.clock.advance(max(0.0, at - moment_before - self.session.now()))
            self._look()
            self.live.lines(80, 24)

    def press(self, *keys: str) -> None:
        for key in keys:
            character = {"space": " "}.get(key, key if len(key) == 1 else None)
            self.live.follow(Press(key, character, self.clock.stamp().boot))
            self._look()

    def _look(self) -> None:
        """The view once the plan is made."""
        self.live.replan()
        self.live.take_view()

    def write(self, key: str, text: str) -> None:
        self.press(key, *("space" if letter == " " else letter for letter in text), "enter")

    def pick(self, which: str) -> None:
        """Move the marker to a pour or batch."""
        for _ in range(30):
            view = self.live.view
            assert view is not None
            self.live.lines(80, 24)
            selected = self.live.scene(view).selected
            if selected and (
                which in (selected.key, selected.pour) or (selected.row and which in selected.row.batches)
            ):
                return
            self.press("down")
        raise AssertionError((which, self.live.scene(view).picks))

    def do(self, row: dict[str, str]) -> None:
        what, which, at = row["what"], row["which"], moment(row["time"])
        if what == "water":
            self.until(at - CALL_AHEAD_S)
            self.press("enter")
        self.until(at)
        if what in STEP_OF:
            self.advance(STEP_OF[what], which)
        elif what == "reading":
            self.write("w", f"{which} {spoken(row['value'])}".strip())
        elif what == "note":
            self.write("e", re.sub(r"[^\w ]", "", row["value"]))
        elif what in ("away", "back"):
            self.press("a", "2")
        else:
            if which and what not in ("water", "rejected"):
                self.pick(which)
            self.press(*KEYS[what])

    def advance(self, step: str, which: str) -> None:
        """Press space on the row whose next step this is; a stroke of a whole pour may stand on several rows."""
        for _ in range(3):
            view = self.live.view
            assert view is not None
            rows = [
                r
                for r in view.rows
                if (which in (r.key, r.pour) or which in r.batches) and r.step.kind == step
            ]
            if not rows:
                return
            self.pick(rows[0].key)
            self.until(self.session.now() + 0.7)  # the same key sooner counts once
            self.press("space")
            if which != rows[0].pour:
                return


KEYS = {
    "trial": ("t",),
    "trial stiff": ("t",),
    "water": ("enter",),
    "rejected": ("x", "1"),
    "half bag": ("h",),
    "ready": ("r",),
    "not yet": ("n",),
    "lost": ("l", "1"),
}


def spoken(value: str) -> str:
    """`air=43 degF; sun=yes` as it is typed: `air 43 sun`."""
    parts = [part.strip().split("=") for part in value.split(";")]
    said = [
        ("sun" if number == "yes" else "shade") if name == "sun" else f"{name} {number.split(' ')[0]}"
        for name, number in parts
    ]
    return " ".join(said)


def test_the_day_by_keys_is_the_day_of_the_notes(tmp_path: Path) -> None:
    hands = Hands(tmp_path / "keys.jsonl")
    with (LIBRARY / "notes.csv").open(encoding="utf-8", newline="") as stream:
        for row in csv.DictReader(stream):
            if row["time"] not in STRAY:
                hands.do(row)
    keyed = hands.session.journal.day
    hands.session.close()
    console.enter(LIBRARY / "job.toml", LIBRARY / "notes.csv", tmp_path / "notes.jsonl", WORDS)
    entered_session = console.open_session(None, WORDS, log=tmp_path / "notes.jsonl", clock=hands.clock)
    entered = entered_session.journal.day
    entered_session.close()

    assert [batch.id for batch in keyed.batches] == [batch.id for batch in entered.batches]
    for mine, theirs in zip(keyed.batches, entered.batches, strict=True):
        assert abs(mine.water_at - theirs.water_at) < 1.0, mine.id
        assert (mine.lost_at is None) == (theirs.lost_at is None), mine.id
        assert (mine.tipped_at is None) == (theirs.tipped_at is None), mine.id
        assert {s.name for s in mine.strokes} == {s.name for s in theirs.strokes}, mine.id
        for stroke in mine.strokes:
            other = theirs.stroke(stroke.name)
            assert other is not None
            assert abs(stroke.at - other.at) < 3.0, (mine.id, stroke.name)
    end = moment("15:40:00")
    assert abs(Moment(keyed, end).factor.value - Moment(entered, end).factor.value) < 0.01
