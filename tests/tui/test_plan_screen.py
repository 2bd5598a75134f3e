"""The plan screen: what is painted at every size, what each key asks for, and that running clocks stay in sight and as they are.

Figures of the take-off are those of `tests/pour/test_plan_edits.py`: a patch of 24 by 18 in, 2 in deep on the mean.
"""

from __future__ import annotations

from dataclasses import replace
from functools import cache
from pathlib import Path
from typing import Any
from zoneinfo import ZoneInfo

import pytest

from engine.clock import HandClock
from engine.console.side_by_side import choices_answered, choices_asked
from engine.pour import intents as i
from engine.pour.around.plan_page import plan_page
from engine.pour.asked import Refused
from engine.pour.live import live_view
from engine.pour.plan_view import PlanView
from engine.pour.planning import quick_plan
from engine.pour.state import new_day
from engine.pour.views import CrewTask
from tests.pour.driving import Drive, library
from tests.pour.test_plan_edits import NOW as CLOCK
from tests.pour.test_plan_edits import PATCH, day_under_way, fresh
from tests.pour.test_shared_bag import job as shared_bag
from tests.tui.days import HOSTILE, TEXTS, VIEWS, WORDS, ZONE, FakeSession
from tests.tui.test_live import hit, opened
from tests.tui.test_whole_pour_under_pilot import START, Tailgate, tailgate
from tui.actions import BY_ID as LIVE
from tui.desk import ASK_S, Ask, Desk, PlanDesk
from tui.glyphs import ASCII
from tui.keymap import bound
from tui.paint.pen import Pen
from tui.paint.runs import Lines, line_width, plain
from tui.plan.choices import Choices, queue_of
from tui.plan.crew import CELLS_S, cell_s, stretches
from tui.plan.keys import PLAN, SHARED
from tui.plan.marker import PAGES, marked
from tui.plan.screen import clamped, paint_plan
from tui.plan.weighing import Weighing
from tui.press import Outcome, Press, press
from tui.scene import Scene, settled

PEN = Pen(WORDS, zone=ZoneInfo(ZONE))
SIZES = [(80, 24), (120, 36), (200, 60), (60, 20), (40, 12), (30, 8), (80, 10)]


@cache
def views(name: str) -> tuple[Any, PlanView, float]:
    """Live view, plan and moment of a day: under way, fresh, with a shared bag, or with a promise that breaks."""
    drive = {"under way": day_under_way, "fresh": fresh, "shared": lambda: Drive(shared_bag())}[name]()
    if name == "shared":
        drive.do(CLOCK, i.AddPour(PATCH), i.AddPour(PATCH))
    moment = drive.moment(CLOCK)
    plan = quick_plan(moment)
    return live_view(drive.journal, moment, plan), plan_page(moment, plan), moment.at


def scene_of(name: str = "under way", plan: PlanDesk | None = None, **changes: Any) -> Scene:
    view, page, at = views(name)
    return Scene(view, at, Desk(plan=plan or PlanDesk()), kept_seq=99, plan=page, **changes)


def painted(scene: Scene, width: int = 80, height: int = 24, pen: Pen = PEN) -> list[str]:
    return [plain(line) for line in paint_plan(scene, width, height, pen)]


def shown(scene: Scene, width: int = 80, height: int = 24) -> str:
    return "\n".join(painted(scene, width, height))


def on(name: str, **changes: Any) -> PlanDesk:
    """The plan screen on a page."""
    return PlanDesk(page=PAGES.index(name), **changes)


# painted


@pytest.mark.parametrize("size", SIZES)
@pytest.mark.parametrize("day", ["under way", "fresh"])
@pytest.mark.parametrize("page", [*PAGES, "help"])
def test_every_page_fills_exactly_the_screen(page: str, day: str, size: tuple[int, int]) -> None:
    desk = PlanDesk(help=1) if page == "help" else on(page)
    lines: Lines = paint_plan(scene_of(day, desk), *size, PEN)
    assert len(lines) == size[1]
    assert {line_width(line) for line in lines} == {size[0]}
    assert not any("could not be drawn" in plain(line) for line in lines)


