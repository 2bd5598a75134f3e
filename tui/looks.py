"""The looks: every style the painters name, as ink on paper. State never rests on these alone.

`light` is for sun, `dark` for shade, `plain` is black and white only, for NO_COLOR.
"""

from __future__ import annotations

from dataclasses import dataclass

BLACK, WHITE = "#000000", "#ffffff"


@dataclass(frozen=True)
class Ink:
    """Ink and paper as `#rrggbb`."""

    ink: str
    paper: str
    bold: bool = False


Look = dict[str, Ink]


def _look(ink: str, paper: str, alarm: Ink, warn: Ink, hint: Ink) -> Look:
    """A look from its paper, its ink and three fills: late or joint, at risk or lost, may start."""
    return {
        "text": Ink(ink, paper),
        "strong": Ink(ink, paper, bold=True),
        "rule": Ink(ink, paper),
        "chosen": Ink(ink, paper, bold=True),
        "early": Ink(ink, paper),
        "open": hint,
        "due": Ink(paper, ink, bold=True),
        "late": alarm,
        "lost": warn,
        "hold": Ink(ink, paper, bold=True),
        "mix now": Ink(paper, ink, bold=True),
        "edge at risk": warn,
        "joint": alarm,
        "ask": Ink(paper, ink, bold=True),
        "banner": warn,
        "bad": Ink(paper, ink, bold=True),
        "footer": Ink(ink, paper),
        "key": Ink(paper, ink, bold=True),
        "clock": Ink(ink, paper, bold=True),
        "bar": Ink(paper, ink),
        "bar2": hint,
    }


LOOKS: dict[str, Look] = {
    "light": _look(
        BLACK,
        WHITE,
        alarm=Ink(WHITE, "#00307a", bold=True),
        warn=Ink(BLACK, "#ffb000", bold=True),
        hint=Ink(BLACK, "#ffe066", bold=True),
    ),
    "dark": _look(
        WHITE,
        "#101216",
        alarm=Ink(BLACK, "#ffb84d", bold=True),
        warn=Ink(BLACK, "#8fc7ff", bold=True),
        hint=Ink(WHITE, "#3a4250", bold=True),
    ),
    "plain": _look(
        BLACK,
        WHITE,
        alarm=Ink(WHITE, BLACK, bold=True),
        warn=Ink(WHITE, BLACK, bold=True),
        hint=Ink(BLACK, WHITE, bold=True),
    ),
}
LOOK_ORDER = ("light", "dark", "plain")
