"""The after screen: what is painted at every size, what each key asks for or begins to type, clocks of running work in sight.

Limits shown: 2010 ADA Standards 403.3 (in reproduction); the wet cure's times are start values of the program.
"""

from __future__ import annotations

import os
from dataclasses import replace
from functools import cache
from pathlib import Path
from typing import Any
from zoneinfo import ZoneInfo

import pytest

from engine.clock import HandClock
from engine.console.following import open_following
from engine.console.ground import read_day
from engine.job.files import practice_by_key, read_words
from engine.pour import intents as i
from engine.pour.after_view import AfterView
from engine.pour.around.after_page import after_page
from engine.pour.body import Body
from engine.pour.events import Opened
from engine.pour.live import live_view
from engine.pour.measured import ChangeOrdered, LookMade, SlopeRead
from engine.pour.planning import quick_plan
from engine.words import Words
from tests.pour.driving import Drive
from tests.pour.test_around import filled, typed
from tests.tui.days import HOSTILE, TEXTS, VIEWS, WORDS, ZONE, FakeSession
from tests.tui.test_live import hit, opened
from tests.tui.test_whole_pour_under_pilot import START, Tailgate, begin, tailgate
from tui.actions import BY_ID as LIVE
from tui.after.keys import AFTER
from tui.after.marker import PAGES, key_marked
from tui.after.screen import moved, paint_after
from tui.after.when import when
from tui.desk import ASK_S, AfterDesk, Ask, Desk, Entry
from tui.glyphs import ASCII
from tui.keymap import bound, keymap
from tui.looks import LOOKS
from tui.paint.pen import Pen
from tui.paint.runs import line_width, plain
from tui.plan.keys import SHARED
from tui.press import Outcome, Press, press
from tui.scene import Scene, settled
from tui.watched import Watched

PEN = Pen(WORDS, zone=ZoneInfo(ZONE))
SPANISH = replace(PEN, words=Words(read_words("es")))
KEPT_SIZES = [(60, 20), (80, 24), (120, 36), (200, 60)]
SIZES = [*KEPT_SIZES, (40, 12), (30, 8), (80, 10), (20, 5), (1, 1)]
FRAMES = Path(__file__).parents[1] / "data" / "frames"
RENEW = "RENEW_FRAMES"
CLOCK = "10:01:00"


def under_way() -> Drive:
    """P1 finished and bare for half an hour, P2 in its vessel, a slope over its limit, an order open, P5 left."""
    drive = filled()
    drive.do("09:26:00", i.AddWater("P2", "MA"))
    typed(drive, "09:30:00", "slope P1 run 5.6 cross 1.4 at top")
    typed(drive, "09:30:00", "change P3 depths 3.5 3.5 price 60 because bad concrete went deeper")
    drive.do("09:32:00", i.SkipNext("P5")).do("09:33:00", i.UncoverPour("P1"))
    return drive


@cache
def views(name: str = "under way") -> tuple[Any, AfterView, float]:
    """Live view, after view and moment of a day: under way, or before the first bag."""
    drive = {"under way": under_way, "fresh": lambda: Drive(filled().job)}[name]()
    moment = drive.moment(CLOCK if name == "under way" else "08:00:00")
    view = live_view(drive.journal, moment, quick_plan(moment))
    return view, after_page(moment, practice_by_key()), moment.at


def scene_of(name: str = "under way", after: AfterDesk | None = None, **changes: Any) -> Scene:
    view, page, at = views(name)
    return Scene(view, at, Desk(after=after or AfterDesk()), kept_seq=99, after=page, **changes)


def on(page: str, **changes: Any) -> AfterDesk:
    return AfterDesk(page=PAGES.index(page), **changes)


def painted(scene: Scene, width: int = 80, height: int = 24, pen: Pen = PEN) -> list[str]:
    return [plain(line) for line in paint_after(scene, width, height, pen)]


def shown(scene: Scene, width: int = 80, height: int = 24, pen: Pen = PEN) -> str:
    return "\n".join(painted(scene, width, height, pen))


def clock(at: float | None) -> str:
    assert at is not None
    return PEN.clock(at, seconds=False)


# painted