@pytest.mark.parametrize("size", SIZES)
@pytest.mark.parametrize("page", PAGES)
def test_call_and_most_urgent_pass_stay_on_top_with_their_countdown(page: str, size: tuple[int, int]) -> None:
    first, second = painted(scene_of(plan=on(page)), *size)[:2]
    assert first.startswith(" xx JOINT P2")
    assert second.startswith(" xx LOST first trowel P1.1")
    assert size[0] < 40 or "+1:03" in second


def test_a_hold_counts_down_on_top_as_the_seconds_pass() -> None:
    view, page, _ = views("under way")
    held = replace(view, call=replace(view.call, state="hold", at=view.at + 80.0, latest=None))
    first = painted(Scene(held, view.at, Desk(plan=PlanDesk()), plan=page))[0]
    later = painted(Scene(held, view.at + 30.0, Desk(plan=PlanDesk()), plan=page))[0]
    assert "HOLD P2 1:20" in first
    assert "HOLD P2 0:50" in later


def test_hostile_names_stay_in_their_cells() -> None:
    view, page, at = views("under way")
    rows = tuple(replace(row, where=HOSTILE, flags=(HOSTILE,)) for row in page.rows)
    named = replace(page, rows=(replace(rows[0], id=HOSTILE[:12]), *rows[1:]))
    for place in range(len(PAGES)):
        scene = Scene(view, at, Desk(plan=PlanDesk(page=place)), plan=named)
        lines = paint_plan(scene, 80, 24, PEN)
        assert {line_width(line) for line in lines} == {80}
        assert not any(sign in plain(line) for line in lines for sign in "\x1b\x07\u202e")


def test_a_plain_terminal_gets_plain_signs_only() -> None:
    pen = replace(PEN, glyphs=ASCII)
    for place in range(len(PAGES)):
        assert all(line.isascii() for line in painted(scene_of(plan=PlanDesk(page=place)), 120, 36, pen))


def test_the_queue_says_water_last_stroke_finish_and_flags_of_each_pour() -> None:
    rows = painted(scene_of(), 120, 36)
    third = next(row for row in rows if row.startswith(">P3"))
    assert "1 of 1" in third
    assert "queued" in third
    assert "trowel whole" in third
    assert "tight" in third
    assert any(row.startswith(" P4") and "broom  strips" in row for row in rows)


def test_the_crew_stands_below_along_a_ruler_and_the_marked_pour_is_seen() -> None:
    rows = painted(scene_of())
    ruler = next(n for n, row in enumerate(rows) if row.startswith(" crew"))
    assert "|09:20" in rows[ruler]
    people = rows[ruler + 1 : ruler + 5]
    assert [row.split()[1] for row in people] == ["Lead", "F", "MA", "MB"]
    assert any(">P3" in row for row in people)


def test_somebody_away_is_said_to_be_away() -> None:
    drive = day_under_way().do(CLOCK, i.MarkAway("F"))
    moment = drive.moment(CLOCK)
    plan = quick_plan(moment)
    view = live_view(drive.journal, moment, plan)
    scene = Scene(view, moment.at, Desk(plan=PlanDesk()), plan=plan_page(moment, plan))
    assert any(row.startswith(" 2 F") and "away" in row for row in painted(scene))


def test_who_was_put_on_a_pour_and_its_dose_are_seen_where_there_is_room() -> None:
    drive = fresh().do(CLOCK, i.Assign("F", "P3", "finish"), i.SetDose("P3", 1.5), i.SetDose("P4", None))
    moment = drive.moment(CLOCK)
    plan = quick_plan(moment)
    page = plan_page(moment, plan)
    assert page.rows[2].put_on == (("finish", "F"),)
    assert (page.rows[2].packets, page.rows[2].dose_stated) == (1.5, True)
    assert not page.rows[3].dose_stated
    scene = Scene(live_view(drive.journal, moment, plan), moment.at, Desk(plan=PlanDesk()), plan=page)
    text = shown(scene, 120, 36)
    assert "1 1/2 finish F" in text
    assert "~" in text


