"""What the hands have on the go: the row picked, a question waiting for its second key, a line being typed.

All of it is frozen, and every little deadline is a moment compared with now, never a timer.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, field, replace
from typing import TYPE_CHECKING, Literal, TypeVar

from engine.words import Say, say
from tui.looks import FIRST
from tui.sound.ringing import Ringing

if TYPE_CHECKING:
    from engine.pour.around.ways_out import WaysOut

ASK_S = 3.0
WAYS_S = 60.0  # ways out are read before one is taken
CORNER_S = 2.0
MESSAGE_S = 6.0
PICK_S = 12.0  # then the marker goes back to the most urgent row, and the board to the whole crew
HOLD_S = 0.5  # a row that came up this short a time ago was not the one meant
ORDER_S = 0.5  # rows stay where they are for so long after a key
TWICE_S = 0.6
MUTE_S = 60.0
ARROW_S = 1.0  # a broken arrow key ends in a capital letter within this time
BEHIND_S = 240.0

EntryKind = Literal["reading", "note", "find", "add"]


@dataclass(frozen=True)
class Ask:
    """A question inside a row: which action waits for its second key, for what, until when."""

    action: str
    key: str
    until: float
    half: bool = False


@dataclass(frozen=True)
class Entry:
    """The line being typed; `tail` stands behind what is typed, `place` is the match chosen in the finder."""

    kind: EntryKind
    text: str = ""
    key: str = ""
    place: int = 0
    tail: str = ""


@dataclass(frozen=True)
class PlanDesk:
    """The plan screen while it is open: page, pour picked, a question, lines moved on, a page of its help (0: none)."""

    page: int = 0
    picked: str = ""
    ask: Ask | None = None
    scroll: int = 0
    help: int = 0


@dataclass(frozen=True)
class AfterDesk:
    """The after screen while it is open: page, row picked (as much of its key as holds), a question, lines moved on, help."""

    page: int = 0
    picked: tuple[str, ...] = ()
    ask: Ask | None = None
    scroll: int = 0
    help: int = 0


@dataclass(frozen=True)
class Told:
    """A sentence shown for a while. `bad` where something was refused."""

    text: Say
    until: float
    bad: bool = False


@dataclass(frozen=True)
class Desk:
    """`shown` is the row the marker stands on by itself and since when; `picked` the one chosen with the arrows."""

    picked: str = ""
    picked_until: float = 0.0
    shown: str = ""
    shown_at: float = -1e9
    ask: Ask | None = None
    entry: Entry | None = None
    message: Told | None = None
    corner: Told | None = None
    page: int = 0  # of the help; 0: none
    sheet: str = ""  # a page of the day: "rate"
    plan: PlanDesk | None = None  # while the plan screen is open
    after: AfterDesk | None = None  # while the after screen is open
    ways: WaysOut | None = None  # while a way out is asked for
    board: bool = False  # the call board instead of the panels
    person: int = 0  # of the crew, whose row the board shows in full; 0: nobody's
    person_until: float = 0.0
    answered: frozenset[Say] = field(default_factory=frozenset)
    look: str = FIRST
    last_action: str = ""
    last_at: float = -1e9  # monotonic, of the press that may come twice
    broken_at: float = -1e9  # monotonic, of a key that may have begun a broken arrow
    touched_at: float = -1e9  # log time of the latest key
    order: tuple[str, ...] = ()  # of the running rows, held while a key is going down
    order_until: float = 0.0
    ringing: Ringing = field(default_factory=Ringing)
    muted_until: float = -math.inf  # log time; infinity: until it is turned on
    pace: float = (
        1.0  # of the session's clock against the hands: what hands are given lasts as long on a fast one
    )

    def said(self, text: Say, now: float, bad: bool = False, for_s: float = MESSAGE_S) -> Desk:
        """With a sentence on the message line."""
        return replace(self, message=Told(text, now + for_s * self.pace, bad))

    def muttered(self, text: Say, now: float) -> Desk:
        """With a few words in the corner."""
        return replace(self, corner=Told(text, now + CORNER_S * self.pace))

    def offered(self, found: WaysOut, key: str, now: float) -> Desk:
        """With ways out to choose from, or a sentence where there are none."""
        if found.ways:
            ask = Ask("ways", key, now + WAYS_S * self.pace)
            return replace(self, ways=found, ask=ask, message=None)
        text = say("trouble.none") if found.trouble is None else say("trouble.no_way", trouble=found.trouble)
        return self.said(text, now, bad=found.trouble is not None)

    def muted(self, for_s: float, now: float) -> Desk:
        """Without sounds for so long; 0: with them again."""
        return replace(self, muted_until=now + for_s * self.pace if for_s else -math.inf)

    def pick(self, key: str, now: float) -> Desk:
        """With the marker on a row chosen by hand."""
        return replace(self, picked=key, picked_until=now + PICK_S * self.pace)

    def turned(self, person: int, now: float) -> Desk:
        """With one person's row in full on the board; the same person again lets go."""
        if person == self.person:
            return replace(self, person=0)
        return replace(self, person=person, person_until=now + PICK_S * self.pace)

    def held(self, order: tuple[str, ...], now: float) -> Desk:
        """With the running rows kept in their order for a moment."""
        return replace(self, order=order, order_until=now + ORDER_S * self.pace)

    def settled(self, first: str, now: float) -> Desk:
        """What is over is gone, and the marker that follows by itself stands on `first`."""
        desk = self._without_old(now)
        return desk if desk.shown == first else replace(desk, shown=first, shown_at=now)

    def _without_old(self, now: float) -> Desk:
        kept_pick = now < self.picked_until
        return replace(
            self,
            order=self.order if now < self.order_until else (),
            picked=self.picked if kept_pick else "",
            person=self.person if now < self.person_until else 0,
            ask=self.ask if self.ask and now < self.ask.until else None,
            plan=_without_old_ask(self.plan, now),
            after=_without_old_ask(self.after, now),
            message=self.message if self.message and now < self.message.until else None,
            corner=self.corner if self.corner and now < self.corner.until else None,
        )

    def next_change(self, now: float) -> float | None:
        """The earliest moment at which something here is over."""
        ends = [told.until for told in (self.ask, self.message, self.corner) if told is not None]
        ends += [screen.ask.until for screen in (self.plan, self.after) if screen and screen.ask]
        if self.picked:
            ends.append(self.picked_until)
        if self.person:
            ends.append(self.person_until)
        if math.isfinite(self.muted_until):
            ends.append(self.muted_until)
        if self.order:
            ends.append(self.order_until)
        return min((end for end in ends if end > now), default=None)


Screen = TypeVar("Screen", PlanDesk, AfterDesk)


def _without_old_ask(screen: Screen | None, now: float) -> Screen | None:
    if screen is None or screen.ask is None or now < screen.ask.until:
        return screen
    return replace(screen, ask=None)
