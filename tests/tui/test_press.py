"""One key press: what it asks for, what it leaves on the desk. Pure, with times handed in."""

from __future__ import annotations

from dataclasses import replace

import pytest

from engine.pour import intents as i
from engine.words import say
from tests.tui.days import BUSY, NOW, VIEWS, WORDS, call, called, pour, row, vessel, view, walk
from tui.desk import PICK_S, Ask, Desk, Entry
from tui.looks import LOOK_ORDER
from tui.press import Outcome, Press, press
from tui.scene import Scene

LONG_AGO = Desk(shown="P1", shown_at=NOW - 60)
CHARACTERS = {"space": " ", "question_mark": "?", "slash": "/", "enter": "\r", "full_stop": "."}


def hit(scene: Scene, key: str, at: float = 100.0) -> Outcome:
    character = key if len(key) == 1 else CHARACTERS.get(key)
    return press(scene, WORDS, Press(key, character, at))


def busy(desk: Desk = LONG_AGO, **changes: object) -> Scene:
    """P1 is late and under the marker, P2.1 due, P2.2 mixing, P3.1 to come."""
    return Scene(VIEWS["busy and late"], NOW, desk, **changes)  # type: ignore[arg-type]


def after(scene: Scene, outcome: Outcome, seconds: float = 0.0) -> Scene:
    return replace(scene, desk=outcome.desk, now=scene.now + seconds)


def typed(scene: Scene, text: str) -> Scene:
    for sign in text:
        scene = after(scene, hit(scene, {" ": "space", ".": "full_stop"}.get(sign, sign)))
    return scene


# key, and what it asks the engine for, on the busy day with P1 (batches P1.1 and P1.2) under the marker
ASKS: list[tuple[str, i.Intent]] = [
    ("space", i.Advance("P1")),
    ("enter", i.CallBag("P2")),
    ("ctrl+j", i.CallBag("P2")),
    ("backspace", i.Undo()),
    ("u", i.Undo()),
    ("left", i.Shift(-5.0)),
    ("right", i.Shift(5.0)),
    ("1", i.Assign("Lead", "P1")),
    ("3", i.Assign("MA", "P1")),
    ("r", i.SeeReady("P1")),
    ("N", i.SeeNotYet("P1")),
    ("m", i.SeeStillMoves("P1.2")),
    ("k", i.SeeStiff("P1.2")),
    ("t", i.StartTrial()),
]
# first key, second key, and what both ask for
SECONDS: list[tuple[str, str, i.Intent]] = [
    ("l", "1", i.LoseBatch("P1.2", "stiff in the vessel")),
    ("l", "3", i.LoseBatch("P1.2", "dropped")),
    ("s", "y", i.SkipNext("P1")),
    ("S", "Y", i.SkipNext("P1")),
    ("p", "2", i.CorrectPackets("P1.2", 2.0)),
    ("p", "0", i.CorrectPackets("P1.2", 0.0)),
    ("c", "1", i.CoverPour("P1", "sheet")),
    ("c", "2", i.CoverPour("P1", "blanket")),
    ("c", "3", i.UncoverPour("P1")),
    ("f", "1", i.OpenPour("P1", "feet")),
    ("f", "2", i.OpenPour("P1", "wheels")),
    ("x", "1", i.RejectBag("P1", "lumps")),
    ("v", "1", i.LoseVessel(why="split")),
    ("a", "2", i.MarkAway("F")),
    ("a", "4", i.MarkBack("MB")),
]


@pytest.mark.parametrize(("key", "wanted"), ASKS)
def test_a_key_asks_for_its_one_thing(key: str, wanted: i.Intent) -> None:
    assert hit(busy(), key).intent == wanted


@pytest.mark.parametrize(("first", "second", "wanted"), SECONDS)
def test_a_second_key_within_three_seconds_does_it(first: str, second: str, wanted: i.Intent) -> None:
    asked = hit(busy(), first)
    assert asked.intent is None
    assert asked.desk.ask is not None
    done = hit(after(busy(), asked, 2.9), second)
    assert done.intent == wanted
    assert done.desk.ask is None