def test_the_takeoff_measures_each_pour_and_sums_them() -> None:
    drive = fresh().do(CLOCK, i.AddPour(replace(PATCH, id="X1")))
    moment = drive.moment(CLOCK)
    plan = quick_plan(moment)
    page = plan_page(moment, plan)
    mine, total = page.takeoff[-2], page.takeoff[-1]
    assert mine.area_m2 == pytest.approx(3 * 0.09290304)
    assert mine.volume_m3 == pytest.approx(
        0.5 * 0.028316846592 * (1 + library().practice["takeoff.waste_sawn"])
    )
    assert total.bags == sum(row.bags for row in page.takeoff[:-1])
    scene = Scene(live_view(drive.journal, moment, plan), moment.at, Desk(plan=on("takeoff")), plan=page)
    assert any(row.startswith(" X1") and "3 ft²" in row and "2 in" in row for row in painted(scene))


def test_a_pour_left_for_later_is_bought_no_bags() -> None:
    drive = fresh()
    moment = drive.moment(CLOCK)
    whole = plan_page(moment, quick_plan(moment)).buy.rows[0]
    drive.do(CLOCK, i.SkipNext("P4"))
    moment = drive.moment(CLOCK)
    less = plan_page(moment, quick_plan(moment))
    assert less.buy.rows[0].for_pours == whole.for_pours - 3
    assert less.buy.rows[0].to_mix == whole.to_mix - 3
    assert "P4" not in [row.id for row in less.takeoff]


def test_more_to_mix_than_is_left_is_said_loud() -> None:
    view, page, at = views("under way")
    row = replace(page.buy.rows[0], to_mix=20.0, left=13.0, to_buy=4)
    short = replace(page, buy=replace(page.buy, rows=(row,)))
    lines = paint_plan(Scene(view, at, Desk(plan=on("takeoff")), plan=short), 80, 24, PEN)
    told = next(line for line in lines if "NOT ENOUGH" in plain(line))
    assert "20, on the trailer 13, 7 short" in plain(told)
    assert told[0][1] == "bad"
    assert any("4 MISSING" in plain(line) for line in lines)


def test_cautions_and_last_waters_can_be_moved_on_and_no_further_than_to_the_end() -> None:
    start = shown(scene_of(plan=on("cautions")))
    assert "No order of the work found keeps" in start
    assert "P4 wheels by 15:30: last water 13:10" in start
    far = clamped(scene_of(plan=on("cautions", scroll=999)), 80, 24, PEN)
    assert far.desk.plan is not None
    assert 0 < far.desk.plan.scroll < 60
    assert "at most half needed" in shown(far)
    assert shown(far) == shown(scene_of(plan=on("cautions", scroll=999)))


TABLE = {
    "choices": [
        {
            "text": "as planned",
            "end": "2026-11-05T16:00:00Z",
            "length_s": 3600.0,
            "slack_s": 60.0,
            "usual_slack_s": 42.0,
            "windows_held": True,
            "days": 10,
            "missed_share": 0.4,
            "cost": 273.0,
            "targets": [{"margin_s": 1800.0}],
        },
        {
            "text": "without " + HOSTILE,
            "end": "2026-11-05T17:00:00Z",
            "length_s": 7200.0,
            "slack_s": -5.0,
            "usual_slack_s": None,
            "windows_held": False,
            "days": 10,
            "missed_share": None,
            "cost": None,
            "targets": [{"margin_s": None}],
        },
    ],
    "helps_most": {"text": "one more finisher"},
    "packets": ["A dose of 2 a bag breaks a promise."],
}


