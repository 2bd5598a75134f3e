"""The replay on the screen: on a clock moved by hand over a rehearsed day, by keys, as rows of text."""

from __future__ import annotations

from functools import cache
from pathlib import Path

import pytest

from engine import console
from engine.clock import HandClock
from engine.pour.events import WaterAdded
from engine.record.lines import FIRST_HASH, encode
from engine.record.replaying.playing import PACES
from tests.record.replaying.test_equals_live import Lived, rehearsed
from tests.rehearsal.jobs import WORDS, shipped
from tui.actions import ACTIONS
from tui.cli import main
from tui.glyphs import ASCII
from tui.keymap import STANDARD, bound, keymap
from tui.paint.pen import Pen
from tui.paint.runs import line_width, plain
from tui.press import Press
from tui.replay.app import ReplayApp
from tui.replay.keys import REPLAY
from tui.replay.replayed import Replayed

BY_KEY = STANDARD.replay
SIZES = [(80, 24), (120, 36), (200, 60), (60, 16), (40, 9), (30, 5)]


@cache
def lived() -> Lived:
    return rehearsed(shipped("community-hall"), 3)


def written(log: Path, lines: int | None = None) -> Path:
    """The rehearsed day's log, or its first lines."""
    previous, whole = FIRST_HASH, b""
    for line in lived().lines[:lines]:
        chunk, previous = encode(line, previous)
        whole += chunk
    log.write_bytes(whole)
    return log


class Viewer:
    """Somebody in front of the replay."""

    def __init__(self, log: Path) -> None:
        self.log, self.clock = log, HandClock(0.0)
        self.replay = console.open_replay(log, self.clock)
        self.replay.prepare()
        self.screen = Replayed(self.replay, Pen(WORDS), "sun")

    def look(self, width: int = 80, height: int = 24) -> list[str]:
        self.screen.take_view()
        return [plain(line) for line in self.screen.lines(width, height)]

    def press(self, *keys: str) -> list[str]:
        for key in keys:
            character = {"space": " ", "full_stop": "."}.get(key, key if len(key) == 1 else None)
            self.screen.follow(Press(key, character, 0.0))
        return self.look()

    def wait(self, seconds: float) -> list[str]:
        self.clock.advance(seconds)
        return self.look()


@pytest.fixture
def viewer(tmp_path: Path) -> Viewer:
    return Viewer(written(tmp_path / "day.jsonl"))


# what the screen says


@pytest.mark.parametrize(("width", "height"), SIZES)
def test_every_size_is_filled_exactly_and_says_that_it_is_a_replay(
    viewer: Viewer, width: int, height: int
) -> None:
    viewer.press("n", "n")
    for keys in ((), ("w",), ("question_mark",)):
        viewer.press(*keys)
        viewer.screen.take_view()
        lines = viewer.screen.lines(width, height)
        assert [line_width(line) for line in lines] == [width] * height
        assert any("REPLAY" in plain(line) for line in lines)


def test_the_mark_stands_on_both_lanes_above_the_last_lines_and_in_the_footer_in_reverse(
    viewer: Viewer,
) -> None:
    viewer.press("n")
    lines = viewer.screen.lines(80, 24)
    marked = [n for n, line in enumerate(lines) if "REPLAY" in plain(line)]
    assert len(marked) == 4
    assert {0, 20, 23} <= set(marked)
    badges = [style for line in lines for text, style in line if text.strip().startswith("REPLAY")]
    assert badges.count("bad") == 3


def test_the_body_is_the_live_view_of_that_moment(viewer: Viewer) -> None:
    line = next(e.seq for e in viewer.replay.past.events if isinstance(e.body, WaterAdded))
    shown = viewer.press("g", *f"line {line}", "enter")
    assert viewer.replay.line == line
    assert any("to mixed" in row for row in shown)


def test_the_day_line_shows_where_it_stands_and_every_kind_of_incident(viewer: Viewer) -> None:
    first, last = viewer.press("s")[-2], viewer.press("e")[-2]
    assert first.index("|") < 10 < 70 < last.index("|")
    kinds = {incident.kind for incident in viewer.replay.incidents}
    assert {"lost", "joint", "away"} <= kinds
    assert all(sign in first for sign in "LA!")


# moving


def test_a_line_on_and_a_line_back_are_the_lines_of_the_log(viewer: Viewer) -> None:
    for line in range(2, 20):
        viewer.press("right")
        assert viewer.replay.line == line
        assert viewer.replay.journal.day == lived().days[line - 1]
    viewer.press("left", "left")
    assert viewer.replay.line == 17


