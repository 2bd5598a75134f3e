"""Rows that keep their order around a key, strips with windows behind, a break said, and catching up."""

from __future__ import annotations

from dataclasses import replace
from zoneinfo import ZoneInfo

import pytest

from engine.pour import intents as i
from tests.tui.days import CREW, NOW, WORDS, ZONE, FakeSession, call, person, row, task, view, window
from tui.desk import Desk
from tui.glyphs import ASCII, BLOCKS
from tui.live import Live, in_order
from tui.paint.lanes import BREAK_S
from tui.paint.pen import Pen
from tui.paint.runs import line_width, plain
from tui.paint.screen import paint_screen
from tui.paint.strip import paint_strip, windows_ahead
from tui.press import Press
from tui.scene import Scene, settled

PEN = Pen(WORDS, zone=ZoneInfo(ZONE))
LATE = row("P1.1", state="late", left_s=30.0)
DUE = row("P2.1", state="due", left_s=20.0)


def screen(scene: Scene, width: int = 80, height: int = 24) -> str:
    return "\n".join(plain(line) for line in paint_screen(settled(scene), width, height, PEN))


def session(*rows: object) -> FakeSession:
    return FakeSession(view(call("hold"), rows))  # type: ignore[arg-type]


def order(live: Live) -> list[str]:
    assert live.view
    return [one.key for one in settled(live.scene(live.view)).view.rows]


def test_rows_stay_where_they_are_for_half_a_second_after_a_key() -> None:
    day = session(LATE, DUE)
    live = Live(day, PEN, "sun", lambda _seq: None)
    live.follow(Press("down", None, 0.0))
    day.seen = replace(day.seen, rows=(DUE, LATE))
    live.take_view()
    assert order(live) == ["P1.1", "P2.1"]
    day.clock.advance(0.49)
    assert order(live) == ["P1.1", "P2.1"]
    day.clock.advance(0.02)
    assert order(live) == ["P2.1", "P1.1"]


def test_the_screen_looks_again_when_the_order_is_let_go() -> None:
    day = session(LATE, DUE)
    live = Live(day, PEN, "sun", lambda _seq: None)
    day.clock.advance(0.1)
    live.follow(Press("down", None, 0.0))
    assert live.next_look_s() == pytest.approx(0.5)


def test_new_rows_stand_behind_those_that_were_there() -> None:
    third = row("P0.1")
    assert [one.key for one in in_order((third, DUE, LATE), ("P1.1", "P2.1"))] == ["P1.1", "P2.1", "P0.1"]


@pytest.mark.parametrize(("quiet_s", "said"), [(BREAK_S - 1.0, False), (BREAK_S, True), (400.0, True)])
def test_a_break_is_said_where_nobody_is_asked_for_anything(quiet_s: float, said: bool) -> None:
    day = view(call("hold", at=NOW + quiet_s), quiet_until=NOW + quiet_s)
    assert ("break possible" in screen(Scene(day, NOW))) == said


def test_a_screen_behind_the_work_says_how_long_and_which_key_catches_up() -> None:
    long_late = row("P1.1", state="lost", left_s=-400.0)
    day = view(call("hold"), (replace(long_late, window=window("first_trowel", "lost", -400.0)),))
    scene = Scene(day, NOW, Desk(touched_at=NOW - 300.0))
    assert day.last is not None
    assert f"last stamp {PEN.countdown(day.last.at, NOW).lstrip('+')} ago" in screen(scene)
    assert "0 catches up" in screen(scene)


def test_one_key_catches_up_where_something_is_late() -> None:
    day = session(LATE)
    live = Live(day, PEN, "sun", lambda _seq: None)
    live.follow(Press("0", "0", 0.0))
    assert day.intents == [i.CatchUp()]


def test_nothing_is_caught_up_on_a_day_on_time() -> None:
    day = session(DUE)
    live = Live(day, PEN, "sun", lambda _seq: None)
    live.follow(Press("0", "0", 0.0))
    assert day.intents == []


@pytest.mark.parametrize("glyphs", [BLOCKS, ASCII])
def test_a_strip_fills_the_stroke_and_shades_the_window_it_falls_into(glyphs: object) -> None:
    pen = replace(PEN, glyphs=glyphs)  # type: ignore[arg-type]
    early = row("P2.1", "first_trowel", "early", 60.0)
    day = view(call("hold"), (early,))
    one = person("F", task("first_trowel", "P2.1", 90, 150))
    strip = paint_strip(one, windows_ahead(Scene(day, NOW)), NOW, (20, 30), pen, named=False)
    text = plain(strip)
    assert line_width(strip) == 20
    assert text[:2] == "  "  # the window opens in a minute
    assert text[2] == pen.glyphs.window
    assert text[3:5] == pen.glyphs.busy * 2
    assert text[5] == pen.glyphs.window
    assert text[9:].strip() == ""  # late 210 s after it opens


def test_somebody_away_has_nothing_ahead() -> None:
    one = person("F", task("mix", "P2.1", 0, 60), away=True)
    assert plain(paint_strip(one, {}, NOW, (10, 30), PEN, named=True)).strip() == ""


def test_at_eighty_cells_every_person_of_four_has_a_row_with_a_strip() -> None:
    shown = screen(Scene(view(call(), (LATE, DUE)), NOW)).splitlines()
    rows = [
        line
        for line in shown
        if line[:4] in {f" {n} {name[:1]}" for n, name in enumerate((one.id for one in CREW), 1)}
    ]
    assert len(rows) == 4
    assert any(BLOCKS.busy in line[60:] for line in rows)
