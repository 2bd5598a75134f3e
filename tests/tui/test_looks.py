"""The looks by number. Contrast: WCAG 2.1, relative luminance and contrast ratio (definitions; 1.4.6 asks for 7:1).

Colour-weak eyes: matrices of Machado, Oliveira and Fernandes (IEEE TVCG 15, 2009), severity 1.0. Distance: CIEDE2000;
its implementation here is held to the 34 pairs that Sharma, Wu and Dalal publish (Color Research and Application 30,
2005, table 1). That 10 of it are plainly two colours is common practice, no source.
"""

from __future__ import annotations

import argparse
from itertools import combinations

import pytest

from tests.tui.colours import EYES, ciede2000, contrast, lab, linear, luminance, seen
from tui.looks import BLACK, FILLS, FIRST, LOOK_ORDER, LOOKS, PLAIN, WHITE, Fills, Ink, next_look
from tui.painted import rich_styles
from tui.verbs.verb import look_options

COLOURED = [name for name in LOOKS if name != PLAIN]
WEAK = [eyes for eyes in EYES if eyes not in ("all colours", "no colours")]
SHARMA = """
50 2.6772 -79.7751 50 0 -82.7485 2.0425
50 3.1571 -77.2803 50 0 -82.7485 2.8615
50 2.8361 -74.0200 50 0 -82.7485 3.4412
50 -1.3802 -84.2814 50 0 -82.7485 1.0000
50 -1.1848 -84.8006 50 0 -82.7485 1.0000
50 -0.9009 -85.5211 50 0 -82.7485 1.0000
50 0 0 50 -1 2 2.3669
50 -1 2 50 0 0 2.3669
50 2.4900 -0.0010 50 -2.4900 0.0009 7.1792
50 2.4900 -0.0010 50 -2.4900 0.0010 7.1792
50 2.4900 -0.0010 50 -2.4900 0.0011 7.2195
50 2.4900 -0.0010 50 -2.4900 0.0012 7.2195
50 -0.0010 2.4900 50 0.0009 -2.4900 4.8045
50 -0.0010 2.4900 50 0.0010 -2.4900 4.8045
50 -0.0010 2.4900 50 0.0011 -2.4900 4.7461
50 2.5 0 50 0 -2.5 4.3065
50 2.5 0 73 25 -18 27.1492
50 2.5 0 61 -5 29 22.8977
50 2.5 0 56 -27 -3 31.9030
50 2.5 0 58 24 15 19.4535
50 2.5 0 50 3.1736 0.5854 1.0000
50 2.5 0 50 3.2972 0 1.0000
50 2.5 0 50 1.8634 0.5757 1.0000
50 2.5 0 50 3.2592 0.3350 1.0000
60.2574 -34.0099 36.2677 60.4626 -34.1751 39.4387 1.2644
63.0109 -31.0961 -5.8663 62.8187 -29.7946 -4.0864 1.2630
61.2901 3.7196 -5.3901 61.4292 2.2480 -4.9620 1.8731
35.0831 -44.1164 3.7933 35.0232 -40.0716 1.5901 1.8645
22.7233 20.0904 -46.6940 23.0331 14.9730 -42.5619 2.0373
36.4612 47.8580 18.3852 36.2715 50.5065 21.2231 1.4146
90.8027 -2.0831 1.4410 91.1528 -1.6435 0.0447 1.4441
90.9257 -0.5406 -0.9208 88.6381 -0.8985 -0.7239 1.5381
6.7747 -0.2908 -2.4247 5.8714 -0.0985 -2.2286 0.6377
2.0776 0.0795 -1.1350 0.9033 -0.0636 -0.5514 0.9082
"""


@pytest.mark.parametrize("line", SHARMA.strip().splitlines())
def test_the_distance_is_the_published_one(line: str) -> None:
    l1, a1, b1, l2, a2, b2, expected = map(float, line.split())
    assert ciede2000((l1, a1, b1), (l2, a2, b2)) == pytest.approx(expected, abs=5e-5)
    assert ciede2000((l2, a2, b2), (l1, a1, b1)) == pytest.approx(expected, abs=5e-5)


def test_contrast_and_lightness_have_their_known_ends() -> None:
    """WCAG 2.1: 21 for black on white; CIELAB: 100, 0, 0 for the white point; 53.24, 80.09, 67.20 for sRGB red."""
    assert contrast(BLACK, WHITE) == pytest.approx(21.0)
    assert lab(linear(WHITE)) == pytest.approx((100.0, 0.0, 0.0), abs=0.02)
    assert lab(linear("#ff0000")) == pytest.approx((53.24, 80.09, 67.20), abs=0.02)
    assert luminance("#777777") == pytest.approx(0.184, abs=0.001)


@pytest.mark.parametrize("eyes", WEAK)
def test_weak_eyes_see_grey_as_grey(eyes: str) -> None:
    """Each row of a published matrix adds up to one."""
    for row in EYES[eyes]:
        assert sum(row) == pytest.approx(1.0, abs=2e-6)


