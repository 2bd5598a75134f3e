"""Alarms on the screen: their rows, their answer, the mute, the bells of the app; what nobody may lose sight of stays."""

from __future__ import annotations

from collections.abc import AsyncIterator
from contextlib import asynccontextmanager
from dataclasses import replace
from zoneinfo import ZoneInfo

import pytest
from textual import events
from textual.pilot import Pilot

from engine.pour.views import LiveView
from engine.words import say
from tests.tui.days import BUSY, HOSTILE, MANY, NOW, WORDS, ZONE, FakeSession, call, hold, row, view
from tui.app import ConsoleApp
from tui.desk import Desk
from tui.glyphs import ASCII
from tui.looks import LOOKS
from tui.paint.alarms import paint_alarms
from tui.paint.layout import FOOT, arrange
from tui.paint.pen import Pen
from tui.paint.runs import Lines, line_width, plain
from tui.paint.screen import paint_screen
from tui.press import Press, press
from tui.scene import Scene, settled
from tui.sound.alarms import alarms
from tui.sound.ringing import MOST, Ringing, ring

PEN = Pen(WORDS, zone=ZoneInfo(ZONE))
SIZES = [(60, 20), (80, 24), (120, 36), (200, 60), (40, 12), (30, 8), (20, 5), (1, 1)]
ROWS = {
    "due": view(hold(), (row("P2.1", "first_trowel", "due", 50),)),
    "due for long": view(hold(), (row("P2.1", "first_trowel", "due", 20),)),
    "late": view(hold(), (row("P2.1", "first_trowel", "late", 20),)),
    "lost": view(hold(), (row("P2.1", "first_trowel", "lost", -20),)),
    "not followed": view(call(), (row(),)),
    "edge at risk": view(call("edge at risk"), (row(),)),
    "joint": view(call("joint", latest=None), (row(),)),
}
TEXTS = {
    "due": " *  DUE first trowel P2.1 · 0:50 to late · F",
    "due for long": " !  DUE FOR LONG first trowel P2.1 · 0:20 to late · F",
    "late": " !! LATE first trowel P2.1 · 0:20 to lost · F",
    "lost": " xx LOST first trowel P2.1 · +0:20 past · F",
    "not followed": " !  CALL P2 not followed for 0:40 · MA",
    "edge at risk": " !! EDGE AT RISK P2 · water within 1:10 · MA",
    "joint": " xx JOINT P2 · MA",
}


def ringing(seen: LiveView, since_s: float = 40.0) -> Ringing:
    """What rings over a view that has stood for a while."""
    first, _ = ring(Ringing(), alarms(seen, NOW), NOW - since_s)
    return ring(first, alarms(seen, NOW), NOW)[0]


def scene_of(seen: LiveView, since_s: float = 40.0, **desk: object) -> Scene:
    return settled(Scene(seen, NOW, Desk(ringing=ringing(seen, since_s), **desk), kept_seq=14))  # type: ignore[arg-type]


def painted(scene: Scene, width: int = 80, height: int = 24, pen: Pen = PEN) -> Lines:
    return paint_screen(scene, width, height, pen)


def texts(lines: Lines) -> list[str]:
    return [plain(line) for line in lines]


@pytest.mark.parametrize("name", ROWS)
def test_an_alarm_says_mark_word_what_how_long_and_who(name: str) -> None:
    scene = scene_of(ROWS[name])
    (text,) = texts(paint_alarms(scene, 80, 1, PEN))
    assert text.startswith(TEXTS[name] + "  ")
    assert text.rstrip().endswith("z: seen")


def test_levels_differ_in_mark_and_word_without_colour() -> None:
    heads = [plain(paint_alarms(scene_of(seen), 80, 1, PEN)[0])[:18] for seen in ROWS.values()]
    assert len(set(heads)) == len(heads)


@pytest.mark.parametrize("seen", [view(call("joint"), MANY), view(call(), BUSY)], ids=["many", "busy"])
@pytest.mark.parametrize(("width", "height"), SIZES)
def test_rows_are_as_wide_as_the_screen_and_the_lanes_give_up_none(
    seen: LiveView, width: int, height: int
) -> None:
    calm, alarmed = (
        painted(settled(Scene(seen, NOW, kept_seq=14)), width, height),
        painted(scene_of(seen), width, height),
    )
    assert {line_width(line) for line in alarmed} == {width}
    above = arrange(width, height, len(seen.crew)).above
    assert alarmed[:above] == calm[:above]