@pytest.mark.parametrize("size", SIZES)
@pytest.mark.parametrize("day", ["under way", "fresh"])
@pytest.mark.parametrize("page", [*PAGES, "help"])
def test_every_page_fills_exactly_the_screen(page: str, day: str, size: tuple[int, int]) -> None:
    desk = AfterDesk(help=1) if page == "help" else on(page)
    for pen in (PEN, SPANISH):
        lines = paint_after(scene_of(day, desk), *size, pen)
        assert len(lines) == size[1]
        assert {line_width(line) for line in lines} == {size[0]}
        assert not any("could not be drawn" in plain(line) for line in lines)
        assert {style for line in lines for _, style in line} <= set(LOOKS["plain"])


@pytest.mark.parametrize("size", KEPT_SIZES)
@pytest.mark.parametrize("page", PAGES)
def test_the_after_screen_looks_as_it_was_agreed(page: str, size: tuple[int, int]) -> None:
    """Pinned frames of our own painters: a change here is to be looked at, not a fault in itself."""
    path = FRAMES / f"after-{page}-{size[0]}x{size[1]}.txt"
    found = "\n".join(line.rstrip() for line in painted(scene_of(after=on(page)), *size)) + "\n"
    if os.environ.get(RENEW):
        path.write_text(found, encoding="utf-8")
    assert found == path.read_text(encoding="utf-8")


@pytest.mark.parametrize("size", KEPT_SIZES)
@pytest.mark.parametrize("page", PAGES)
def test_call_and_running_pass_stay_on_top_and_dry_pours_at_the_head_of_every_page(
    page: str, size: tuple[int, int]
) -> None:
    call, running, head = painted(scene_of(after=on(page)), *size)[:3]
    assert call.startswith(" MIX NOW P2")
    assert running.startswith(" mix P2.1 +29:54")
    assert "WET NOW: P1" in head


def test_a_pour_that_is_dry_is_said_so_loud_with_the_time_that_went_by() -> None:
    lines = paint_after(scene_of(), 80, 24, PEN)
    dry = next(line for line in lines if plain(line).startswith(">P1"))
    assert "WET NOW +20:00" in plain(dry)  # last stroke 09:21, in shade 20 min
    assert dry[0][1] == "late"
    assert any("WET IT NOW, it was due at 09:41" in plain(line) for line in lines)


def test_the_time_to_the_next_wetting_counts_down_without_a_new_view() -> None:
    view, page, at = views()
    wet = replace(page.care[0], wet_next=at + 80.0)
    for later, told in ((0.0, "in 1:20"), (30.0, "in 0:50"), (81.0, "WET NOW +0:01")):
        scene = Scene(view, at + later, Desk(after=AfterDesk()), after=replace(page, care=(wet,)))
        assert told in shown(scene)


@pytest.mark.parametrize(
    ("changes", "cell", "told"),
    [
        ({"wet_next": None}, "lasts", "lasts until its wet cure is over at {until}"),
        ({"wet_until": views()[2] - 1.0}, "over", "Wet cure over at 10:00"),
        (
            {"last_stroke": None, "wet_until": None, "wet_next": None, "opens": ()},
            "worked on",
            "count from its last",
        ),
    ],
)
def test_a_cure_that_ends_is_over_or_has_not_begun_says_so(
    changes: dict[str, Any], cell: str, told: str
) -> None:
    view, page, at = views()
    one = replace(page.care[0], **changes)
    text = shown(Scene(view, at, Desk(after=AfterDesk()), after=replace(page, care=(one,))))
    assert cell in next(row for row in text.splitlines() if row.startswith(">P1"))
    assert told.format(until=clock(page.care[0].wet_until)) in " ".join(text.split())
    assert "WET NOW" not in text


def test_openings_stand_with_spread_reason_and_the_labels_own_time() -> None:
    _, page, _ = views()
    text = " ".join(shown(scene_of(), 120, 36).split())
    for one in page.care[0].opens:
        spread = f"({clock(one.early)} to {clock(one.late)})"
        assert f"{one.to}: {clock(one.at)} {spread}, P1.1, slower than the label's time" in text
        assert f"after the tip, not before {clock(one.label_at)}." in text
    assert "Label: 1:00:00 after the tip, not before 10:02." in text