@pytest.mark.parametrize(
    ("eyes", "alike"),
    [("protanopia", "#8c8c00"), ("deuteranopia", "#b0b000")],
)
def test_red_and_a_yellow_are_nearer_to_weak_eyes_than_to_others(eyes: str, alike: str) -> None:
    """Red and green weakness: a red loses what parts it from a dark yellow; a check that the matrices do something."""
    red = "#d02000"
    assert ciede2000(seen(red, eyes), seen(alike, eyes)) < 0.75 * ciede2000(
        seen(red, "all colours"), seen(alike, "all colours")
    )


@pytest.mark.parametrize("look", COLOURED)
def test_every_style_has_seven_to_one(look: str) -> None:
    weak = {name: ink for name, ink in LOOKS[look].items() if contrast(ink.ink, ink.paper) < 7.0}
    assert not weak


@pytest.mark.parametrize("look", COLOURED)
def test_no_text_is_grey(look: str) -> None:
    assert {ink.ink for ink in LOOKS[look].values()} <= {BLACK, WHITE}


def fills(look: str) -> dict[str, str]:
    """The paper of each meaning; weighty text stands on the paper of all text."""
    return {name: FILLS[look][place].paper for place, name in enumerate(Fills._fields) if name != "strong"}


@pytest.mark.parametrize("eyes", EYES)
@pytest.mark.parametrize("look", COLOURED)
def test_fills_of_different_meaning_stay_apart_to_all_eyes(look: str, eyes: str) -> None:
    """CIEDE2000 of 12 at least, 15 in the look made for it; with no colour left 4.5 and 7, a difference of lightness."""
    special = look == "blue-gold"
    least = (7.0 if special else 4.5) if eyes == "no colours" else (15.0 if special else 12.0)
    found = {
        pair: ciede2000(seen(one, eyes), seen(other, eyes))
        for (pair, one, other) in (
            (f"{a} {b}", fills(look)[a], fills(look)[b]) for a, b in combinations(fills(look), 2)
        )
    }
    assert not {pair: apart for pair, apart in found.items() if apart < least}


@pytest.mark.parametrize("look", COLOURED)
def test_no_fill_is_red_or_green(look: str) -> None:
    """One man in twelve confuses them (common practice)."""
    for ink in LOOKS[look].values():
        red, green, blue = (int(ink.paper[place : place + 2], 16) for place in (1, 3, 5))
        assert not (red > 150 and green < 100 and blue < 100)
        assert not (green > 120 and red < 100 and blue < 100)


def test_all_looks_know_the_same_styles() -> None:
    assert {frozenset(look) for look in LOOKS.values()} == {frozenset(LOOKS[FIRST])}


def test_the_looks_go_round_sun_shade_weak_eyes_plain() -> None:
    assert LOOK_ORDER == ("sun", "shade", "blue-gold", "plain")
    assert [next_look(name) for name in LOOK_ORDER] == ["shade", "blue-gold", "plain", "sun"]
    assert next_look("a look of before") == "sun"


def test_sun_is_bright_and_shade_is_dark() -> None:
    assert luminance(LOOKS["sun"]["text"].paper) == pytest.approx(1.0)
    assert luminance(LOOKS["shade"]["text"].paper) < 0.01


@pytest.mark.parametrize("look", LOOKS)
def test_late_and_at_risk_share_a_fill_as_do_lost_and_joint(look: str) -> None:
    """What may still be saved, and what is gone."""
    styles = LOOKS[look]
    assert styles["late"] == styles["edge at risk"]
    assert styles["lost"] == styles["joint"]
    assert len({styles[name] for name in ("text", "open", "due", "lost")}) == 4


def test_the_plain_look_names_no_colour_and_turns_around_what_asks_for_hands() -> None:
    assert {(ink.ink, ink.paper) for ink in LOOKS[PLAIN].values()} == {("", "")}
    for name in ("due", "late", "lost", "mix now", "edge at risk", "joint"):
        assert LOOKS[PLAIN][name].reverse
    assert all(style.color is None and style.bgcolor is None for style in rich_styles(LOOKS[PLAIN]).values())


@pytest.mark.parametrize("look", LOOKS)
def test_nothing_blinks_and_nothing_is_dim(look: str) -> None:
    for style in rich_styles(LOOKS[look]).values():
        assert not any((style.blink, style.blink2, style.dim))


def test_a_style_differs_from_plain_text_wherever_it_should_be_noticed() -> None:
    for look in LOOKS.values():
        for name, ink in look.items():
            assert name in ("text", "early", "rule", "footer") or ink != Ink(
                look["text"].ink, look["text"].paper
            )


@pytest.mark.parametrize("look", LOOK_ORDER)
def test_the_command_line_takes_every_look(look: str) -> None:
    options = argparse.ArgumentParser()
    look_options(options)
    assert options.parse_args(["--look", look]).look == look
    assert options.parse_args([]).look == FIRST
