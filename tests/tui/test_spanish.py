"""Spanish beside English: the same keys and places, the same room on the screen, and nothing left in English."""

from __future__ import annotations

import os
import re
import string
from collections.abc import Iterator
from dataclasses import replace
from itertools import combinations
from pathlib import Path
from typing import get_args
from zoneinfo import ZoneInfo

import pytest

from engine.job.files import languages, read_words
from engine.pour.views import CallState, LiveView, WindowState
from engine.words import Words, without_accents
from tests.tui.days import NOW, TEXTS, VIEWS, WORDS, ZONE, call, hold, row, view
from tests.tui.test_rate_page import FACTOR
from tui.actions import ACTIONS
from tui.desk import Ask, Desk, Entry
from tui.glyphs import BLOCKS
from tui.paint.figures import drawable, figure, figure_width
from tui.paint.pen import Pen
from tui.paint.runs import plain
from tui.paint.screen import page_count, paint_screen
from tui.scene import Scene, settled

SPANISH = read_words("es")
IN_SPANISH = Words(SPANISH)
ENGLISH_PEN = Pen(WORDS, zone=ZoneInfo(ZONE))
SPANISH_PEN = Pen(IN_SPANISH, zone=ZoneInfo(ZONE))
SEEN = {name: replace(seen, factor=FACTOR) for name, seen in VIEWS.items() if name != "hostile"}
FRAMES = Path(__file__).parents[1] / "data" / "frames" / "es"
ASKED = ("lost", "packets", "skip", "split", "cover", "opened", "rejected", "vessel", "away", "quit")
DESKS = {
    "at work": Desk(),
    "typing a reading": Desk(entry=Entry("reading", "53")),
    "typing a note": Desk(entry=Entry("note", "x")),
    "finding": Desk(entry=Entry("find", "")),
    "today's rate": Desk(sheet="rate"),
}
FORBIDDEN = re.compile(r"\b(?:segur[oa]s?|aprobad[oa]s?|garantizad[oa]s?|garantía)\b", re.IGNORECASE)


def screen(seen: LiveView, pen: Pen, desk: Desk | None = None, start: bool = False) -> str:
    """A day as the screen of 80 by 24 shows it."""
    scene = settled(Scene(seen, NOW, desk or Desk(), kept_seq=14))
    return "\n".join(plain(line).rstrip() for line in paint_screen(scene, 80, 24, pen, start))


def pages(seen: LiveView, pen: Pen) -> range:
    """The pages of its help, counted from 1."""
    return range(1, page_count(Scene(seen, NOW, Desk(page=1)), 80, 24, pen) + 1)


def screens(name: str, pen: Pen) -> Iterator[str]:
    """Everything a day can show: work, start, lines typed, questions, every page of the help."""
    seen = SEEN[name]
    yield screen(seen, pen, start=True)
    yield from (screen(seen, pen, desk) for desk in DESKS.values())
    key = seen.rows[0].key if seen.rows else seen.queue[0].id
    yield from (screen(seen, pen, Desk(ask=Ask(asked, key, NOW + 3))) for asked in ASKED)
    yield from (screen(seen, pen, Desk(page=page)) for page in pages(seen, pen))


def places(text: str) -> set[tuple[str, str]]:
    """Each place with the family that says it."""
    return {(name, family or "") for _, name, family, _ in string.Formatter().parse(text) if name}


def test_both_languages_are_known() -> None:
    assert languages() == ("en", "es")


def test_spanish_has_every_key_of_english_and_no_other() -> None:
    assert sorted(set(TEXTS) ^ set(SPANISH)) == []


def test_a_sentence_has_the_same_places_in_both_languages() -> None:
    shared = sorted(set(TEXTS) & set(SPANISH))
    assert [key for key in shared if places(SPANISH[key]) != places(TEXTS[key])] == []


def test_spanish_stands_on_one_line_and_promises_nothing() -> None:
    assert [key for key, text in SPANISH.items() if not text.isprintable() or FORBIDDEN.search(text)] == []


def test_every_family_named_in_a_sentence_has_words() -> None:
    """A misspelt family would leave its value in English in silence."""
    named = {family for texts in (TEXTS, SPANISH) for text in texts.values() for _, family in places(text)}
    for family in named - {""}:
        assert any(key.startswith(f"{family}.") for key in SPANISH), family


def test_spanish_without_accents_is_for_terminals_that_have_none() -> None:
    plain_texts = without_accents(SPANISH)
    odd = {key: text for key, text in plain_texts.items() if not text.isascii()}
    assert odd.keys() <= {key for key, text in TEXTS.items() if not text.isascii()}
    assert plain_texts["ask.quit"] == "salir?"
    assert without_accents({"count.sign.one": "{n} señal"}) == {"count.sign.one": "{n} senal"}


BIG = sorted(key for key in SPANISH if key.startswith(("call.", "figure.")) and "value" not in key)


@pytest.mark.parametrize("key", BIG)
def test_big_words_have_figures_and_stand_at_eighty_cells(key: str) -> None:
    assert drawable(SPANISH[key])
    if not key.startswith(("call.", "figure.full.")):
        assert figure_width(SPANISH[key]) <= 80


@pytest.mark.parametrize("state", get_args(CallState))
def test_the_call_stands_in_figures_at_eighty_cells(state: str) -> None:
    """With the longest wait that is shown in minutes and seconds."""
    waits = " 59:59" if state == "hold" else ""
    assert figure(f"{SPANISH[f'call.short.{state}']}{waits}", 80, 5, BLOCKS)


