"""Keys may be others: presses, painters and the app go by the keymap alone, and name the key in force.

That escape, `[` and capitals are what is left of a broken arrow key: ECMA-48 (control sequence `ESC [ ... final byte`),
arrow keys end in A to D, home and end in H and F. Names of keys are checked against the framework's own table.
"""

from __future__ import annotations

import re
import string
from collections.abc import Iterator
from dataclasses import replace
from zoneinfo import ZoneInfo

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from textual.keys import Keys, _character_to_key

from engine.errors import BadInput, Problem
from engine.pour import intents as i
from engine.pour.around.ways_out import Way, WaysOut
from engine.pour.views import FactorView
from tests.tui.days import BUSY, NOW, TEXTS, VIEWS, WORDS, ZONE, FakeSession, view
from tests.tui.test_console_app import Stage
from tui.actions import ACTIONS, BY_ID
from tui.app import ConsoleApp
from tui.asking import choices
from tui.desk import WAYS_S, Ask, Desk, Entry
from tui.keyfile import NAMES, OWN_SECONDS, PAGING
from tui.keymap import SIGNS, STANDARD, Keymap, bound, keymap, name_of_sign
from tui.live import Live
from tui.paint.pages import help_pages
from tui.paint.pen import Pen
from tui.paint.runs import plain
from tui.paint.screen import paint_screen
from tui.press import Press, press
from tui.scene import Scene

PEN = Pen(WORDS, zone=ZoneInfo(ZONE))
LETTERS = string.ascii_lowercase
FAR = dict(
    zip(LETTERS, "абвгдежзийклмнопрстуфхцчшщ", strict=True)
)  # every letter key moved to another script
SHOWN = Desk(shown="P1", shown_at=NOW - 60)
GO_ON = Way((("go_on", ()),), (), 0.0, 0.0, 0.0, 0.0, 0.0)


def moved(to: dict[str, str]) -> Keymap:
    """The registry's keys with some of them moved."""
    return keymap({action.id: tuple(to.get(key, key) for key in action.keys) for action in ACTIONS})


# the map


def test_without_a_file_every_action_has_the_registrys_keys() -> None:
    assert all(STANDARD.keys[action.id] == action.keys for action in ACTIONS)
    assert all(STANDARD.live[key] is action for action in ACTIONS for key in action.keys)


@pytest.mark.parametrize("sign", string.punctuation)
def test_signs_are_named_as_the_framework_names_their_keys(sign: str) -> None:
    assert name_of_sign(sign) == _character_to_key(sign)


def test_every_key_that_may_be_given_is_known_to_the_framework() -> None:
    known = {key.value for key in Keys} | {_character_to_key(sign) for sign in string.printable}
    assert set(NAMES) | set(PAGING) <= known
    assert {key for keys in STANDARD.keys.values() for key in keys} <= known | set(LETTERS)


def test_enter_brings_its_twin_wherever_it_goes() -> None:
    keys = keymap({"call": ("x",), "rejected": (), "advance": ("space", "enter")})
    assert keys.live["enter"] is keys.live["ctrl+j"] is BY_ID["advance"]


def test_a_moved_letter_works_under_caps_lock() -> None:
    keys = moved(FAR)
    assert keys.live[FAR["r"]] is keys.live[FAR["r"].upper()] is BY_ID["ready"]
    assert "r" not in keys.live


@pytest.mark.parametrize("action", [one for one in ACTIONS if one.second], ids=lambda one: one.id)
def test_the_answers_to_a_question_that_are_no_digits_are_kept_from_its_own_action(action) -> None:  # type: ignore[no-untyped-def]
    desk = replace(SHOWN, ways=WaysOut(None, (GO_ON,)))
    offered = {choice.key for choice in choices(Scene(VIEWS["busy and late"], NOW, desk), action)}
    offered |= {"h"} if action.second == "packets" else set()  # a half more
    assert offered - set("123456789") == set(OWN_SECONDS.get(action.second, ()))


# presses


def hit(scene: Scene, keys: Keymap, key: str, at: float = 100.0):  # type: ignore[no-untyped-def]
    return press(scene, WORDS, Press(key, key if len(key) == 1 else None, at), keys)


@settings(max_examples=60, deadline=None)
@given(order=st.permutations(LETTERS), key=st.sampled_from(LETTERS), day=st.sampled_from(sorted(VIEWS)))
def test_a_press_of_a_moved_key_does_what_the_key_did(order: list[str], key: str, day: str) -> None:
    to = dict(zip(LETTERS, order, strict=True))
    scene, keys = Scene(VIEWS[day], NOW, SHOWN), moved(to)
    if key in STANDARD.live:
        assert hit(scene, keys, to[key]) == hit(scene, STANDARD, key)
        assert hit(scene, keys, to[key].upper()) == hit(scene, STANDARD, key.upper())
    else:
        assert hit(scene, keys, to[key]).desk.corner is not None