def test_choices_stand_side_by_side_as_far_as_they_are_weighed() -> None:
    scene = scene_of(plan=on("choices"))
    assert "c lays choices side by side" in shown(scene)
    found = Choices(queue_of(scene), TABLE)
    text = shown(replace(scene, choices=found))
    assert "10 made-up days each; more are reckoned" in text
    planned = next(row for row in text.splitlines() if row.startswith(" as planned"))
    assert planned.split() == ["as", "planned", "10:00", "60", "0.7", "min", "40%", "273", "30", "min"]
    assert "LATE" in text
    assert "helps most: one more finisher" in text
    assert "breaks a promise" in text
    assert "choices, 10 made-up" in shown(replace(scene, choices=replace(found, going_on=False)))
    assert "weighs anew" in shown(replace(scene, choices=replace(found, queue=())))
    assert "no memory" in shown(replace(scene, choices=replace(found, fault="no memory")))


def test_banners_and_what_was_said_keep_their_rows() -> None:
    view, page, at = views("under way")
    warned = replace(view, banners=VIEWS["warned"].banners)
    desk = Desk(plan=PlanDesk()).said(VIEWS["warned"].call.reason, at)
    text = shown(Scene(warned, at, desk, plan=page))
    assert "half a line" in text
    assert WORDS(VIEWS["warned"].call.reason) in text


def test_without_a_plan_yet_the_page_says_so() -> None:
    view, page, at = views("fresh")
    scene = Scene(view, at, Desk(plan=PlanDesk()), plan=replace(page, rows=()))
    assert TEXTS["plan.no_plan"] in shown(scene)
    assert TEXTS["plan.no_plan"] in shown(replace(scene, plan=None))


# the crew's day


def test_work_on_one_pour_without_a_longer_break_is_one_stretch() -> None:
    tasks = (
        CrewTask("place", "P1", "P1.1", 0.0, 40.0),
        CrewTask("float", "P1", "P1.1", 45.0, 80.0),
        CrewTask("float", "P2", "P2.1", 80.0, 90.0),
        CrewTask("first_trowel", "P2", "P2.1", 400.0, 430.0),
    )
    assert [(one.pour, one.start, one.end) for one in stretches(tasks, 60.0)] == [
        ("P1", 0.0, 80.0),
        ("P2", 80.0, 90.0),
        ("P2", 400.0, 430.0),
    ]


@pytest.mark.parametrize("span_s", [60.0, 600.0, 7200.0, 36000.0, 86400.0, 1e6])
def test_the_whole_day_fits_in_the_strip(span_s: float) -> None:
    step = cell_s(span_s, 71)
    assert step * 71 >= span_s
    assert step in CELLS_S or step > CELLS_S[-1]


# keys


def test_no_key_means_two_things_and_each_has_label_and_help() -> None:
    keys = [key for action in PLAN for key in bound(action.keys)]
    assert len(keys) == len(set(keys))
    for action in PLAN:
        assert TEXTS[f"action.{action.id}"]
        assert TEXTS[f"help.{action.id}"]
        if action.second:
            assert f"ask.{action.id.replace('.', '_')}" in TEXTS
    assert all(name in LIVE for name in SHARED)
    assert not {key for name in SHARED for key in LIVE[name].keys} & set(keys)


def pressed(scene: Scene, key: str) -> Outcome:
    return press(scene, WORDS, Press(key, key if len(key) == 1 else None, 100.0))


def asked(scene: Scene, *keys: str) -> i.Intent | None:
    """What the last of some keys asks for, the screen following each."""
    outcome = None
    for key in keys:
        outcome = pressed(scene, key)
        scene = replace(scene, desk=outcome.desk)
    assert outcome is not None
    return outcome.intent


def test_comma_opens_the_plan_and_closes_it_again() -> None:
    closed = replace(scene_of(), desk=Desk())
    opened_ = pressed(closed, "comma").desk
    assert opened_.plan == PlanDesk()
    for key in ("comma", "q"):
        assert pressed(replace(closed, desk=opened_), key).desk.plan is None