def test_cover_first_night_and_coating_are_told_of_the_marked_pour() -> None:
    view, page, at = views()
    one = replace(page.care[0], cover="sheet", cover_since=at - 60.0)
    scene = Scene(view, at, Desk(after=AfterDesk()), after=replace(page, care=(one,)))
    text = " ".join(shown(scene, 120, 36).split())
    until = clock(one.wet_until)
    assert f"Under a sheet since 10:00. It stays on until the wet cure is over at {until}." in text
    assert "First night: The forecast shows no frost" in text
    assert "old enough on 2026-12-03; its own label may ask for more" in text
    assert "labels, the local code and licensed practice go first" in text


def test_a_pour_opened_says_so_in_place_of_its_time() -> None:
    view, page, at = views()
    wheels = clock(page.care[0].opens[1].at)
    for opened_, cells in (("feet", ["opened", wheels]), ("wheels", ["opened", "opened"])):
        one = replace(page.care[0], state="open", opened=opened_, opened_at=at)
        text = shown(Scene(view, at, Desk(after=AfterDesk()), after=replace(page, care=(one,))))
        row = next(row for row in text.splitlines() if row.startswith(">P1"))
        assert [word for word in row.split() if word in ("opened", wheels)] == cells


def test_a_check_says_its_verdict_what_is_asked_for_and_who_asks() -> None:
    lines = paint_after(scene_of(after=on("checks")), 80, 24, PEN)
    over = next(line for line in lines if plain(line).startswith(">P1"))
    assert "over" in plain(over)
    assert "at most 1:20" in plain(over)
    assert "5.6 % (1:17.9)" in plain(over)
    assert over[0][1] == "bad"
    text = " ".join(plain(line) for line in lines)
    assert "(ADA Standards for Accessible Design, 2010, 403.3)" in text
    assert "The local code decides." in text


def test_checks_are_counted_at_the_head_once_nothing_is_dry() -> None:
    view, page, at = views()
    wet = tuple(replace(one, wet_next=at + 60.0) for one in page.care)
    scene = Scene(view, at, Desk(after=on("checks")), after=replace(page, care=wet))
    assert "not read: 4, outside: 1" in painted(scene)[2]


def test_a_limit_of_the_job_is_not_put_on_a_standard() -> None:
    view, page, at = views()
    own = replace(page.checks[0], source=None)
    text = shown(Scene(view, at, Desk(after=on("checks")), after=replace(page, checks=(own,))))
    assert "Asked for: at most 1:20, as this job says." in text
    assert "ADA" not in text


def test_change_orders_stand_with_sums_and_say_how_one_is_agreed() -> None:
    text = " ".join(shown(scene_of(after=on("changes"))).split())
    assert "OPEN 60.00 USD +1 09:30" in text
    assert "agreed 0.00, open 60.00 USD" in text
    assert "change P3 depths 3.5 3.5 price 60 by _ because bad concrete went deeper" in text


def test_visits_stand_with_day_and_tasks_and_an_overdue_one_is_loud() -> None:
    view, page, at = views()
    text = shown(scene_of(after=on("visits")))
    assert "2026-11-06 in 1 day" in text
    assert "no day yet" in text
    assert "- Sound for hollow spots" in text
    late = replace(page.visits[0], overdue=True, day=page.today.replace(day=3))
    lines = paint_after(
        Scene(view, at, Desk(after=on("visits")), after=replace(page, visits=(late,))), 80, 24, PEN
    )
    row = next(line for line in lines if plain(line).startswith(">2026-11-03"))
    assert "OVERDUE 2 days" in plain(row)
    assert row[0][1] == "late"


def test_hostile_names_stay_in_their_cells() -> None:
    view, page, at = views()
    bad = AfterView(
        care=tuple(replace(one, id=HOSTILE[:12], where=HOSTILE) for one in page.care),
        checks=tuple(replace(one, pour=HOSTILE[:12], spot=HOSTILE, tail=HOSTILE) for one in page.checks),
        changes=tuple(
            replace(one, pour=HOSTILE[:9], reason=HOSTILE, initials=HOSTILE) for one in page.changes
        ),
        sums=replace(page.sums, currency=HOSTILE),
        visits=tuple(replace(one, pours=(HOSTILE,)) for one in page.visits),
        today=page.today,
    )
    for name in PAGES:
        lines = paint_after(Scene(view, at, Desk(after=on(name)), after=bad), 80, 24, PEN)
        assert {line_width(line) for line in lines} == {80}
        assert not any(sign in plain(line) for line in lines for sign in "\x1b\x07\u202e")