@settings(max_examples=60, deadline=None)
@given(
    order=st.permutations(LETTERS),
    name=st.sampled_from([one.id for one in ACTIONS if one.second and one.second != "way"]),
    second=st.sampled_from("0123456789yh"),
)
def test_a_question_is_answered_by_the_same_second_keys_wherever_its_own_key_is(
    order: list[str], name: str, second: str
) -> None:
    to = dict(zip(LETTERS, order, strict=True))
    first = BY_ID[name].keys[0]
    if to.get(first, first) in OWN_SECONDS.get(BY_ID[name].second, ()):
        return
    keys, scene = moved(to), Scene(VIEWS["busy and late"], NOW, SHOWN)
    told = [
        hit(replace(scene, desk=hit(scene, map_, key).desk), map_, second, at=101.0)
        for map_, key in ((STANDARD, first), (keys, to.get(first, first)))
    ]
    assert (told[0].intent, told[0].leave) == (told[1].intent, told[1].leave)


def test_the_own_key_of_a_question_pressed_again_is_no_answer() -> None:
    keys, scene = moved(FAR), Scene(VIEWS["busy and late"], NOW, SHOWN)
    asked = hit(scene, keys, FAR["l"])
    again = hit(replace(scene, desk=asked.desk), keys, FAR["l"].upper(), at=101.0)
    assert again.desk.ask == asked.desk.ask
    assert again.intent is None


@pytest.mark.parametrize("begins", ["escape", "left_square_bracket"])
@pytest.mark.parametrize("tail", "ABCDFH")
def test_the_tail_of_a_broken_arrow_key_does_nothing_whatever_stands_on_its_letter(
    begins: str, tail: str
) -> None:
    keys = keymap(
        {
            "ready": (tail.lower(),),
            "away": (),
            "tip_part": (),
            "cover": (),
            "down": (),
            "opened": (),
            "half_bag": (),
        }
    )
    scene = Scene(VIEWS["busy and late"], NOW, SHOWN)
    assert hit(scene, keys, tail).intent == i.SeeReady("P1")
    broken = hit(scene, keys, begins, at=100.0)
    assert hit(replace(scene, desk=broken.desk), keys, tail, at=100.3).intent is None


@pytest.mark.parametrize("key", "123456789")
def test_digits_stay_persons_and_a_line_being_typed_takes_every_letter(key: str) -> None:
    keys, scene = moved(FAR), Scene(VIEWS["busy and late"], NOW, SHOWN)
    assert hit(scene, keys, key) == hit(scene, STANDARD, key)
    typing = replace(scene, desk=hit(scene, keys, FAR["w"]).desk)
    assert hit(typing, keys, FAR["q"]).desk.entry == Entry("reading", FAR["q"])


# what is painted

DESKS: list[Desk] = [
    SHOWN,
    *(replace(SHOWN, page=page) for page in range(1, 8)),
    replace(SHOWN, sheet="rate"),
    *(replace(SHOWN, entry=Entry(kind)) for kind in ("find", "note", "reading")),  # type: ignore[arg-type]
    *(
        replace(SHOWN, ask=Ask(action.id, "P1", NOW + WAYS_S), ways=WaysOut(None, (GO_ON,)))
        for action in ACTIONS
        if action.second
    ),
]
KNOWN = FactorView(1.0, 0.77, 1.29, 0, spread=(0.1, 0.4, 0.4, 0.1))
DAYS = {
    **{name: replace(one, factor=KNOWN) for name, one in VIEWS.items() if name != "hostile"},
    "trial": view(rows=BUSY, trial=NOW - 80, factor=KNOWN),
}
# letters by themselves that are no keys of an action: seconds and hours, the second keys of two questions, row marks
NO_KEYS = (
    r"\d s\b",
    r"\d h\b",
    r"\bh first for a half",
    r"\bh: half",
    r"\by (yes|stop|leave)",
    r"(?<=\n)[> ]x[ +]",
)
ALONE = re.compile(r"(?<![\w'/.-])[b-z](?![\w'/.…-])")  # a cut word may end in one


def painted(day: str, desk: Desk, keys: Keymap, width: int, height: int) -> Iterator[str]:
    scene, pen = Scene(DAYS[day], NOW, desk, kept_seq=14), replace(PEN, keys=keys)
    later = replace(scene, now=NOW + 900)
    for moment, start in ((scene, False), (scene, True), (later, False)):
        yield "\n".join(plain(line) for line in paint_screen(moment, width, height, pen, start=start))


@pytest.mark.parametrize("size", [(80, 24), (200, 60)], ids=str)
@pytest.mark.parametrize("day", DAYS)
def test_with_every_letter_moved_no_page_names_an_old_one(day: str, size: tuple[int, int]) -> None:
    back = str.maketrans({far: near for near, far in FAR.items()})
    for desk in DESKS:
        for shown, before in zip(
            painted(day, desk, moved(FAR), *size), painted(day, desk, STANDARD, *size), strict=True
        ):
            assert shown.translate(back) == before
            assert "could not be drawn" not in shown
            bare = re.sub("|".join(NO_KEYS), "", shown)
            assert not ALONE.findall(bare), shown