def test_tab_turns_through_the_pages_and_choices_are_weighed_when_first_seen() -> None:
    scene, turned = scene_of(), []
    for _ in PAGES:
        outcome = pressed(scene, "tab")
        scene = replace(scene, desk=outcome.desk)
        assert scene.desk.plan is not None
        turned.append((PAGES[scene.desk.plan.page], outcome.weigh))
    assert turned == [("takeoff", False), ("cautions", False), ("choices", True), ("queue", False)]
    weighed = replace(scene_of(plan=on("cautions")), choices=Choices())
    assert not pressed(weighed, "tab").weigh
    assert pressed(scene_of(plan=on("choices")), "c").weigh
    assert not pressed(scene_of(), "c").weigh


@pytest.mark.parametrize(
    ("picked", "keys", "wanted"),
    [
        ("P5", ("e",), i.MovePour("P5", "P4")),
        ("P5", ("left",), i.MovePour("P5", "P4")),
        ("P5", ("l",), i.MovePour("P5", "P7")),
        ("P6", ("right",), i.MovePour("P6", "")),
        ("P4", ("up", "l"), i.MovePour("P3", "P5")),
        ("P5", ("s",), i.SkipNext("P5")),
        ("P5", ("j", "1"), i.SplitPour("P5", 0.5)),
        ("P5", ("j", "4"), i.SplitPour("P5", 0.25)),
        ("P2", ("j", "y"), i.SplitPour("P2")),
        ("P5", ("f", "1"), i.SetFinish("P5", "trowel")),
        ("P5", ("f", "2"), i.SetFinish("P5", "float")),
        ("P5", ("p", "1"), i.SetDose("P5", 1.0)),
        ("P5", ("p", "h", "1"), i.SetDose("P5", 1.5)),
        ("P5", ("p", "x"), i.SetDose("P5", None)),
        ("P5", ("1", "1"), i.Assign("Lead", "P5", "place")),
        ("P5", ("2", "2"), i.Assign("F", "P5", "finish")),
        ("P5", ("3", "1"), i.Assign("MA", "P5", "mix")),
        ("P1", ("2",), i.Assign("F", "P1.1", "")),
        ("P5", ("h", "1"), i.LendHand("Lead", "mix")),
        ("P5", ("h", "4"), i.LendHand("MB", "finish")),
    ],
)
def test_each_edit_asks_for_the_pour_under_the_marker(
    picked: str, keys: tuple[str, ...], wanted: i.Intent
) -> None:
    assert asked(scene_of(plan=PlanDesk(picked=picked)), *keys) == wanted


def test_a_pour_of_a_later_visit_is_taken_up_by_the_same_key() -> None:
    view, page, at = views("under way")
    left = replace(
        page, rows=tuple(replace(r, state="later visit") if r.id == "P5" else r for r in page.rows)
    )
    scene = Scene(view, at, Desk(plan=PlanDesk(picked="P5")), plan=left)
    assert asked(scene, "s") == i.TakeUpPour("P5")
    assert "s take up" in shown(scene)


def test_a_pour_goes_past_pours_of_one_bag_in_one_step() -> None:
    scene = scene_of("shared", PlanDesk(picked="A1"))
    assert [row.id for row in views("shared")[1].rows] == ["P1", "P2", "A1", "A2"]
    assert asked(scene, "e") == i.MovePour("A1", "P1")


def test_the_first_pour_goes_no_earlier_and_the_last_no_later() -> None:
    for picked, key in (("P1", "e"), ("P7", "l")):
        outcome = pressed(scene_of("fresh", PlanDesk(picked=picked)), key)
        assert outcome.intent is None
        assert outcome.desk.message is not None
        assert outcome.desk.message.bad


@pytest.mark.parametrize("key", ["e", "l", "s"])
def test_what_is_begun_keeps_its_place(key: str) -> None:
    outcome = pressed(scene_of(plan=PlanDesk(picked="P2")), key)
    assert outcome.intent is None
    assert outcome.desk.message is not None