def test_jumps_stop_at_incidents_batches_and_pours_in_their_order(viewer: Viewer) -> None:
    lines: dict[str, list[int]] = {"n": [], "k": [], "p": []}
    for key, found in lines.items():
        viewer.press("s")
        for _ in range(60):
            before = viewer.replay.line
            viewer.press(key)
            if viewer.replay.line == before:
                break
            found.append(viewer.replay.line)
        else:
            pytest.fail(f"{key} never ends")
    events = viewer.replay.past.events
    waters = [(e.seq, e.body.pour) for e in events if isinstance(e.body, WaterAdded)]
    assert lines["n"] == sorted({incident.line for incident in viewer.replay.incidents})
    assert lines["k"] == [seq for seq, _ in waters]
    assert len(lines["p"]) == len({pour for _, pour in waters})
    assert "no pour after" in viewer.look()[-3]
    viewer.press("b")
    assert viewer.replay.line == max(line for line in lines["n"] if line < lines["p"][-1])


@pytest.mark.parametrize("pace", PACES)
def test_it_plays_at_its_pace_and_stands_still_when_told(viewer: Viewer, pace: int) -> None:
    viewer.press(*["plus"] * PACES.index(pace))
    began = viewer.replay.now()
    viewer.press("space")
    viewer.wait(2.0)
    assert viewer.replay.now() == pytest.approx(began + 2.0 * pace)
    viewer.press("space")
    viewer.wait(100.0)
    assert viewer.replay.now() == pytest.approx(began + 2.0 * pace)


def test_a_change_of_pace_moves_nothing(viewer: Viewer) -> None:
    viewer.press("space")
    viewer.wait(7.0)
    at = viewer.replay.now()
    viewer.press("plus", "plus")
    assert viewer.replay.now() == pytest.approx(at)


def test_minutes_go_along_the_day_line_and_not_off_its_ends(viewer: Viewer) -> None:
    began = viewer.replay.now()
    viewer.press("greater_than_sign", "full_stop", "full_stop", "comma")
    assert viewer.replay.now() == pytest.approx(began + 660.0)
    viewer.press(*["less_than_sign"] * 9)
    assert viewer.replay.now() == began
    viewer.press(*["greater_than_sign"] * 99)
    assert viewer.replay.now() == viewer.replay.past.ends


@pytest.mark.parametrize("text", ["08:44:37", "L1.3", "l1", "line 12"])
def test_a_place_is_typed(viewer: Viewer, text: str) -> None:
    shown = viewer.press("g", *text, "enter")
    assert viewer.replay.now() > viewer.replay.past.begins
    assert "no such" not in "".join(shown)


def test_a_place_that_is_none_is_said_and_nothing_moves(viewer: Viewer) -> None:
    shown = viewer.press("n", "g", *"P99", "enter")
    assert "P99: no such" in shown[-3]
    assert viewer.replay.line == viewer.replay.incidents[0].line


# a log still being written


def test_at_the_end_it_follows_as_lines_come(tmp_path: Path) -> None:
    viewer = Viewer(written(tmp_path / "day.jsonl", 30))
    viewer.press("e")
    assert "following" in "".join(viewer.look())
    written(viewer.log, 33)
    viewer.wait(1.0)
    assert viewer.replay.line == 33
    assert viewer.replay.journal.day == lived().days[32]
    viewer.press("left")
    written(viewer.log, 40)
    viewer.wait(1.0)
    assert viewer.replay.line == 32
    assert viewer.replay.past.lines == 40


def test_playing_into_the_end_follows(tmp_path: Path) -> None:
    viewer = Viewer(written(tmp_path / "day.jsonl", 30))
    viewer.press(*["plus"] * 5, "space")
    viewer.wait(3600.0)
    assert viewer.replay.following
    assert viewer.replay.line == 30


def test_a_log_cut_back_while_it_is_followed_is_told_and_the_past_stays(tmp_path: Path) -> None:
    viewer = Viewer(written(tmp_path / "day.jsonl", 30))
    written(viewer.log, 10)
    viewer.wait(1.0)
    assert any("cannot be followed" in row for row in viewer.look(120, 36))
    assert viewer.replay.past.lines == 30


# nothing is changed

CHANGING = [key for action in ACTIONS if action.writes for key in bound(action.keys) if key not in BY_KEY]


@pytest.mark.parametrize("key", CHANGING)
def test_every_changing_key_is_refused_with_a_sentence(viewer: Viewer, key: str) -> None:
    before, bytes_before = viewer.replay.line, viewer.log.read_bytes()
    assert "REPLAY, read only: no" in viewer.press(key)[-3]
    assert viewer.replay.line == before
    assert viewer.log.read_bytes() == bytes_before