@pytest.mark.parametrize(("width", "height"), [(60, 20), (80, 24), (120, 36), (200, 60)])
def test_nothing_but_the_last_rows_above_the_message_gives_way(width: int, height: int) -> None:
    seen = view(hold(), MANY)
    calm, alarmed = (
        painted(settled(Scene(seen, NOW, kept_seq=14)), width, height),
        painted(scene_of(seen), width, height),
    )
    changed = [n for n, (a, b) in enumerate(zip(calm, alarmed, strict=True)) if a != b]
    assert changed == [*range(height - FOOT - MOST, height - FOOT), height - 1]


def test_the_first_alarm_keeps_its_place_when_another_comes() -> None:
    one, two = ROWS["late"], view(hold(), (*ROWS["late"].rows, row("P3.1", "float", "due", 50)))
    places = [
        next(n for n, text in enumerate(texts(painted(scene_of(seen)))) if text.startswith(TEXTS["late"]))
        for seen in (one, two)
    ]
    assert places == [24 - FOOT - MOST] * 2


def test_what_was_said_stands_below_the_alarms() -> None:
    scene = scene_of(ROWS["late"])
    scene = replace(scene, desk=scene.desk.said(say("start.a_skin"), NOW))
    shown = texts(painted(scene))
    assert shown[-FOOT - 2].startswith(TEXTS["late"])
    assert shown[-FOOT - 1].startswith(" Wet mix burns")


def test_the_worst_come_first_and_the_rest_are_counted() -> None:
    seen = view(call("joint"), MANY)
    first, second = texts(painted(scene_of(seen, 5.0)))[-FOOT - MOST : -FOOT]
    assert first.startswith(" xx JOINT P2")
    assert second.startswith(" xx LOST broom")
    pressing = len(alarms(seen, NOW))
    assert f"+{pressing - MOST} more" in second


@pytest.mark.parametrize("look", LOOKS)
def test_every_style_is_in_every_look(look: str) -> None:
    for seen in ROWS.values():
        assert {style for line in painted(scene_of(seen)) for _, style in line} <= set(LOOKS[look])


def test_a_plain_terminal_gets_ascii_alone() -> None:
    for seen in ROWS.values():
        assert "".join(texts(painted(scene_of(seen), pen=replace(PEN, glyphs=ASCII)))).isascii()


def test_hostile_names_are_made_harmless() -> None:
    seen = view(call("joint", pour=HOSTILE, who=HOSTILE), (row(HOSTILE, "broom", "lost", -5),))
    for text in texts(painted(scene_of(seen))):
        assert text.isprintable()


def test_a_page_of_help_loses_no_line_to_an_alarm() -> None:
    seen = view(hold(), MANY)
    lines = "".join(
        text for page in range(1, 9) for text in texts(painted(scene_of(seen, page=page), 80, 24))
    )
    for action in ("mute", "quit", "trial", "find"):
        assert WORDS(f"help.{action}")[:30] in lines


def pressed(scene: Scene, *keys: str) -> Scene:
    for n, key in enumerate(keys):
        outcome = press(scene, WORDS, Press(key, key if len(key) == 1 else None, 100.0 + n))
        assert outcome.intent is None
        scene = settled(replace(scene, desk=outcome.desk))
    return scene