@pytest.mark.parametrize("page", PAGES)
def test_a_plain_terminal_gets_plain_signs_only(page: str) -> None:
    pen = replace(PEN, glyphs=ASCII)
    assert all(line.isascii() for line in painted(scene_of(after=on(page)), 120, 36, pen))


def test_what_does_not_fit_is_moved_on_to_and_no_further_than_to_its_end() -> None:
    first = painted(scene_of(), 60, 20)
    assert any("rows more: right" in row for row in first)
    far = moved(scene_of(after=AfterDesk(scroll=999)), 60, 20, PEN)
    assert far.desk.after is not None
    assert 0 < far.desk.after.scroll < 30
    assert "uses it." in shown(far, 60, 20)
    assert shown(far, 60, 20) == shown(scene_of(after=AfterDesk(scroll=999)), 60, 20)


@pytest.mark.parametrize("page", PAGES)
def test_a_page_without_rows_says_why(page: str) -> None:
    view, found, at = views("fresh")
    empty = replace(found, care=(), checks=(), changes=(), visits=())
    text = shown(Scene(view, at, Desk(after=on(page)), after=empty))
    assert TEXTS[f"after.no_{'care' if page == 'cure' else page}"] in text
    assert TEXTS["after.none"] in shown(Scene(view, at, Desk(after=on(page))))


def test_nothing_is_called_safe_approved_or_guaranteed() -> None:
    for name in PAGES:
        text = shown(scene_of(after=on(name)), 200, 60).casefold()
        assert not any(word in text for word in ("safe", "approved", "guarantee"))


@pytest.mark.parametrize(
    ("days", "told"),
    [
        (0, "10:01"),
        (1, "10:01 +1d"),
        (6, "10:01 +6d"),
        (7, "2026-11-12"),
        (-1, "10:01 -1d"),
        (28, "2026-12-03"),
    ],
)
def test_a_moment_of_another_day_says_so(days: int, told: str) -> None:
    at = views()[2]
    assert when(at + days * 86400.0, at, PEN) == told
    assert when(None, at, PEN) == when(float("inf"), at, PEN) == "-"


# keys


def test_no_key_means_two_things_and_each_has_label_and_help() -> None:
    keys = [key for action in AFTER for key in bound(action.keys)]
    assert len(keys) == len(set(keys))
    for action in AFTER:
        assert TEXTS[f"action.{action.id}"]
        assert TEXTS[f"help.{action.id}"]
        if action.second:
            assert f"ask.{action.id.replace('.', '_')}" in TEXTS
    assert not {key for name in SHARED for key in LIVE[name].keys} & set(keys)


def pressed(scene: Scene, key: str) -> Outcome:
    return press(scene, WORDS, Press(key, key if len(key) == 1 else None, 100.0))


def keyed(scene: Scene, *keys: str) -> tuple[Scene, Outcome]:
    """The screen and the outcome after some keys."""
    outcome = Outcome(scene.desk)
    for key in keys:
        outcome = pressed(scene, key)
        scene = replace(scene, desk=outcome.desk)
    return scene, outcome


def test_full_stop_opens_it_and_closes_it_again() -> None:
    closed = replace(scene_of(), desk=Desk(board=True))
    opened_ = pressed(closed, "full_stop").desk
    assert opened_.after == AfterDesk()
    for key in ("full_stop", "q"):
        left = pressed(replace(closed, desk=opened_), key).desk
        assert left.after is None
        assert left.board