@pytest.mark.parametrize("first", ["l", "s", "x", "v", "q", "p", "c"])
def test_a_second_key_too_late_does_nothing_of_it(first: str) -> None:
    asked = hit(busy(), first)
    late = hit(after(busy(), asked, 3.0), "y")
    assert late.intent is None
    assert not late.leave
    assert late.desk.ask is None


@pytest.mark.parametrize("first", ["l", "s", "x", "v", "q"])
def test_the_same_key_again_is_no_second_key(first: str) -> None:
    asked = hit(busy(), first)
    again = hit(after(busy(), asked, 1.0), first, at=101.0)
    assert again.intent is None
    assert not again.leave
    assert again.desk.ask == asked.desk.ask


@pytest.mark.parametrize("other", ["space", "enter", "9", "z", "escape"])
def test_any_other_key_means_never_mind_and_does_nothing_else(other: str) -> None:
    asked = hit(busy(), "l")
    outcome = hit(after(busy(), asked, 1.0), other)
    assert outcome.intent is None
    assert outcome.desk.ask is None
    assert outcome.desk.message is not None
    assert outcome.desk.message.text == say("screen.never_mind")


def test_half_packets_take_one_more_key() -> None:
    scene = busy()
    asked = hit(scene, "p")
    half = hit(after(scene, asked, 1.0), "h")
    assert half.desk.ask is not None
    assert half.desk.ask.half
    assert half.desk.ask.until == NOW + 1.0 + 3.0
    assert hit(after(scene, half, 2.0), "1").intent == i.CorrectPackets("P1.2", 1.5)
    assert hit(after(scene, half, 2.0), "0").intent == i.CorrectPackets("P1.2", 0.5)


def test_the_question_stays_with_its_row_when_another_becomes_more_urgent() -> None:
    asked = hit(busy(), "l")
    risen = view(call(), (row("P9.1", "broom", "lost", -200), *BUSY))
    done = hit(Scene(risen, NOW + 1, asked.desk), "3")
    assert done.intent == i.LoseBatch("P1.2", "dropped")


def test_leaving_takes_a_second_key() -> None:
    asked = hit(busy(), "q")
    assert not asked.leave
    assert hit(after(busy(), asked, 1.0), "y").leave


@pytest.mark.parametrize("key", ["space", "enter", "r"])
def test_two_presses_within_six_tenths_of_a_second_count_once(key: str) -> None:
    scene = busy()
    first = hit(scene, key, at=100.0)
    second = hit(after(scene, first), key, at=100.59)
    third = hit(after(scene, second), key, at=101.2)
    assert first.intent is not None
    assert second.intent is None
    assert second.desk.corner is not None
    assert third.intent is not None


def test_a_key_held_down_counts_once_however_long() -> None:
    scene, asked = busy(), []
    for n in range(40):
        outcome = hit(scene, "space", at=100.0 + n / 30)
        asked.append(outcome.intent)
        scene = after(scene, outcome)
    assert [intent for intent in asked if intent] == [i.Advance("P1")]


@pytest.mark.parametrize("key", ["backspace", "left", "down", "up"])
def test_undo_and_arrows_count_each_time(key: str) -> None:
    scene = busy()
    first = hit(scene, key, at=100.0)
    second = hit(after(scene, first), key, at=100.1)
    assert (first.intent is not None) == (second.intent is not None)
    if key in ("down", "up"):
        assert first.desk.picked != second.desk.picked


def test_different_keys_soon_after_each_other_both_count() -> None:
    first = hit(busy(), "space", at=100.0)
    assert hit(after(busy(), first), "enter", at=100.1).intent == i.CallBag("P2")


def test_a_row_that_came_up_just_now_is_not_stamped_by_accident() -> None:
    fresh = Desk(shown="P1", shown_at=NOW - 0.4)
    outcome = hit(busy(fresh), "space")
    assert outcome.intent is None
    assert outcome.desk.message is not None
    assert outcome.desk.message.text.key == "refusal.held"
    assert hit(busy(Desk(shown="P1", shown_at=NOW - 0.5)), "space").intent == i.Advance("P1")


def test_a_row_picked_by_hand_is_stamped_at_once() -> None:
    scene = busy()
    down = hit(scene, "down")
    assert hit(after(scene, down), "space").intent == i.Advance("P2.1")