def test_z_answers_what_is_in_sight_and_shows_what_stood_behind() -> None:
    scene = scene_of(view(hold(), MANY))
    count = len(scene.alarms)
    answered = pressed(scene, "z")
    assert answered.alarms == scene.alarms[MOST:]
    assert len(pressed(scene, *["z"] * -(-count // MOST)).alarms) == 0


def test_on_the_board_z_answers_the_one_in_sight() -> None:
    scene = scene_of(view(hold(), MANY), board=True)
    seen = texts(painted(scene))
    assert f"+{len(scene.alarms) - 1} more" in seen[-FOOT]
    assert pressed(scene, "z").alarms == scene.alarms[1:]


# second key, seconds without sound
MUTES = [("1", 60.0), ("2", float("inf")), ("3", 0.0)]


@pytest.mark.parametrize(("second", "for_s"), MUTES)
def test_minus_and_a_second_key_turn_the_sound_off_and_on(second: str, for_s: float) -> None:
    assert pressed(scene_of(view()), "minus", second).muted_s == for_s


def test_minus_alone_asks_and_mutes_nothing() -> None:
    scene = pressed(scene_of(view(hold(), BUSY)), "minus")
    assert scene.muted_s == 0.0
    assert "1 mute 60 s  2 mute until turned on  3 sound on" in "\n".join(texts(painted(scene)))


def test_muting_works_read_only() -> None:
    scene = replace(scene_of(view()), read_only=True)
    assert pressed(scene, "minus", "1").muted_s == 60.0


@pytest.mark.parametrize(("width", "height"), [(60, 20), (80, 24), (200, 60)])
@pytest.mark.parametrize(("second", "words"), [("1", "MUTED 1:00"), ("2", "MUTED ")])
def test_muted_is_always_in_sight_and_for_how_long(second: str, words: str, width: int, height: int) -> None:
    scene = pressed(scene_of(view(hold(), BUSY)), "minus", second)
    assert words in plain(painted(scene, width, height)[-1])
    assert words in plain(painted(replace(scene, read_only=True), width, height)[-1])


def test_a_mute_is_over_by_itself() -> None:
    scene = pressed(scene_of(view()), "minus", "1")
    assert scene.desk.next_change(NOW + 30) == NOW + 60
    over = replace(scene, now=NOW + 60)
    assert over.muted_s == 0.0
    assert "MUTED" not in plain(painted(over)[-1])


def test_on_a_fast_clock_a_mute_lasts_a_minute_of_the_ears() -> None:
    scene = pressed(scene_of(view(), pace=10.0), "minus", "1")
    assert scene.muted_s == 600.0
    assert "MUTED 1:00" in plain(painted(scene)[-1])


class Stage:
    """A console over a made-up day whose bells are counted."""

    def __init__(self, session: FakeSession) -> None:
        self.session, self.bells = session, 0
        self.app = ConsoleApp(lambda: session, "made-up day", WORDS)
        self.app.bell = self._bell  # type: ignore[method-assign]

    def _bell(self) -> None:
        self.bells += 1

    def go(self, seconds: int, seen: LiveView | None = None) -> None:
        if seen is not None:
            self.session.seen = seen
        for _ in range(seconds):
            self.session.clock.advance(1.0)
            self.app.tick()

    async def press(self, *keys: str) -> None:
        for n, key in enumerate(keys):
            event = events.Key(key, key if len(key) == 1 else None)
            event.time += n
            await self.app.on_event(event)

    @property
    def shown(self) -> str:
        return "\n".join(texts(self.app.painted.lines))


@asynccontextmanager
async def console(seen: LiveView) -> AsyncIterator[tuple[Stage, Pilot[int]]]:
    stage = Stage(FakeSession(seen))
    async with stage.app.run_test(size=(80, 24)) as pilot:
        await stage.app.workers.wait_for_complete()
        await pilot.pause()
        yield stage, pilot


async def test_bells_ring_once_a_look_and_once_an_alarm() -> None:
    async with console(view(hold(), (row(),))) as (stage, _):
        stage.go(5)
        assert stage.bells == 0
        stage.go(1, ROWS["due"])
        assert stage.bells == 1
        assert "DUE first trowel P2.1 · " in stage.shown
        stage.go(5)
        assert stage.bells == 1
        stage.go(1, view(call(), MANY))
        assert stage.bells == 2
        stage.go(1)
        assert stage.bells == 2


async def test_an_answered_alarm_leaves_the_screen_and_a_stamped_one_as_well() -> None:
    async with console(view(hold(), (row(),))) as (stage, _):
        stage.go(5)
        stage.go(3, ROWS["late"])
        assert "!! LATE first trowel P2.1" in stage.shown
        assert "z: seen" in stage.shown
        await stage.press("z")
        assert "z: seen" not in stage.shown
        stage.go(3, ROWS["lost"])
        assert "xx LOST first trowel P2.1" in stage.shown
        assert stage.bells == 2
        stage.go(1, view(hold(), (row(),)))
        assert "z: seen" not in stage.shown


async def test_muted_the_app_is_silent_and_says_so() -> None:
    async with console(view(hold(), (row(),))) as (stage, _):
        stage.go(5)
        await stage.press("minus", "2")
        stage.go(5, ROWS["late"])
        assert stage.bells == 0
        assert "MUTED" in stage.shown
        await stage.press("minus", "3")
        assert "MUTED" not in stage.shown
        stage.go(3, ROWS["lost"])
        assert stage.bells == 1


async def test_a_day_opened_late_rings_once() -> None:
    async with console(view(call("joint"), MANY)) as (stage, _):
        stage.go(10)
        assert stage.bells == 1


async def test_a_program_that_cannot_start_is_told_on_the_message_line() -> None:
    async with console(view(hold(), (row(),))) as (stage, _):
        from tui.sound.outlet import Outlet

        def broken(*_: object) -> None:
            raise FileNotFoundError(2, "no such program")

        stage.app._outlet = Outlet(stage.app.bell, ("horn",), broken)  # type: ignore[arg-type]
        stage.go(5)
        stage.go(1, ROWS["late"])
        assert "The sound command horn failed" in stage.shown
        assert stage.bells == 1