def test_tab_turns_through_the_pages_on_the_same_pour() -> None:
    view, page, at = views()
    two = replace(page, care=(page.care[0], replace(page.care[0], id="P3")))
    scene = Scene(view, at, Desk(after=AfterDesk(picked=("P3",))), after=two)
    seen = []
    for _ in PAGES:
        seen.append((scene.desk.after and PAGES[scene.desk.after.page], key_marked(scene)[0]))
        scene, _out = keyed(scene, "tab")
    assert seen[:3] == [("cure", "P3"), ("checks", "P3"), ("changes", "P3")]
    assert scene.desk.after is not None
    assert (scene.desk.after.page, key_marked(scene)[0]) == (0, "P3")


def test_arrows_pick_a_row_and_go_round() -> None:
    scene, _ = keyed(scene_of(after=on("checks")), "down", "down")
    assert key_marked(scene) == ("P1", "lip", "")
    scene, _ = keyed(scene_of(after=on("checks")), "up")
    assert key_marked(scene) == ("P7", "readiness", "")


def test_the_marker_stays_on_a_check_whose_reading_gets_a_spot() -> None:
    view, page, at = views()
    scene = Scene(view, at, Desk(after=on("checks", picked=("P1", "running slope", "foot"))), after=page)
    assert key_marked(scene) == ("P1", "running slope", "top")


@pytest.mark.parametrize(
    ("keys", "wanted"),
    [
        (("o",), i.SoakPour("P1")),
        (("c", "1"), i.CoverPour("P1", "sheet")),
        (("c", "2"), i.CoverPour("P1", "blanket")),
        (("c", "3"), i.UncoverPour("P1")),
        (("f", "1"), i.OpenPour("P1", "feet")),
        (("f", "2"), i.OpenPour("P1", "wheels")),
        (("tab", "o"), i.SoakPour("P1")),
        (("backspace",), i.Undo()),
        (("u",), i.Undo()),
    ],
)
def test_each_key_asks_for_the_pour_under_the_marker(keys: tuple[str, ...], wanted: i.Intent) -> None:
    assert keyed(scene_of(), *keys)[1].intent == wanted


@pytest.mark.parametrize(
    ("page", "picked", "text", "tail"),
    [
        ("cure", ("P1",), "coat P1 ", ""),
        ("checks", ("P1", "running slope", "top"), "slope P1 run ", " at top"),
        ("checks", ("P1", "lip", ""), "lip P1 ", ""),
        ("checks", ("P3", "readiness", ""), "tick P3 ", ""),
        ("changes", ("P3",), "change P3 depths 3.5 3.5 price 60 by ", " because bad concrete went deeper"),
        ("changes", ("P4", "None"), "change P4 depths ", ""),
        ("visits", ("7 day",), "looked 7 day", ""),
        ("visits", ("later pours",), "visit 2 on ", ""),
    ],
)
def test_the_line_of_a_row_is_begun_so_far_that_only_what_was_read_is_missing(
    page: str, picked: tuple[str, ...], text: str, tail: str
) -> None:
    scene, _ = keyed(scene_of(after=on(page, picked=picked)), "r")
    assert scene.desk.entry == Entry("reading", text, tail=tail)
    assert f"{text}_{tail}"[:60].rstrip() in painted(scene)[-2]


def test_what_is_typed_goes_between_both_ends_of_the_line_and_nothing_typed_is_nothing_said() -> None:
    scene, _ = keyed(scene_of(after=on("checks")), "r")
    typed_, done = keyed(scene, "7", "enter")
    assert done.reading == "slope P1 run 7 at top"
    assert typed_.desk.after is not None
    nothing = pressed(scene, "enter")
    assert (nothing.reading, nothing.desk.entry) == (None, None)


def test_a_note_is_for_the_pour_and_a_free_line_for_anything() -> None:
    scene, _ = keyed(scene_of(), "e")
    assert scene.desk.entry == Entry("note", key="P1")
    scene, _ = keyed(scene_of(), "w")
    assert scene.desk.entry == Entry("reading")
    assert keyed(scene, *"air", "enter")[1].reading == "air"


def test_keys_without_a_pour_or_a_line_say_no() -> None:
    cases = [
        ("changes", (), "o"),
        ("visits", (), "c"),
        ("checks", ("P3", "readiness"), "f"),
        ("checks", ("P2", "readiness"), "r"),
    ]
    for page, picked, key in cases:
        outcome = pressed(scene_of(after=on(page, picked=picked)), key)
        assert outcome.intent is None
        assert outcome.desk.entry is None
        assert outcome.desk.message is not None
        assert outcome.desk.message.bad


