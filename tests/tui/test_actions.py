"""One registry of keys: bindings, footer, help and finder are made from it and agree."""

from __future__ import annotations

from dataclasses import replace
from zoneinfo import ZoneInfo

import pytest

from engine.pour.around.ways_out import Way, WaysOut
from engine.words import Words
from tests.tui.days import NOW, TEXTS, VIEWS, WORDS, ZONE, call, pour, row, vessel, view
from tui.actions import ACTIONS, BY_ID, GROUPS, NO_HINT, available, here_and_now, hints
from tui.asking import choices
from tui.desk import Desk
from tui.keymap import STANDARD, bound
from tui.paint.foot import paint_footer
from tui.paint.pages import help_pages
from tui.paint.pen import Pen
from tui.paint.runs import plain
from tui.press import matches
from tui.scene import Scene

PLAIN_KEYS = set("abcdefghijklmnopqrstuvwxyzABCDEFGHIJKLMNOPQRSTUVWXYZ0123456789") | {
    "space",
    "enter",
    "ctrl+j",  # what some lines send for enter
    "backspace",
    "up",
    "down",
    "left",
    "right",
    "slash",
    "question_mark",
    "tab",
    "minus",
    "comma",
    "full_stop",
}
COSTLY = ("lost", "skip", "split", "rejected", "vessel", "quit")
BY_KEY = STANDARD.live
PEN = Pen(WORDS, zone=ZoneInfo(ZONE))


def scene_of(name: str = "busy and late", **changes: object) -> Scene:
    return Scene(VIEWS[name], NOW, **changes)  # type: ignore[arg-type]


def test_no_key_means_two_things() -> None:
    keys = [key for action in ACTIONS for key in bound(action.keys)]
    assert len(keys) == len(set(keys))
    assert len(BY_ID) == len(ACTIONS)


def test_every_key_is_a_plain_one() -> None:
    assert set(BY_KEY) <= PLAIN_KEYS


@pytest.mark.parametrize(
    "key", ["escape", "left_square_bracket", "ctrl+c", "ctrl+q", "ctrl+z", "ctrl+p", "f1"]
)
def test_keys_that_lines_and_terminals_break_are_free(key: str) -> None:
    assert key not in BY_KEY


def test_enter_and_line_feed_are_one_key_and_letters_work_under_caps_lock() -> None:
    assert BY_KEY["enter"] is BY_KEY["ctrl+j"]
    assert BY_KEY["r"] is BY_KEY["R"]


@pytest.mark.parametrize("action", ACTIONS, ids=lambda action: action.id)
def test_every_action_has_a_short_label_and_a_line_of_help(action) -> None:  # type: ignore[no-untyped-def]
    assert 0 < len(WORDS(f"action.{action.id}")) <= 22
    assert 0 < len(WORDS(f"help.{action.id}")) <= 68
    assert action.group in GROUPS


@pytest.mark.parametrize("action", [a for a in ACTIONS if a.second], ids=lambda action: action.id)
def test_a_question_and_its_second_keys_have_words_and_none_is_the_first_key(action) -> None:  # type: ignore[no-untyped-def]
    assert f"ask.{action.id}" in TEXTS
    scene = scene_of()
    desk = replace(scene.desk, ways=WaysOut(None, (Way((("go_on", ()),), (), 0.0, 0.0, 0.0, 0.0, 0.0),)))
    offered = choices(replace(scene, desk=desk), action)
    assert offered
    assert not {choice.key for choice in offered} & set(bound(action.keys))
    assert len({choice.key for choice in offered}) == len(offered)
    for choice in offered:
        assert PEN.say(choice.text) != choice.text.key


@pytest.mark.parametrize("name", COSTLY)
def test_what_costs_asks_for_a_second_key(name: str) -> None:
    assert BY_ID[name].second


@pytest.mark.parametrize("name", ["undo", "up", "down", "earlier", "later"])
def test_arrows_and_undo_may_come_fast(name: str) -> None:
    assert not BY_ID[name].once


@pytest.mark.parametrize("name", ["advance", "call"])
def test_the_two_big_keys_count_once(name: str) -> None:
    assert BY_ID[name].once


