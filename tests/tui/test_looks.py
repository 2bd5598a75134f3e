"""Contrast of the looks, reckoned as WCAG 2.1 defines relative luminance and contrast ratio (published formula).

Everything timed is asked for 7:1 (WCAG 1.4.6, enhanced); the looks are held to it for every style.
"""

from __future__ import annotations

import pytest

from tui.looks import BLACK, LOOK_ORDER, LOOKS, WHITE, Ink

ALARMS = ("due", "late", "lost", "edge at risk", "joint")


def luminance(colour: str) -> float:
    """Relative luminance of `#rrggbb`."""
    parts = [int(colour[place : place + 2], 16) / 255 for place in (1, 3, 5)]
    red, green, blue = (
        part / 12.92 if part <= 0.03928 else ((part + 0.055) / 1.055) ** 2.4 for part in parts
    )
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue


def contrast(ink: Ink) -> float:
    low, high = sorted((luminance(ink.ink), luminance(ink.paper)))
    return (high + 0.05) / (low + 0.05)


def test_the_formula_gives_twenty_one_for_black_on_white() -> None:
    assert contrast(Ink(BLACK, WHITE)) == pytest.approx(21.0)


@pytest.mark.parametrize("look", LOOKS)
def test_every_style_has_seven_to_one(look: str) -> None:
    weak = {name: contrast(ink) for name, ink in LOOKS[look].items() if contrast(ink) < 7.0}
    assert not weak


def test_all_looks_know_the_same_styles() -> None:
    assert {frozenset(look) for look in LOOKS.values()} == {frozenset(LOOKS["light"])}
    assert set(LOOK_ORDER) == set(LOOKS)


def test_the_plain_look_is_black_and_white_alone() -> None:
    assert {(ink.ink, ink.paper) for ink in LOOKS["plain"].values()} == {(BLACK, WHITE), (WHITE, BLACK)}


@pytest.mark.parametrize("look", LOOKS)
@pytest.mark.parametrize("style", ALARMS)
def test_what_asks_for_hands_stands_on_a_fill_of_its_own(look: str, style: str) -> None:
    assert LOOKS[look][style].paper != LOOKS[look]["text"].paper


@pytest.mark.parametrize("look", ["light", "dark"])
def test_no_fill_is_red_or_green(look: str) -> None:
    """One man in twelve confuses them; blue, orange and white stay apart (common practice)."""
    for ink in LOOKS[look].values():
        red, green, blue = (int(ink.paper[place : place + 2], 16) for place in (1, 3, 5))
        assert not (red > 150 and green < 100 and blue < 100)
        assert not (green > 120 and red < 100 and blue < 100)
