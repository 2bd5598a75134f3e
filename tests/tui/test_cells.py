"""Text from files is made harmless and fits its place. Widths are measured as the terminal library measures them."""

from __future__ import annotations

from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tui.paint.cells import clean, clip, pad, pad_left, width_of, wrap
from tui.paint.runs import fit, line_width, merged, parts, plain

# what a file may hold, and what may reach the terminal of it
HARMLESS = [
    ("walk by the door", "walk by the door"),
    ("[/] [b]bold[/b]", "[/] [b]bold[/b]"),
    ("\x1b[31mred", "?[31mred"),
    ("one\ntwo\tthree", "one two three"),
    ("bell\x07", "bell?"),
    ("\u202eright to left\u202c", "right to left"),
    ("שלום", "שלום"),
    ("👷\u200d♀\ufe0f", "??"),
    ("a\u0301\u0300\u0316", "á"),
    ("12 °C ± 1", "12 °C ± 1"),
    ("混凝土", "混凝土"),
    ("\ud800", "?"),
    ("\u2028", " "),
]


@pytest.mark.parametrize(("given_text", "shown"), HARMLESS)
def test_text_from_a_file_is_made_harmless(given_text: str, shown: str) -> None:
    assert clean(given_text) == shown


@given(st.text())
def test_no_control_mark_or_direction_code_survives_cleaning(text: str) -> None:
    shown = clean(text)
    assert all(char.isprintable() or char == " " for char in shown)
    assert width_of(shown) == sum(width_of(char) for char in shown)
    assert clean(shown) == shown


@given(st.text(), st.integers(0, 40))
def test_a_padded_text_takes_exactly_its_place(text: str, width: int) -> None:
    shown = clean(text)
    assert width_of(pad(shown, width)) == width
    assert width_of(pad_left(shown, width)) == width
    assert width_of(clip(shown, width)) <= width


def test_a_cut_text_says_that_it_is_cut() -> None:
    assert clip("second trowel", 8) == "second …"
    assert clip("second trowel", 13) == "second trowel"
    assert clip("混凝土", 4) == "混…"


def test_a_text_is_broken_between_words_and_its_rest_is_cut() -> None:
    assert wrap("wet edge of P2 ends first", 11, 3) == ("wet edge of", "P2 ends", "first")
    assert wrap("wet edge of P2 ends first", 11, 2) == ("wet edge of", "P2 ends fi…")


def test_parts_that_do_not_fit_are_left_out_whole() -> None:
    assert parts(["bags 12", "packets 12", "vessels 4"], 18, "  ") == "bags 12  vessels 4"
    assert parts(["", "one"], 20) == "one"


@given(
    st.lists(st.tuples(st.text(max_size=9), st.sampled_from(["text", "due"])), max_size=6), st.integers(0, 30)
)
def test_a_fitted_row_has_exactly_its_width_and_no_two_runs_of_one_style_side_by_side(
    runs: list[tuple[str, str]], width: int
) -> None:
    line = fit([(clean(text), style) for text, style in runs], width)
    assert line_width(line) == width
    assert all(one[1] != other[1] for one, other in pairwise(line))


def test_merging_runs_keeps_the_text() -> None:
    assert merged([("a", "text"), ("b", "text"), ("", "due"), ("c", "due")]) == (("ab", "text"), ("c", "due"))
    assert plain(merged([("a", "text"), ("b", "due")])) == "ab"