def test_the_marker_goes_through_rows_and_then_the_queue_and_round() -> None:
    scene, seen = busy(), []
    for _ in range(7):
        scene = after(scene, hit(scene, "d"))
        seen.append(scene.desk.picked)
    assert seen == ["P2.1", "P2.2", "P3.1", "P4", "P5", "P6", "P1"]


def test_the_marker_goes_back_to_the_most_urgent_row_after_a_while() -> None:
    scene = busy()
    down = hit(scene, "down")
    assert hit(after(scene, down, PICK_S - 0.1), "space").intent == i.Advance("P2.1")
    assert hit(after(scene, down, PICK_S), "space").intent == i.Advance("P1")


def test_a_step_done_on_a_picked_row_gives_the_marker_back_and_does_not_run_on() -> None:
    scene = busy()
    scene = after(scene, hit(scene, "down"))
    first = hit(scene, "space", at=100.0)
    assert first.intent == i.Advance("P2.1")
    assert hit(after(scene, first, 0.4), "space", at=100.65).intent is None
    assert hit(after(scene, first, 0.7), "space", at=100.7).intent == i.Advance("P1")


def test_a_word_on_a_picked_row_keeps_it_picked() -> None:
    scene = busy()
    scene = after(scene, hit(scene, "down"), 5.0)
    said = hit(scene, "r")
    assert said.intent == i.SeeReady("P2.1")
    assert hit(after(scene, said, PICK_S - 0.1), "n").intent == i.SeeNotYet("P2.1")


def test_enter_is_water_in_once_a_bag_is_called() -> None:
    scene = Scene(view(call(), (called(), walk("first_trowel", "due", 20))), NOW, LONG_AGO)
    assert hit(scene, "enter").intent == i.Advance("P2 called")


def test_a_second_trial_key_says_it_went_stiff() -> None:
    standing = replace(VIEWS["empty day"], trial=NOW - 200)
    assert hit(Scene(standing, NOW), "t").intent == i.TrialStiff()


def test_part_of_a_batch_goes_to_a_pour_chosen_by_its_digit() -> None:
    scene = Scene(view(call(), (vessel("P2.2", "tipped"),)), NOW, LONG_AGO)
    asked = hit(scene, "b")
    assert hit(after(scene, asked), "1").intent == i.StampTipped("P1", source="P2.2")


def test_pours_of_the_queue_are_soaked_half_filled_and_split() -> None:
    scene = Scene(VIEWS["empty day"], NOW, Desk(picked="P3", picked_until=NOW + 9))
    assert hit(scene, "o").intent == i.SoakPour("P3")
    assert hit(scene, "h").intent == i.AddWater("P3", half=True)
    placing = Scene(replace(VIEWS["mix now"], queue=(pour("P2", "placing", 2, 1),)), NOW)
    assert hit(after(placing, hit(placing, "j")), "y").intent == i.SplitPour("P2")


def test_a_digit_without_a_person_says_so() -> None:
    outcome = hit(busy(), "9")
    assert outcome.intent is None
    assert outcome.desk.corner is not None
    assert outcome.desk.corner.text == say("corner.nobody", n="9")


@pytest.mark.parametrize("key", ["%", "f1", "ctrl+c", "escape"])
def test_a_free_key_does_nothing_and_says_so_for_two_seconds(key: str) -> None:
    outcome = hit(busy(), key)
    assert outcome.intent is None
    assert outcome.desk.corner is not None
    assert outcome.desk.corner.text == say("corner.unbound", key=key.replace("_", " "))
    assert outcome.desk.corner.until == NOW + 2.0


def test_a_key_with_nothing_to_do_says_so() -> None:
    outcome = hit(Scene(VIEWS["empty day"], NOW), "space")
    assert outcome.intent is None
    assert outcome.desk.message is not None
    assert outcome.desk.message.text.key == "refusal.not_now"


def test_a_screen_that_reads_along_asks_for_nothing() -> None:
    outcome = hit(busy(read_only=True), "space")
    assert outcome.intent is None
    assert outcome.desk.message is not None
    assert outcome.desk.message.text.key == "refusal.reading_along"


