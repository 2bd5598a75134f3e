"""A view that stands until something on it turns, the same day looked at later, and a plan made beside the screen."""

from __future__ import annotations

from pathlib import Path

import pytest

from engine import console
from engine.clock import HandClock
from engine.pour import intents as i
from engine.pour.live import live_view
from engine.pour.planning import quick_plan
from engine.pour.reckoning import Moment
from engine.pour.steady import STEADY_S, steady_until
from tests.pour.driving import Drive, library
from tests.scenarios.expected import DATA

START = "09:00:00"


def under_way() -> Drive:
    """A batch floated, another in its vessel, a pour soaked."""
    day = Drive(library()).do(START, i.AddWater("P1")).do("09:01:35", i.StampMixed("P1.1"))
    day.do("09:02:00", i.StampTipped("P1.1"), i.SoakPour("P3")).do("09:02:45", i.StampStroke("float", "P1.1"))
    return day.do("09:03:00", i.AddWater("P2"))


@pytest.mark.parametrize("later_s", [0.5, 1.0, 7.0, 60.0, 400.0, 3600.0])
def test_a_moment_later_is_the_moment_reckoned_from_nothing(later_s: float) -> None:
    day = under_way()
    first = day.moment("09:04:00")
    plan = quick_plan(first)
    live_view(day.journal, first, plan)
    then = first.at + later_s
    assert live_view(day.journal, first.later(then), plan) == live_view(
        day.journal, Moment(day.journal.day, then), plan
    )


def test_a_steady_view_is_the_view_but_for_what_runs() -> None:
    day = under_way()
    first = day.moment("09:04:00")
    plan = quick_plan(first)
    shown = live_view(day.journal, first, plan)
    until = steady_until(shown)
    assert first.at < until <= first.at + STEADY_S
    then = live_view(day.journal, Moment(day.journal.day, until - 0.01), plan)
    assert [states(one) for one in then.rows] == [states(one) for one in shown.rows]
    assert [(one.now, one.next) for one in then.crew] == [(one.now, one.next) for one in shown.crew]
    assert then.call == shown.call


def states(row: object) -> tuple[object, ...]:
    window = row.window  # type: ignore[attr-defined]
    return row.key, row.step, row.until, window.state if window else None  # type: ignore[attr-defined]


def test_a_window_that_turns_ends_the_steady_view() -> None:
    day = under_way()
    window = day.moment("09:04:00").windows(day.journal.day.batch("P1.1"))["first_trowel"]
    before = Moment(day.journal.day, window.open - 2.0)
    assert steady_until(live_view(day.journal, before, quick_plan(before))) <= window.open


def test_a_glance_stands_on_the_plan_of_the_line_before_until_it_is_made_anew(tmp_path: Path) -> None:
    clock = HandClock(library().start)
    job = DATA / "library" / "job.toml"
    session = console.open_session(job, console.words(), log=tmp_path / "day.jsonl", clock=clock)
    try:
        assert session.glance().call.reason.key == "reason.reckoning"
        assert session.plan_wanted() == "long"
        session.replan()
        assert session.plan_wanted() == "no"
        called = session.glance().call.pour
        assert called
        session.submit(i.CallBag(called))
        session.submit(i.AddWater(called))
        assert [one.key for one in session.glance().rows] == [f"{called}.1"]
        assert session.plan_wanted() == "short"
        session.replan()
        assert session.glance() == session.view()
    finally:
        session.close()
