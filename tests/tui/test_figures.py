"""The big letters: whole words, fat strokes, an open round zero and a square O, at every size they are drawn."""

from __future__ import annotations

from itertools import combinations

import pytest

from tests.tui.days import TEXTS, WORDS
from tui.glyphs import ASCII, BLOCKS, Glyphs
from tui.paint.figures import draw, drawable, figure, figure_width, sizes
from tui.paint.letters import LETTERS

SETS = [BLOCKS, ASCII]


def test_every_letter_digit_and_sign_a_figure_needs_is_drawn() -> None:
    assert set("ABCDEFGHIJKLMNOPQRSTUVWXYZ0123456789:.+-/") == set(LETTERS)


@pytest.mark.parametrize("sign", sorted(LETTERS))
def test_a_letter_is_seven_dots_high_and_of_one_width(sign: str) -> None:
    rows = LETTERS[sign]
    assert len(rows) == 7
    assert {len(row) for row in rows} == {len(rows[0])}


@pytest.mark.parametrize("sign", sorted(set(LETTERS) - set("-+/.:")))
def test_upright_strokes_are_two_dots_fat(sign: str) -> None:
    """No dot of a letter stands alone in its row: thin strokes are the first to blur (display study, from memory)."""
    for row in LETTERS[sign]:
        assert all(len(stroke) >= 2 for stroke in row.split())


@pytest.mark.parametrize("glyphs", SETS)
@pytest.mark.parametrize("tall", [True, False])
def test_no_two_letters_look_the_same(glyphs: Glyphs, tall: bool) -> None:
    drawn = {sign: draw(sign, 1, tall, glyphs) for sign in LETTERS}
    same = [(a, b) for a, b in combinations(sorted(drawn), 2) if drawn[a] == drawn[b]]
    assert not same


def test_the_zero_is_open_and_round_and_the_letter_is_square() -> None:
    zero, letter = LETTERS["0"], LETTERS["O"]
    assert zero[0] == zero[6] == " #### "
    assert letter[0] == letter[6] == "######"
    assert all(row == "##  ##" for row in zero[1:6])


@pytest.mark.parametrize("glyphs", SETS)
def test_a_figure_is_as_wide_and_tall_as_it_says(glyphs: Glyphs) -> None:
    for height, scale, tall in sizes(glyphs):
        rows = draw("HOLD 1:20 P12", scale, tall, glyphs)
        assert len(rows) == height
        assert {len(row) for row in rows} == {figure_width("HOLD 1:20 P12", scale)}


def test_the_tallest_figure_that_fits_is_taken_and_none_where_none_fits() -> None:
    assert len(figure("MIX NOW", 80, 5, BLOCKS)) == 5
    assert len(figure("MIX NOW", 200, 10, BLOCKS)) == 10
    assert len(figure("MIX NOW", 80, 10, BLOCKS)) == 5
    assert figure("MIX NOW", 30, 10, BLOCKS) == ()
    assert figure("MIX NOW", 80, 3, BLOCKS) == ()
    assert figure("", 80, 5, BLOCKS) == ()


def test_words_move_closer_before_a_figure_is_given_up() -> None:
    assert figure_width("TROWEL P1 0:40") == 81
    assert len(figure("TROWEL P1 0:40", 80, 5, BLOCKS)[0]) == 79


@pytest.mark.parametrize(
    "text",
    [
        "MIX NOW P2",
        "HOLD 1:20 P2",
        "EDGE AT RISK",
        "JOINT P2",
        "TROWEL P1 0:40",
        "FLOAT P2 0:20",
        "BROOM P3 0:08",
    ],
)
def test_the_call_and_the_pass_fit_eighty_columns_in_five_rows(text: str) -> None:
    assert len(figure(text, 80, 5, BLOCKS)) == 5


def test_words_of_the_catalogue_that_go_into_figures_can_be_drawn() -> None:
    heads = ("call.", "figure.")
    texts = {key: WORDS(key, value="4.25") for key in TEXTS if key.startswith(heads)}
    assert texts
    assert not [key for key, text in texts.items() if not drawable(text)]
    assert not [key for key, text in texts.items() if len(text) < 3]