def test_edits_are_out_of_reach_where_the_queue_is_not_in_sight() -> None:
    for page in ("cautions", "choices"):
        for key in ("e", "s", "a", "f", "p", "2", "h"):
            outcome = pressed(scene_of(plan=on(page, picked="P5")), key)
            assert outcome.intent is None
            assert outcome.desk.entry is None


def test_a_screen_that_reads_along_edits_nothing() -> None:
    scene = scene_of(plan=PlanDesk(picked="P5"), read_only=True)
    for key in ("e", "s", "a", "j", "f", "p", "2", "h", "space"):
        outcome = pressed(scene, key)
        assert outcome.intent is None
        assert outcome.desk.entry is None


def test_a_question_is_asked_in_the_message_line_and_forgotten_after_a_while() -> None:
    scene = scene_of(plan=PlanDesk(picked="P5"))
    asking = replace(scene, desk=pressed(scene, "f").desk)
    assert painted(asking)[-2].startswith(" finish of P5: 1 trowel  2 float")
    never = pressed(asking, "k")
    assert never.intent is None
    assert never.desk.plan is not None
    assert never.desk.plan.ask is None
    late = settled(replace(asking, now=asking.now + ASK_S + 0.1))
    assert late.desk.plan is not None
    assert late.desk.plan.ask is None
    assert asking.desk.next_change(asking.now) == pytest.approx(asking.now + ASK_S)


def test_the_same_key_again_leaves_the_question_and_a_digit_without_a_person_is_told() -> None:
    scene = scene_of(
        plan=PlanDesk(picked="P5", ask=Ask("planning.finish", "P5", views("under way")[2] + 3.0))
    )
    assert pressed(scene, "f").desk.plan == scene.desk.plan
    nobody = pressed(scene_of(), "9")
    assert nobody.intent is None
    assert nobody.desk.corner is not None


def test_a_patch_is_typed_in_one_line() -> None:
    scene = replace(scene_of(), desk=pressed(scene_of(), "a").desk)
    for sign in "24x18 2":
        scene = replace(scene, desk=press(scene, WORDS, Press(sign, sign, 100.0)).desk)
    assert painted(scene)[-2].startswith(" add: 24x18 2_")
    done = press(scene, WORDS, Press("enter", None, 100.0))
    assert done.reading == "add 24x18 2"
    assert done.desk.plan is not None


def test_space_enter_and_undo_are_for_the_lines_on_top() -> None:
    scene = scene_of(plan=PlanDesk(picked="P5"))
    calm = replace(scene, desk=replace(scene.desk, shown="P1.1", shown_at=scene.now - 60.0))
    assert asked(calm, "space") == i.Advance("P1.1")
    assert asked(calm, "enter") == i.CallBag("P2")
    assert asked(calm, "backspace") == i.Undo()
    assert asked(calm, "u") == i.Undo()
    assert "space P1.1 first trowel done" in painted(calm)[-1]


def test_a_row_that_came_up_just_now_is_not_stamped_here_either() -> None:
    scene = scene_of()
    fresh_row = replace(scene, desk=replace(scene.desk, shown="P1.1", shown_at=scene.now - 0.2))
    assert asked(fresh_row, "space") is None


def test_keys_of_the_live_screen_that_are_none_of_the_plans_do_nothing() -> None:
    for key in ("r", "n", "k", "x", "v", "y", "m", "t", "g", "w"):
        outcome = pressed(scene_of(), key)
        assert outcome.intent is None
        assert outcome.desk.corner is not None
        assert outcome.desk.plan is not None


def test_help_names_every_key_of_the_plan_and_turns_on() -> None:
    scene, texts = scene_of(), ""
    for _ in range(4):
        scene = replace(scene, desk=pressed(scene, "question_mark").desk)
        texts += shown(scene)
    assert all(name in texts for name in ("tab", "packets a bag", "backspace", "also does"))
    assert pressed(scene, "up").desk.plan is not None
    assert pressed(scene, "up").desk.plan.help == 0  # type: ignore[union-attr]