SCREEN = ("screen", "hint", "action", "help", "ask", "choice", "entry", "corner", "limits", "start", "banner")
OF_SCREENS = (
    *SCREEN,
    "refusal",
    "rate",
    "site",
    "lane",
    "replay",
    "trouble",
    "ways",
    "note",
    "done",
    "reason",
)


def test_no_sentence_of_the_screen_names_a_key_by_its_letter() -> None:
    loose = {}
    for key, text in TEXTS.items():
        bare = re.sub("|".join(NO_KEYS), "", re.sub(r"\{[^}]*\}", "0", text))
        if key.partition(".")[0] in OF_SCREENS and ALONE.search(bare):
            loose[key] = text
    assert not loose


def test_an_action_without_a_key_leaves_the_footer_and_is_found_by_its_label() -> None:
    keys = keymap({"ready": (), "trial": ()})
    pen, scene = replace(PEN, keys=keys), Scene(DAYS["trial"], NOW, SHOWN)
    assert not [key for key in ("r", "R", "t", "T") if key in keys.live]
    shown = "\n".join(plain(line) for line in paint_screen(scene, 200, 60, pen))
    assert " ready " not in shown.splitlines()[-1]
    assert "/ trial when stiff" in shown
    told = [plain(line) for page in help_pages(scene, 80, 20, pen) for line in page]
    assert any("no key" in line and TEXTS["help.ready"] in line for line in told)
    rate = paint_screen(replace(scene, desk=replace(SHOWN, sheet="rate")), 80, 24, pen)
    assert "/ ready, n not yet, m still moves" in "\n".join(plain(line) for line in rate)
    typed = replace(scene, desk=replace(SHOWN, entry=Entry("find", "ready")))
    assert "no key" in "\n".join(plain(line) for line in paint_screen(typed, 80, 24, pen))
    found = press(typed, WORDS, Press("enter", "\r", 100.0), keys)
    assert found.intent == i.SeeReady("P1")


def test_the_help_names_every_key_of_an_action() -> None:
    told = [plain(line) for page in help_pages(Scene(VIEWS["mix now"], NOW), 80, 40, PEN) for line in page]
    assert any(line.startswith(" back u ") for line in told)
    assert any(line.startswith(" down d ") for line in told)


def test_a_screen_that_has_no_view_yet_is_left_by_the_key_in_force() -> None:
    session = FakeSession(VIEWS["mix now"], broken=RuntimeError("no plan"))
    live = Live(session, replace(PEN, keys=moved(FAR)), "sun", lambda _seq: None)
    assert f"{FAR['q']}: leave" in "\n".join(plain(line) for line in live.lines(80, 24))
    assert not live.follow(Press("q", "q", 0.0))
    assert live.follow(Press(FAR["q"].upper(), FAR["q"].upper(), 0.0))


def test_a_sign_moved_to_a_letter_key_is_written_as_it_is() -> None:
    keys = keymap({"ready": ("comma",), "help": ("r",)})
    pen = replace(PEN, keys=keys)
    assert (pen.key("ready"), pen.key("help"), pen.key("assign"), pen.key("advance")) == (
        ",",
        "r",
        "1-9",
        "space",
    )
    assert set(SIGNS.values()) == set(string.punctuation)
    assert bound(("comma",)) == ("comma",)


# the app


async def test_the_app_goes_by_the_keys_of_the_file() -> None:
    session = FakeSession(VIEWS["warned"])
    keys = keymap({"ready": ("plus",), "advance": ("r",), "quit": ("ш",), "answer": ("full_stop",)})
    app = ConsoleApp(lambda: session, "made-up day", WORDS, read_keys=lambda: keys)
    async with app.run_test(size=(80, 24)) as pilot:
        await app.workers.wait_for_complete()
        await pilot.pause()
        stage = Stage(app, session, pilot)
        session.clock.advance(1.0)
        assert ".: seen" in stage.shown
        await pilot.press("r")
        assert session.intents == [i.Advance("P1")]
        await stage.press("full_stop", "plus")
        assert session.intents == [i.Advance("P1"), i.SeeReady("P1")]
        assert "seen" not in stage.shown
        await stage.press("q")
        assert "q does nothing" in stage.shown
        await stage.press("ш", "y")
        assert app.return_value == 0


async def test_a_bad_key_file_ends_the_app_before_a_log_is_opened() -> None:
    def bad() -> Keymap:
        raise BadInput([Problem("keys.toml", "live.ready[0]", "5", "one key")])

    opened: list[str] = []
    app = ConsoleApp(lambda: opened.append("log"), "made-up day", WORDS, read_keys=bad)  # type: ignore[arg-type,return-value,func-returns-value]
    async with app.run_test(size=(80, 24)) as pilot:
        await app.workers.wait_for_complete()
        await pilot.pause()
    assert isinstance(app.failure, BadInput)
    assert app.return_value == 2
    assert opened == []