@pytest.mark.parametrize("tail", [["left_square_bracket", "A"], ["O", "A"], ["left_square_bracket", "H"]])
def test_an_arrow_key_broken_by_a_slow_line_stamps_nothing(tail: list[str]) -> None:
    scene = busy()
    for n, key in enumerate(["escape", *tail]):
        outcome = hit(scene, key, at=100.0 + 0.12 * n)
        assert outcome.intent is None
        assert outcome.desk.ask is None
        scene = after(scene, outcome)


def test_a_capital_by_itself_is_the_letter_under_caps_lock() -> None:
    assert hit(busy(), "R").intent == i.SeeReady("P1")
    late = hit(busy(), "escape", at=100.0)
    assert hit(after(busy(), late), "R", at=101.5).intent == i.SeeReady("P1")


def test_a_line_of_readings_is_typed_with_any_key_as_its_letter() -> None:
    scene = typed(after(busy(), hit(busy(), "w")), "air 53.5 sun")
    assert scene.desk.entry == Entry("reading", "air 53.5 sun")
    done = hit(scene, "enter")
    assert done.reading == "air 53.5 sun"
    assert done.desk.entry is None
    assert done.intent is None


def test_rubbing_out_the_empty_line_leaves_it() -> None:
    scene = typed(after(busy(), hit(busy(), "w")), "a")
    once = hit(scene, "backspace")
    assert once.desk.entry == Entry("reading", "")
    assert hit(after(scene, once), "backspace").desk.entry is None


def test_an_empty_line_asks_for_nothing() -> None:
    scene = after(busy(), hit(busy(), "w"))
    outcome = hit(scene, "enter")
    assert (outcome.reading, outcome.intent, outcome.desk.entry) == (None, None, None)


def test_a_note_belongs_to_the_row_picked_by_hand() -> None:
    scene = after(busy(), hit(busy(), "down"))
    scene = typed(after(scene, hit(scene, "e")), "edge tore")
    assert hit(scene, "enter").intent == i.WriteNote("edge tore", "P2.1")
    loose = typed(after(busy(), hit(busy(), "e")), "rain")
    assert hit(loose, "enter").intent == i.WriteNote("rain", "")


def test_an_action_found_by_part_of_its_label_acts() -> None:
    scene = typed(after(busy(), hit(busy(), "slash")), "not y")
    assert hit(scene, "enter").intent == i.SeeNotYet("P1")


def test_an_action_found_still_asks_for_its_second_key() -> None:
    scene = typed(after(busy(), hit(busy(), "slash")), "lost")
    asked = hit(scene, "enter")
    assert asked.intent is None
    assert asked.desk.ask == Ask("lost", "P1", NOW + 3.0)


def test_arrows_choose_in_the_finder_and_an_unknown_text_is_refused() -> None:
    scene = typed(after(busy(), hit(busy(), "slash")), "5 s")
    assert hit(scene, "enter").intent == i.Shift(-5.0)
    down = after(scene, hit(scene, "down"))
    assert hit(down, "enter").intent == i.Shift(5.0)
    nothing = typed(after(busy(), hit(busy(), "slash")), "xyzzy")
    refused = hit(nothing, "enter")
    assert refused.desk.message is not None
    assert refused.desk.message.text.key == "refusal.no_action"


def test_the_help_turns_its_pages_and_any_other_key_acts_at_once() -> None:
    scene = after(busy(), hit(busy(), "question_mark"))
    assert scene.desk.page == 1
    assert hit(scene, "question_mark").desk.page == 2
    outcome = hit(scene, "space")
    assert outcome.intent == i.Advance("P1")
    assert outcome.desk.page == 0


def test_warnings_go_when_they_are_answered_and_come_back_when_they_come_anew() -> None:
    scene = Scene(VIEWS["warned"], NOW)
    outcome = hit(scene, "z")
    assert outcome.seen
    assert after(scene, outcome).banners == ()
    gone = hit(replace(after(scene, outcome), view=VIEWS["busy and late"]), "d")
    assert after(scene, gone).banners == scene.view.banners


def test_the_look_changes_with_its_key() -> None:
    looks = [hit(busy(Desk(look=look)), "i").desk.look for look in LOOK_ORDER]
    assert looks == [*LOOK_ORDER[1:], LOOK_ORDER[0]]