def test_nothing_is_bound_to_keys_that_terminals_break_or_take() -> None:
    broken = ("escape", "left_square_bracket", "ctrl", "alt")
    assert not [key for key in BY_KEY if key.startswith(broken) or (key[0] == "f" and key[1:].isdigit())]


def test_no_key_stands_for_two_actions_and_all_have_words() -> None:
    keys = [key for action in REPLAY for key in bound(action.keys)]
    assert len(keys) == len(set(keys))
    assert all(f"action.{action.id}" in WORDS and f"help.{action.id}" in WORDS for action in REPLAY)


def test_a_replay_goes_by_the_keys_of_a_file_and_names_them(viewer: Viewer) -> None:
    keys = keymap(
        {"ready": ("x",), "rejected": (), "replay.rate": ("z",), "replay.quit": ("x",), "replay.help": ("y",)}
    )
    screen = Replayed(viewer.replay, Pen(WORDS, keys=keys), "sun")
    shown = [plain(line) for line in screen.lines(120, 36)]
    assert " y help " in shown[-1]
    assert not screen.follow(Press("r", "r", 0.0))
    assert screen.follow(Press("X", "X", 0.0))
    screen.follow(Press("u", "u", 0.0))
    assert "y shows the keys" in plain(screen.lines(120, 36)[-3])
    screen.follow(Press("z", "z", 0.0))
    assert any("z closes" in plain(line) for line in screen.lines(120, 36))


# the windows


def test_the_windows_are_told_as_known_then(viewer: Viewer) -> None:
    viewer.press("e")
    done = viewer.replay.predicted()[0]
    assert done.stroke is not None
    shown = viewer.press("g", *f"line {done.stroke.seq - 1}", "enter", "w")
    then = viewer.replay.predicted()[0]
    assert then.stroke is None
    assert then.at_tip == done.at_tip
    row = next(row for row in shown if row.startswith(f" {done.batch} "))
    stamped = viewer.screen._pen.clock(done.stroke.at)
    assert stamped not in row
    viewer.press("right")
    row = next(row for row in viewer.look() if row.startswith(f" {done.batch} "))
    assert stamped in row


def test_behind_the_windows_stand_the_seconds_of_what_was_missed(viewer: Viewer) -> None:
    viewer.press("e", "w")
    causes = viewer.replay.causes()
    shown: list[str] = []
    for _ in range(10):
        shown = viewer.press("w")
        if any(WORDS("replay.title.causes") in row for row in shown):
            break
    assert bool(causes) == any(WORDS("replay.title.causes") in row for row in shown)
    for one in causes[:2]:
        assert WORDS(one)[:40] in " ".join(shown)


def test_a_terminal_without_block_figures_gets_plain_signs(viewer: Viewer) -> None:
    screen = Replayed(viewer.replay, Pen(WORDS, ASCII), "plain")
    for key in ("n", "w", "question_mark"):
        screen.follow(Press(key, None, 0.0))
        assert all(plain(line).isascii() for line in screen.lines(80, 24))


# the whole screen


def test_without_a_terminal_the_list_is_named_and_can_be_had(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    log = str(written(tmp_path / "day.jsonl"))
    assert main(["replay", log]) == 2
    assert "replay --text" in capsys.readouterr().err
    assert main(["replay", log, "--text"]) == 0
    assert len(capsys.readouterr().out.splitlines()) == len(lived().lines)


async def test_the_screen_opens_a_log_plays_and_is_left(tmp_path: Path) -> None:
    log, clock = written(tmp_path / "day.jsonl"), HandClock(0.0)
    app = ReplayApp(lambda: console.open_replay(log, clock), "day", WORDS)
    async with app.run_test(size=(80, 24)) as pilot:
        for _ in range(50):
            await pilot.pause()
            if app.live is not None:
                break
        assert app.live is not None
        await pilot.press("n", "g", *"line 9", "enter")
        assert app.live.session.line == 9
        await pilot.press("space")
        clock.advance(5.0)
        await pilot.press("u")
        assert "read only" in plain(app.painted.lines[-3])
        assert app.live.session.now() > app.live.session.past.written(9)
        await pilot.press("q")
    assert app.return_value == 0


async def test_a_log_that_is_none_ends_the_screen_with_its_fault(tmp_path: Path) -> None:
    app = ReplayApp(lambda: console.open_replay(tmp_path / "none.jsonl"), "none", WORDS)
    async with app.run_test(size=(80, 24)) as pilot:
        for _ in range(50):
            await pilot.pause()
            if app.failure is not None:
                break
    assert app.return_value == 2
    assert "none.jsonl" in str(app.failure)
