"""Forms by keys alone: what each key does, what stands on the screen at 80 by 24, and what is written in the end."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from textual import events

from engine.console.labelled import new_card
from engine.console.written import new_job
from engine.job.writing.questions import JOB_PAGES, LABEL_PAGES, Draft, Fault, questions
from tests.tui.days import WORDS
from tui.cli import main
from tui.forms.app import FormApp
from tui.forms.desk import LEAVE, FormDesk, Spot, begun
from tui.forms.filling import Filling
from tui.forms.paint import FormScene, paint_form
from tui.forms.press import MOVES, Given, press
from tui.glyphs import ASCII
from tui.looks import LOOKS
from tui.paint.pen import Pen
from tui.paint.runs import Lines, line_width, plain

FINE = Given(None, over=False)
PEN = Pen(WORDS)
WIDTH, HEIGHT = 80, 24
JOB_KEYS = (
    *("School", "enter", "us", "enter", "America/Chicago", "pagedown"),
    *("08:00 air 54 humidity 60", "enter", "12:00 air 66 sun", "pagedown"),
    *(
        "24x18 2.0 1.75 2 1/4 broom",
        "enter",
        "2 ft 6 in x 18 in 2 2 step at side door",
        "pagedown",
        "pagedown",
    ),
    *("pagedown", "wheels by 15:00", "pagedown"),
)


def typed(desk: FormDesk, *keys: str, given: Given = FINE) -> FormDesk:
    """The desk after keys by name; a text that names none is typed."""
    for key in keys:
        if key in MOVES:
            desk = press(desk, key, None, given).desk
        else:
            for char in key:
                desk = press(desk, char, char, given).desk
    return desk


def press_all(filling: Filling, *keys: str) -> bool:
    """Whether the last of the keys was the end of the form."""
    done = False
    for key in keys:
        for one in (key,) if key in MOVES else key:
            done = filling.follow(one, None if key in MOVES else one)
    return done


@pytest.fixture
def job(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Filling:
    monkeypatch.setenv("TZ", "America/Denver")
    return Filling(new_job(tmp_path / "job.toml", WORDS), PEN)


@pytest.fixture
def card(tmp_path: Path) -> Filling:
    return Filling(new_card(tmp_path / "own.toml", WORDS), PEN)


def shown(filling: Filling, width: int = WIDTH, height: int = HEIGHT) -> str:
    return "\n".join(plain(line) for line in filling.lines(width, height))


# --- keys -------------------------------------------------------------------------------------------------------------

DESK = begun(JOB_PAGES, {})


def test_letters_go_in_at_the_cursor_and_backspace_and_delete_take_them_out() -> None:
    desk = typed(DESK, "abd", "left", "c", "home", "delete", "end", "backspace")
    assert (desk.text, desk.cursor) == ("bc", 2)


def test_tab_down_and_enter_go_on_and_up_goes_back_over_the_edge_of_a_page() -> None:
    for key in ("tab", "down", "enter"):
        assert typed(DESK, key).spot == Spot(1)
    last_of_first = typed(DESK, *["tab"] * 4)
    over = typed(last_of_first, "tab")
    assert (over.page, over.spot) == (1, Spot(5))
    assert typed(over, "up").spot == last_of_first.spot
    assert typed(DESK, "up") == DESK


def test_every_line_of_several_leaves_an_empty_one_to_go_on_with() -> None:
    desk = typed(DESK, "pagedown", "08:00 air 50", "enter", "09:00 air 55")
    assert desk.answers["weather"] == ("08:00 air 50", "09:00 air 55", "")


def test_enter_before_a_line_makes_room_above_and_backspace_in_an_empty_line_takes_it_away() -> None:
    desk = typed(DESK, "pagedown", "b", "home", "enter")
    assert desk.answers["weather"] == ("", "b", "")
    assert typed(desk, "a").answers["weather"] == ("a", "b", "")
    assert typed(desk, "backspace").answers["weather"] == ("b", "")


def test_the_last_page_writes_or_leaves_and_asks_before_it_loses_anything() -> None:
    last = typed(DESK, *["pagedown"] * 9)
    assert last.is_last
    assert press(last, "enter", "\r", FINE).act == "write"
    over = press(last, "enter", "\r", Given(None, over=True))
    assert (over.act, over.desk.ask) == ("", "over")
    assert press(over.desk, "y", "y", FINE).act == "write over"
    assert press(over.desk, "enter", "\r", FINE).act == ""
    leave = press(last, "down", None, FINE).desk
    assert leave.choice == LEAVE
    assert press(leave, "enter", "\r", FINE).act == "leave"
    asks = press(replace(leave, changed=True), "enter", "\r", FINE)
    assert (asks.act, asks.desk.ask) == ("", "leave")
    assert press(asks.desk, "n", "n", FINE).act == ""
    assert press(asks.desk, "y", "y", FINE).act == "leave"


def test_enter_goes_to_the_first_line_that_cannot_be_written() -> None:
    last = typed(DESK, "pagedown", "pagedown", "24x18", "enter", "x", *["pagedown"] * 9)
    desk = press(last, "enter", "\r", Given(Fault("patches", 1, "no size"), over=False)).desk
    assert (desk.page, desk.text) == (2, "x")


def test_no_key_asks_for_escape_control_or_alt() -> None:
    assert not [key for key in MOVES if key.startswith(("escape", "ctrl", "alt", "f1"))]


KEYS = st.one_of(
    st.sampled_from(sorted(MOVES)),
    st.sampled_from(["y", "n", "2", "4", "x", " ", "P1", "mix", "\u00e9", "\u4e2d"]),
)


@settings(max_examples=40, deadline=None)
@given(
    keys=st.lists(KEYS, max_size=60),
    over=st.booleans(),
    width=st.integers(20, 100),
    height=st.integers(6, 30),
)
def test_any_keys_leave_a_desk_that_can_be_typed_in_and_painted(
    keys: list[str], over: bool, width: int, height: int
) -> None:
    desk = DESK
    for key in keys:
        desk = typed(desk, key, given=Given(None, over))
        assert 0 <= desk.cursor <= len(desk.text)
        assert desk.is_last or desk.spot in desk.spots()
    lines = paint_form(FormScene(desk, Draft(), "job", "x.toml", over), width, height, PEN)
    _fits(lines, width, height)


def _fits(lines: Lines, width: int, height: int) -> None:
    assert len(lines) == height
    assert {line_width(line) for line in lines} == {width}
    assert {style for line in lines for _, style in line} <= set(next(iter(LOOKS.values())))


# --- the screen -------------------------------------------------------------------------------------------------------


def test_every_field_of_a_page_has_its_unit_and_an_example(job: Filling, card: Filling) -> None:
    for filling, pages in ((job, JOB_PAGES), (card, LABEL_PAGES)):
        for page in pages:
            text = shown(filling)
            for question in page.questions:
                assert WORDS(f"form.ask.{question.key}") in text
            assert text.count("needed") == sum(question.needed for question in page.questions)
            press_all(filling, "pagedown")


def test_labels_fit_before_their_field() -> None:
    keys = {question.key for question in (*questions(JOB_PAGES), *questions(LABEL_PAGES))}
    assert all(len(WORDS(f"form.ask.{key}")) <= 18 for key in keys)


def test_what_the_keys_do_fits_on_its_row() -> None:
    assert all(len(WORDS(f"form.{key}")) <= WIDTH - 2 for key in ("moves", "last_moves"))


def test_a_problem_stands_under_its_line_as_soon_as_it_is_typed(job: Filling) -> None:
    press_all(job, "pagedown", "08:00 air 54", "enter", "09:00 wnd")
    rows = shown(job).splitlines()
    place = next(n for n, row in enumerate(rows) if "09:00 wnd" in row)
    assert '!! "wnd" is not known here; nearest: wind' in rows[place + 1]
    press_all(job, *["backspace"] * 3, "air 55")
    assert "!!" not in shown(job)


def test_examples_are_in_the_units_of_the_job(job: Filling) -> None:
    press_all(job, "enter", "metric", "pagedown", "pagedown")
    assert "mm: 600x450" in shown(job)
    press_all(job, "600x450 50 2 in")
    assert "read as 600 mm x 450 mm, depths 50 mm, 50.8 mm" in shown(job)


def test_a_long_list_keeps_the_line_of_the_cursor_in_sight(job: Filling) -> None:
    press_all(job, "pagedown", "pagedown")
    for n in range(30):
        press_all(job, f"Q{n} 24x18 2", "enter")
    assert "Q29 24x18 2" in shown(job)
    assert "more above" in shown(job)
    press_all(job, *["up"] * 30)
    assert "Q0 24x18 2" in shown(job)
    assert "more below" in shown(job)


def test_a_long_line_shows_the_part_around_the_cursor(job: Filling) -> None:
    press_all(job, "pagedown", "pagedown", "24x18 2 at " + "far " * 30 + "end")
    assert "end" in shown(job)
    press_all(job, "home")
    assert "24x18 2 at" in shown(job)


def test_plain_signs_alone_where_the_terminal_has_no_others(job: Filling) -> None:
    filling = Filling(job._sheet, Pen(WORDS, ASCII))
    press_all(filling, *JOB_KEYS)
    assert shown(filling).isascii()


# --- to the file ------------------------------------------------------------------------------------------------------


def test_a_job_is_filled_in_by_keys_checked_written_and_checks(job: Filling, tmp_path: Path) -> None:
    press_all(job, *JOB_KEYS)
    assert "the day is being planned" in shown(job)
    assert job.wants_verdict
    job.take_verdict(*job.find_verdict())
    assert "check: this plan holds every window" in shown(job)
    assert "Assumed, because nobody said" in shown(job)
    assert press_all(job, "enter")
    assert job.written[0] == str(tmp_path / "job.toml")
    assert main(["check", str(tmp_path / "job.toml")]) == 0


def test_a_card_is_filled_in_by_keys_and_serves_a_job(card: Filling, tmp_path: Path) -> None:
    press_all(
        card,
        "Own",
        "enter",
        "small stone",
        "enter",
        "50 lb",
        "enter",
        "0.43 ft^3",
        "pagedown",
        "4 qt",
        "enter",
    )
    press_all(
        card,
        "4.5 qt",
        "enter",
        "enter",
        "1.5 in",
        "enter",
        "4 in",
        "pagedown",
        "4 min",
        "pagedown",
        "pagedown",
    )
    assert card.wants_verdict
    assert press_all(card, "enter")
    sheet = new_job(tmp_path / "job.toml", WORDS)
    assert [offer.key for offer in sheet.ground.offers if not offer.shipped] == ["own"]
    filling = Filling(sheet, PEN)
    press_all(filling, *JOB_KEYS, "enter")
    assert filling.written == (str(tmp_path / "job.toml"),)


def test_what_is_missing_is_listed_and_nothing_is_written(job: Filling, tmp_path: Path) -> None:
    press_all(job, "pageup", *["pagedown"] * 6)
    assert "To be mended before anything is written (3):" in shown(job)
    assert not press_all(job, "enter")
    assert job.desk.spot == Spot(0)
    assert list(tmp_path.iterdir()) == []


def test_a_verdict_on_answers_changed_meanwhile_is_not_shown(job: Filling) -> None:
    press_all(job, *JOB_KEYS)
    found = job.find_verdict()
    press_all(job, "up", "feet 16:00", "pagedown")
    job.take_verdict(*found)
    assert job.verdict is None


def test_a_written_job_is_opened_again_and_written_over_only_after_a_yes(
    job: Filling, tmp_path: Path
) -> None:
    press_all(job, *JOB_KEYS, "enter")
    path = tmp_path / "job.toml"
    before = path.read_bytes()
    again = Filling(new_job(path, WORDS), PEN)
    press_all(again, " 2", *["pagedown"] * 6, "enter")
    assert "Write over what is there? y writes" in shown(again)
    assert not press_all(again, "n")
    assert "not written over" in shown(again)
    assert path.read_bytes() == before
    assert press_all(again, "enter", "y")
    assert b"School 2" in path.read_bytes()


def test_a_disk_that_refuses_is_told_and_the_form_stays(
    job: Filling, monkeypatch: pytest.MonkeyPatch
) -> None:
    def refuse(_path: object, _text: str) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr("engine.console.written.put_whole", refuse)
    press_all(job, *JOB_KEYS)
    assert not press_all(job, "enter")
    assert "not written: [Errno 28] No space left on device" in shown(job)


def test_pasted_lines_are_lines(job: Filling) -> None:
    press_all(job, "pagedown", "pagedown")
    job.paste("24x18 2\n\x1b30x18 2 2\n")
    assert job.desk.answers["patches"] == ("24x18 2", "30x18 2 2", "")


async def test_the_app_takes_keys_paints_and_leaves(job: Filling) -> None:
    app = FormApp(job._sheet, WORDS)
    async with app.run_test(size=(WIDTH, HEIGHT)) as pilot:
        await pilot.press("S", "tab", "m")
        await pilot.pause()
        text = "\n".join(plain(line) for line in app.painted.lines)
        assert "> m" in text
        assert "!! us or metric" in text
        await app.on_event(events.Paste("etric"))
        await pilot.pause()
        assert app.filling.desk.answers["units"] == ("metric",)
        await pilot.press(*["pagedown"] * 6, "down", "enter", "y")
        await pilot.pause()
    assert app.return_value == 0
    assert app.filling.written == ()
