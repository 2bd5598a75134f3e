"""The looks: every style the painters name, as ink on paper. State never rests on these alone.

`sun` is black on white, `shade` white on near black, `blue-gold` for eyes weak in some colours: its fills stay apart
by lightness too. `plain` names no colour at all: what the terminal has, bold, underlined or in reverse; it is the only
one where NO_COLOR is set.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import NamedTuple

BLACK, WHITE = "#000000", "#ffffff"
DUSK = "#101216"


@dataclass(frozen=True)
class Ink:
    """Ink and paper as `#rrggbb`; empty: the terminal's own."""

    ink: str = ""
    paper: str = ""
    bold: bool = False
    reverse: bool = False
    underline: bool = False


Look = dict[str, Ink]


class Fills(NamedTuple):
    """One for each meaning: nothing wanted, weighty, may start, a notice, now or a question, late, lost."""

    text: Ink
    strong: Ink
    start: Ink
    notice: Ink
    now: Ink
    late: Ink
    lost: Ink


def _look(fills: Fills) -> Look:
    """Each style the painters name, in the fill of its meaning."""
    text, strong, start, notice, now, late, lost = fills
    return {
        "text": text,
        "strong": strong,
        "rule": text,
        "chosen": strong,
        "early": text,
        "open": start,
        "due": now,
        "late": late,
        "lost": lost,
        "hold": strong,
        "mix now": now,
        "edge at risk": late,
        "joint": lost,
        "ask": now,
        "banner": notice,
        "bad": now,
        "footer": text,
        "key": now,
        "clock": strong,
        "bar": now,
        "bar2": start,
    }


def _loud(ink: str, paper: str) -> Ink:
    return Ink(ink, paper, bold=True)


FILLS: dict[str, Fills] = {
    "sun": Fills(
        text=Ink(BLACK, WHITE),
        strong=_loud(BLACK, WHITE),
        start=_loud(BLACK, "#ffe680"),
        notice=_loud(BLACK, "#b3d1ff"),
        now=_loud(WHITE, BLACK),
        late=_loud(BLACK, "#ff8c1a"),
        lost=_loud(WHITE, "#00307a"),
    ),
    "shade": Fills(
        text=Ink(WHITE, DUSK),
        strong=_loud(WHITE, DUSK),
        start=_loud(WHITE, "#2f4f85"),
        notice=_loud(WHITE, "#4a4020"),
        now=_loud(BLACK, WHITE),
        late=_loud(BLACK, "#ffc04d"),
        lost=_loud(BLACK, "#66aaf5"),
    ),
    "blue-gold": Fills(
        text=Ink(BLACK, WHITE),
        strong=_loud(BLACK, WHITE),
        start=_loud(BLACK, "#ffd873"),
        notice=_loud(BLACK, "#8fbdf5"),
        now=_loud(WHITE, BLACK),
        late=_loud(BLACK, "#d98a00"),
        lost=_loud(WHITE, "#003a94"),
    ),
    "plain": Fills(
        text=Ink(),
        strong=Ink(bold=True),
        start=Ink(underline=True),
        notice=Ink(bold=True, underline=True),
        now=Ink(bold=True, reverse=True),
        late=Ink(bold=True, reverse=True),
        lost=Ink(reverse=True),
    ),
}
LOOKS: dict[str, Look] = {name: _look(fills) for name, fills in FILLS.items()}
LOOK_ORDER = tuple(LOOKS)
FIRST, PLAIN = "sun", "plain"


def next_look(name: str) -> str:
    """The look after this one, round and round."""
    place = LOOK_ORDER.index(name) if name in LOOK_ORDER else -1
    return LOOK_ORDER[(place + 1) % len(LOOK_ORDER)]