def test_moved_keys_are_named_and_followed() -> None:
    from tui.keymap import keymap

    keys = keymap({"planning.earlier": ("v",)})
    scene = scene_of(plan=PlanDesk(picked="P5"))
    assert press(scene, WORDS, Press("v", "v", 100.0), keys).intent == i.MovePour("P5", "P4")
    assert press(scene, WORDS, Press("e", "e", 100.0), keys).intent is None
    assert "v earlier" in "\n".join(painted(scene, 80, 24, replace(PEN, keys=keys)))


def test_the_marker_stands_on_the_first_pour_that_waits_and_goes_round() -> None:
    scene = scene_of()
    first = marked(scene)
    assert first is not None
    assert first.id == "P3"
    last = replace(scene, desk=pressed(scene_of(plan=PlanDesk(picked="P7")), "down").desk)
    assert last.desk.plan is not None
    assert last.desk.plan.picked == "P1"


# the live day behind it


def planned_live() -> tuple[Any, FakeSession]:
    live, session = opened("busy and late")
    session.planned = views("under way")[1]
    hit(live, "comma")
    live.take_view()
    return live, session


def test_the_plan_is_asked_for_only_while_it_is_open() -> None:
    live, session = opened("busy and late")
    session.planned = views("under way")[1]
    live.take_view()
    assert live.plan is None
    hit(live, "comma")
    live.take_view()
    assert live.plan is session.planned
    hit(live, "comma")
    live.take_view()
    assert live.plan is None


def test_what_the_engine_answers_to_an_edit_is_shown() -> None:
    live, session = planned_live()
    session.answers[i.SkipNext] = Refused(VIEWS["joint"].call.reason)
    hit(live, "s")
    assert WORDS(VIEWS["joint"].call.reason) in " ".join(plain(line) for line in live.lines(80, 24))


def test_a_plan_that_cannot_be_had_leaves_the_clocks(monkeypatch: pytest.MonkeyPatch) -> None:
    live, session = planned_live()
    monkeypatch.setattr(session, "plan_page", lambda: 1 / 0)
    live.take_view()
    text = "\n".join(plain(line) for line in live.lines(80, 24))
    assert "could not be drawn" in text
    assert "MIX NOW P2" in text.splitlines()[0]


class MadeUpWeighing:
    """Two tables, then over, or broken."""

    def __init__(self, asked: str, fails: bool = False) -> None:
        self.asked, self.fails, self.ended = asked, fails, False

    def tables(self) -> Any:
        yield TABLE
        if self.fails:
            raise OSError("it ended with 1")
        yield {**TABLE, "packets": []}

    def end(self) -> None:
        self.ended = True


@pytest.mark.parametrize("fails", [False, True])
def test_choices_are_told_table_by_table_and_a_fault_ends_nothing(
    fails: bool, monkeypatch: pytest.MonkeyPatch
) -> None:
    live, _ = planned_live()
    monkeypatch.setattr("tui.plan.weighing.Weighing", lambda asked: MadeUpWeighing(asked, fails))
    told: list[Choices | None] = []
    live.weigh(lambda: told.append(live.choices))
    assert told[0] is not None
    assert told[0].going_on
    assert live.choices is not None
    assert not live.choices.going_on
    assert bool(live.choices.fault) is fails
    running = live.weighing
    live.stop_weighing()
    assert running.ended
    assert live.weighing is None


def test_a_day_is_weighed_in_a_process_of_its_own_and_in_the_words_it_was_asked_in() -> None:
    """One pour, one person for everything: few choices, so that a process answers within a moment."""
    small = replace(library(), pours=library().pours[:1], targets=(), people=library().people[:1])
    does_all = replace(small.people[0], does=("mix", "place", "finish"))
    small = replace(small, people=(does_all,), stations=small.stations[:1])
    asked_ = choices_asked(new_day(small), WORDS)
    here = list(choices_answered(asked_, 0))
    assert '"as planned"' in here[-1]
    running = Weighing(asked_, days=0)
    try:
        first = next(running.tables())
    finally:
        running.end()
    assert first["choices"][0]["text"] == "as planned"