@pytest.mark.parametrize("name", VIEWS)
def test_the_footer_only_shows_keys_that_do_something(name: str) -> None:
    scene = scene_of(name)
    footer = plain(paint_footer(scene, 240, PEN))
    shown = [action for action in hints(scene) if f" {PEN.key(action.id)} " in footer]
    assert shown
    assert all(available(action, scene) for action in hints(scene))
    assert [action.rank for action in hints(scene)] == sorted(action.rank for action in hints(scene))


def test_the_space_bar_comes_first_and_says_what_it_stamps() -> None:
    assert " space P1 first trowel done  enter call P2 " in plain(paint_footer(scene_of(), 80, PEN))


@pytest.mark.parametrize(("width", "height"), [(60, 7), (80, 11), (200, 36)])
def test_the_help_names_every_key(width: int, height: int) -> None:
    pages = help_pages(scene_of(), width, height, PEN)
    told = " ".join(plain(line) for page in pages for line in page)
    for action in ACTIONS:
        assert WORDS(f"help.{action.id}")[:30] in told


def test_the_help_begins_with_what_works_now_and_ends_with_the_limits() -> None:
    pages = help_pages(scene_of("empty day"), 80, 11, PEN)
    assert "Keys that do something now" in plain(pages[0][0])
    assert "ready" not in " ".join(plain(line) for line in pages[0])
    assert "What this program does not know" in plain(pages[-1][0])
    told = " ".join(plain(line) for page in pages for line in page)
    assert "The bag label, the surface and the finisher decide." in told
    assert "respirator" in told


def test_the_finder_knows_every_action_with_a_key_of_its_own() -> None:
    found = {action.id for action in matches(scene_of(), WORDS, "")}
    assert found == {action.id for action in ACTIONS} - {"assign"}


def test_the_finder_puts_what_works_now_first() -> None:
    found = matches(scene_of("empty day"), WORDS, "t")
    states = [available(action, scene_of("empty day")) for action in found]
    assert states == sorted(states, reverse=True)


def test_labels_are_found_in_any_language_of_the_catalogue() -> None:
    other = Words(TEXTS | {"action.soaked": "détrempé"})
    assert [action.id for action in matches(scene_of(), other, "TREMP")] == ["soaked"]


# what the key does, and a day on which it does nothing
WHEN = [
    ("advance", "empty day", False),
    ("advance", "busy and late", True),
    ("call", "done day", False),
    ("call", "busy and late", True),
    ("undo", "empty day", False),
    ("ready", "empty day", False),
    ("ready", "busy and late", True),
    ("answer", "busy and late", False),
    ("answer", "warned", True),
    ("quit", "empty day", True),
    ("reading", "done day", True),
]


@pytest.mark.parametrize(("name", "day", "works"), WHEN)
def test_a_key_works_when_there_is_something_for_it(name: str, day: str, works: bool) -> None:
    assert available(BY_ID[name], scene_of(day)) is works


def test_a_screen_that_reads_along_writes_nothing() -> None:
    allowed = {action.id for action in here_and_now(scene_of(read_only=True))}
    assert allowed == {"after", "board", "up", "down", "find", "help", "look", "mute", "plan", "quit", "rate"}


def test_part_of_a_batch_can_only_be_tipped_out_of_its_vessel() -> None:
    assert available(BY_ID["tip_part"], Scene(view(call(), (vessel(),)), NOW))
    assert not available(BY_ID["tip_part"], Scene(view(call(), (row(),)), NOW))


def test_a_joint_splits_only_a_pour_that_is_being_filled() -> None:
    half = replace(VIEWS["mix now"], queue=(pour("P2", "placing", 2, 1),))
    full = replace(VIEWS["mix now"], queue=(pour("P2", "finishing", 2, 0),))
    assert available(BY_ID["split"], Scene(half, NOW))
    assert not available(BY_ID["split"], Scene(full, NOW))


def test_hints_stop_before_actions_without_a_rank() -> None:
    assert all(action.rank < NO_HINT for action in hints(scene_of(desk=Desk())))