@pytest.mark.parametrize("tool", ["mixing", "tip", "float", "first_trowel", "second_trowel", "broom", "edge"])
def test_a_pass_with_its_pour_and_minutes_stands_in_figures_at_eighty_cells(tool: str) -> None:
    assert figure(f"{SPANISH[f'figure.{tool}']} P2 0:40", 80, 5, BLOCKS)


@pytest.mark.parametrize("texts", [TEXTS, SPANISH], ids=["en", "es"])
def test_words_of_the_list_fit_their_columns(texts: dict[str, str]) -> None:
    """Widths of the columns at 80 cells: state 9, what a countdown runs to 8, step 13, finish 6, stage 10 (12 where there is room)."""
    limits = {"state.": 9, "until.": 8, "past.": 9, "step.": 13, "finish.": 6, "stage.": 10}
    for head, most in limits.items():
        assert [text for key, text in texts.items() if key.startswith(head) and len(text) > most] == []


@pytest.mark.parametrize("action", ACTIONS, ids=lambda action: action.id)
def test_labels_stay_about_as_short_as_the_english_ones(action: object) -> None:
    key = f"action.{action.id}"  # type: ignore[attr-defined]
    assert len(SPANISH[key]) <= max(12, len(TEXTS[key]) + 4)


@pytest.mark.parametrize("name", SEEN)
def test_the_footer_names_the_keys_that_matter_most(name: str) -> None:
    """Next step, call and undo, wherever English names them."""
    footers = [screen(SEEN[name], pen).splitlines()[-1] for pen in (ENGLISH_PEN, SPANISH_PEN)]
    for key in ("space", "enter", "backspace"):
        if TEXTS[f"key.{key}"] in footers[0]:
            assert SPANISH[f"key.{key}"] in footers[1]


@pytest.mark.parametrize("name", SEEN)
def test_spanish_is_cut_nowhere_where_english_is_not(name: str) -> None:
    seen = SEEN[name]
    key = seen.rows[0].key if seen.rows else seen.queue[0].id
    asking = [Desk(ask=Ask(asked, key, NOW + 3)) for asked in ASKED]
    for desk in (*DESKS.values(), *asking, *(Desk(page=page) for page in pages(seen, SPANISH_PEN))):
        english, spanish = (screen(seen, pen, desk).count("…") for pen in (ENGLISH_PEN, SPANISH_PEN))
        assert spanish <= english, screen(seen, SPANISH_PEN, desk)


def _words(text: str) -> set[str]:
    return {word.casefold() for word in re.findall(r"[^\W\d_]{4,}", text)}


OFF_SCREEN = ("form.", "paper.", "help.planning.", "learned.", "verified.", "joined.", "report.", "replay.")
ON_SCREEN = [re.sub(r"{[^}]*}", " ", text) for key, text in SPANISH.items() if not key.startswith(OFF_SCREEN)]
SHARED = _words(
    " ".join(ON_SCREEN)
)  # spelt alike in both languages, or typed in English: `freeze`, `want 65`
OF_THE_JOB = _words(
    "walk by the door, side step, ramp, lower half, sill, bay, Lead, Branch library: walk steps"
)
ENGLISH = _words(" ".join(TEXTS.values())) - SHARED - OF_THE_JOB


@pytest.mark.parametrize("name", SEEN)
def test_nothing_on_a_spanish_screen_is_left_in_english(name: str) -> None:
    for shown in screens(name, SPANISH_PEN):
        assert sorted(_words(shown) & ENGLISH) == [], shown


def test_the_check_above_knows_english_when_it_sees_it() -> None:
    found = _words(screen(SEEN["busy and late"], ENGLISH_PEN)) & ENGLISH
    assert {"trowel", "broom", "floated", "slab", "wait", "late", "first"} <= found


@pytest.mark.parametrize(("one", "other"), list(combinations(get_args(WindowState), 2)))
def test_window_states_are_told_apart_in_spanish(one: WindowState, other: WindowState) -> None:
    shown = [
        screen(view(hold(900), (row("P2.1", "first_trowel", state, 30),)), SPANISH_PEN)
        for state in (one, other)
    ]
    assert SPANISH[f"state.{one}"] in shown[0]
    assert SPANISH[f"state.{other}"] in shown[1]
    assert SPANISH[f"state.{one}"] != SPANISH[f"state.{other}"]


@pytest.mark.parametrize(("one", "other"), list(combinations(get_args(CallState), 2)))
def test_states_of_the_call_are_told_apart_in_spanish(one: CallState, other: CallState) -> None:
    assert SPANISH[f"call.{one}"] != SPANISH[f"call.{other}"]
    assert screen(view(call(one)), SPANISH_PEN) != screen(view(call(other)), SPANISH_PEN)


@pytest.mark.parametrize("name", ["busy and late", "mix now"])
def test_the_spanish_screen_looks_as_it_was_agreed(name: str) -> None:
    """Pinned frames of our own painters: a change here is to be looked at, not a fault in itself."""
    path = FRAMES / f"{name.replace(' ', '-')}-80x24.txt"
    shown = screen(SEEN[name], SPANISH_PEN) + "\n"
    if os.environ.get("RENEW_FRAMES"):
        path.parent.mkdir(exist_ok=True)
        path.write_text(shown, encoding="utf-8")
    assert shown == path.read_text(encoding="utf-8")