def test_a_screen_that_reads_along_writes_nothing_and_turns_its_pages() -> None:
    scene = scene_of(read_only=True)
    for key in ("o", "c", "f", "r", "w", "e", "space"):
        outcome = pressed(scene, key)
        assert outcome.intent is None
        assert outcome.desk.entry is None
    turned = pressed(scene, "tab").desk.after
    assert turned is not None
    assert turned.page == 1


def test_a_question_waits_in_the_message_line_and_is_forgotten_after_a_while() -> None:
    scene, _ = keyed(scene_of(), "c")
    assert painted(scene)[-2].startswith(" P1 covered with? 1 sheet  2 blanket  3 bare")
    assert pressed(scene, "c").desk.after == scene.desk.after
    never = pressed(scene, "k")
    assert never.intent is None
    assert never.desk.after is not None
    assert never.desk.after.ask is None
    late = settled(replace(scene, now=scene.now + ASK_S + 0.1))
    assert late.desk.after is not None
    assert late.desk.after.ask is None
    assert scene.desk.next_change(scene.now) == pytest.approx(scene.now + ASK_S)
    assert scene.desk.after == AfterDesk(picked=("P1",), ask=Ask("aftercare.cover", "P1", scene.now + ASK_S))


def test_space_and_enter_are_for_the_lines_on_top() -> None:
    scene = scene_of()
    calm = replace(scene, desk=replace(scene.desk, shown="P2.1", shown_at=scene.now - 60.0))
    assert keyed(calm, "space")[1].intent == i.Advance("P2.1")
    assert isinstance(keyed(calm, "enter")[1].intent, i.CallBag)


def test_keys_of_the_live_screen_that_are_none_of_this_one_do_nothing() -> None:
    for key in ("n", "k", "x", "v", "y", "m", "t", "g", "b", "comma"):
        outcome = pressed(scene_of(), key)
        assert outcome.intent is None
        assert outcome.desk.corner is not None
        assert outcome.desk.after is not None


def test_help_names_every_key_and_turns_on() -> None:
    scene, texts = scene_of(), ""
    for _ in range(4):
        scene, _out = keyed(scene, "question_mark")
        texts += shown(scene)
    told = " ".join(texts.split())
    assert all(
        name in told for name in (" tab ", "wetted just now", "only what was read is missing", " back ")
    )
    closed, _ = keyed(scene, "up")
    assert closed.desk.after is not None
    assert closed.desk.after.help == 0


def test_moved_keys_are_named_and_followed() -> None:
    keys = keymap({"aftercare.soaked": ("v",)})
    scene = scene_of()
    assert press(scene, WORDS, Press("v", "v", 100.0), keys).intent == i.SoakPour("P1")
    assert press(scene, WORDS, Press("o", "o", 100.0), keys).intent is None
    assert "v wetted now" in shown(scene, pen=replace(PEN, keys=keys))


# the live day behind it


def test_it_is_asked_for_only_while_it_is_open_and_a_fault_of_it_leaves_the_clocks() -> None:
    live, session = opened("busy and late")
    assert isinstance(session, FakeSession)
    session.finished = views()[1]
    live.take_view()
    assert live.after is None
    hit(live, "full_stop")
    live.take_view()
    assert live.after is session.finished
    session.after_page = lambda: 1 / 0  # type: ignore[assignment,method-assign]
    live.take_view()
    text = "\n".join(plain(line) for line in live.lines(80, 24))
    assert "could not be drawn" in text
    assert "MIX NOW P2" in text.splitlines()[0]
    hit(live, "full_stop")
    live.take_view()
    assert live.after is None


def test_banners_keep_their_rows() -> None:
    view, page, at = views()
    warned = replace(view, banners=VIEWS["warned"].banners)
    assert "half a line" in shown(Scene(warned, at, Desk(after=AfterDesk()), after=page))


# with the engine, the log and the app