def test_a_process_that_breaks_is_told() -> None:
    running = Weighing("no job at all", days=0)
    try:
        with pytest.raises(OSError, match="it ended with"):
            list(running.tables())
    finally:
        running.end()


# with the engine, the log and the app


async def three_at_work(gate: Tailgate) -> None:
    """One batch tipped and two in their vessels."""
    await gate.press("enter", "enter")
    await gate.wait(90.0)
    await gate.press("space")
    await gate.wait(25.0)
    await gate.press("space")
    for _ in range(2):
        await gate.press("enter", "enter")
    assert sum(len(row.batches) for row in gate.view.rows) >= 3


def clocks_of(gate: Tailgate) -> list[tuple[Any, ...]]:
    """Everything of the rows that runs, but what counts with the time of the look."""
    batches = gate.app.live.session.journal.day.batches  # type: ignore[union-attr,attr-defined]
    windows = [(row.key, row.window, row.workable_until) for row in gate.view.rows]
    return [batches, sorted(windows, key=lambda one: str(one[0]))]


async def test_edits_during_three_running_batches_touch_no_stamp(tmp_path: Path) -> None:
    async with tailgate(tmp_path / "day.jsonl", HandClock(START)) as gate:
        await three_at_work(gate)
        before = clocks_of(gate)[0]
        await gate.press("comma")
        assert "PLAN [queue]" in gate.shown
        await gate.press("down", "e")
        await gate.press("f", "1")
        await gate.press("s")
        assert "left for a later visit" in gate.shown
        await gate.press("s")
        assert "done today after all" in gate.shown
        await gate.press("j", "1", "p", "1", "3", "1")
        await gate.press("a", *"24x18", "space", "2", "enter")
        assert "A1 now takes" in gate.shown
        assert clocks_of(gate)[0] == before
        top = gate.shown.splitlines()[:2]
        await gate.wait(5.0)
        assert gate.shown.splitlines()[:2] != top
        assert clocks_of(gate)[0] == before
        await gate.press("comma")
        assert "PLAN" not in gate.shown


async def test_the_queue_is_edited_before_the_first_bag_and_undo_takes_it_back(tmp_path: Path) -> None:
    async with tailgate(tmp_path / "day.jsonl", HandClock(START)) as gate:
        await gate.press("comma", "down", "down", "e")
        assert [row.id for row in gate.view.queue][:3] == ["P1", "P3", "P2"]
        assert "P3 moved before P2" in gate.shown
        await gate.press("backspace")
        assert [row.id for row in gate.view.queue][:3] == ["P1", "P2", "P3"]
        assert "taken back" in gate.shown


async def test_a_pass_is_stamped_from_the_plan_screen(tmp_path: Path) -> None:
    async with tailgate(tmp_path / "day.jsonl", HandClock(START)) as gate:
        await gate.press("comma", "enter", "enter")
        await gate.wait(90.0)
        await gate.press("space")
        assert gate.view.rows[0].stage == "mixed"
        assert "P1.1 mixed" in gate.shown


async def test_the_plan_follows_the_terminal_and_a_reopened_log_has_the_edits(tmp_path: Path) -> None:
    log, clock = tmp_path / "day.jsonl", HandClock(START)
    async with tailgate(log, clock) as gate:
        await gate.press("comma", "down", "s")
        for size in ((80, 24), (120, 36), (200, 60), (60, 20)):
            await gate.pilot.resize_terminal(*size)
            await gate.pilot.pause()
            assert {line_width(line) for line in gate.app.painted.lines} == {size[0]}
            assert "later visit" in gate.shown or size[0] < 60
    async with tailgate(log, clock) as gate:
        assert gate.view.queue[1].state == "later visit"