async def finished(gate: Tailgate) -> None:
    """P1 filled by one bag and through all its passes."""
    await begin(gate)
    for _ in range(4):
        rows = [row for row in gate.view.rows if row.pour == "P1"]
        if not rows or (rows[0].window is None and rows[0].step.kind != "edge"):
            break
        if rows[0].window is not None:
            await gate.wait(max(0.0, rows[0].window.due - gate.clock.stamp().wall))
        await gate.press("space")


def written(log: Path) -> list[Body]:
    """What a log says, in its order."""
    return [event.body for event in read_day(log)[1]]


async def test_a_finished_pour_is_wetted_covered_and_opened_by_its_keys(tmp_path: Path) -> None:
    log = tmp_path / "day.jsonl"
    async with tailgate(log, HandClock(START)) as gate:
        await finished(gate)
        await gate.press("full_stop")
        assert "AFTER [cure]" in gate.shown
        assert ">P1" in gate.shown
        await gate.wait(1500.0)
        gate.app.tick()
        assert "WET NOW" in gate.shown
        await gate.press("o")
        assert "P1 soaked" in gate.shown
        assert "WET NOW" not in gate.shown
        await gate.press("c", "2")
        assert "Under a blanket" in gate.shown
        await gate.press("backspace")
        assert "taken back" in gate.shown
        assert "No cover noted" in gate.shown
        await gate.press("f", "1")
        assert "expected to bear" in gate.shown
        await gate.press("full_stop")
        assert "AFTER" not in gate.shown
    assert [one.to for one in written(log) if isinstance(one, Opened)] == ["feet"]


async def test_checks_change_orders_and_visits_are_typed_from_where_the_row_begins(tmp_path: Path) -> None:
    log = tmp_path / "day.jsonl"
    async with tailgate(log, HandClock(START)) as gate:
        await finished(gate)
        await gate.press("full_stop", "tab", "r", "4", ".", "6", "enter")
        assert "4.6 % (1:21.7)" in gate.shown
        assert "is within 5.0 % (1:20.0)" in gate.shown
        await gate.press("tab", "r", "3", "space", *"because", "space", "x", "enter")
        assert "OPEN" in gate.shown
        await gate.press("r", "a", "b", "enter")
        assert "OPEN" not in gate.shown
        await gate.press("tab", "r", "enter")
        assert "7 day" in next(row for row in gate.shown.splitlines() if row.startswith(">"))
    bodies = written(log)
    (slope,) = [one for one in bodies if isinstance(one, SlopeRead)]
    orders = [one for one in bodies if isinstance(one, ChangeOrdered)]
    assert (slope.pour, slope.running, slope.when) == ("P1", pytest.approx(0.046), "after")
    assert [(one.pour, one.initials, one.reason) for one in orders] == [("P2", "", "x"), ("P2", "ab", "x")]
    assert LookMade("next day") in bodies


async def test_running_work_goes_on_while_the_page_is_open(tmp_path: Path) -> None:
    async with tailgate(tmp_path / "day.jsonl", HandClock(START)) as gate:
        await begin(gate)
        await gate.press("full_stop")
        top = gate.shown.splitlines()[:2]
        await gate.wait(5.0)
        assert gate.shown.splitlines()[:2] != top
        before = gate.view.rows[0].stage
        await gate.press("space")
        assert gate.view.rows[0].stage != before
        for size in ((80, 24), (120, 36), (200, 60), (60, 20)):
            await gate.pilot.resize_terminal(*size)
            await gate.pilot.pause()
            assert {line_width(line) for line in gate.app.painted.lines} == {size[0]}


async def test_a_follower_sees_it_and_writes_nothing(tmp_path: Path) -> None:
    log, clock = tmp_path / "day.jsonl", HandClock(START)
    async with tailgate(log, clock) as gate:
        await finished(gate)
    before = log.read_bytes()
    watched = Watched(open_following(log, WORDS, clock), PEN, "sun")
    for key in ("full_stop", "o", "c", "r", "tab"):
        watched.follow(Press(key, key if len(key) == 1 else None, 100.0))
        watched.take_view()
    text = "\n".join(plain(line) for line in watched.lines(80, 24))
    assert "AFTER  cure [checks]" in text
    assert ">P1" in text
    assert log.read_bytes() == before
