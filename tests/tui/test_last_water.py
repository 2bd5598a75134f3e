"""The line about the decision that is gone next: it stands while something can still be done, and says what."""

from __future__ import annotations

from dataclasses import replace
from zoneinfo import ZoneInfo

import pytest

from engine.pour.views import LastCallView
from tests.tui.days import NOW, WORDS, ZONE, view
from tui.paint.pages import help_pages
from tui.paint.pen import Pen
from tui.paint.runs import plain
from tui.paint.site import paint_site
from tui.paint.waters import water_lines
from tui.scene import Scene

HOUR = 3600.0
QUEUED = LastCallView("P4", "wheels", NOW + 3 * HOUR, 0.2, "P3", NOW + 2 * HOUR)
AT_WORK = LastCallView("P2", "rain", NOW + 600.0, 0.95)


def line(*calls: LastCallView, after_s: float = 0.0) -> str:
    """The stock line of a screen of 160 columns so long after."""
    pen = Pen(WORDS, zone=ZoneInfo(ZONE))
    scene = Scene(view(last_calls=calls), NOW + after_s)
    return plain(paint_site(scene, 160, 3, pen)[1])


def test_a_queue_that_breaks_a_promise_is_said_hours_before_the_decision_is_gone() -> None:
    said = line(QUEUED)
    assert "TAKE P4 BEFORE P3 BY" in said
    assert "20%" in said


def test_once_the_other_pour_is_begun_its_place_is_offered_no_more() -> None:
    assert "TAKE" not in line(QUEUED, after_s=2 * HOUR)


@pytest.mark.parametrize(("left_s", "told"), [(600.0, True), (HOUR, False)])
def test_the_last_water_is_said_when_it_is_near(left_s: float, told: bool) -> None:
    assert ("LAST WATER P2" in line(replace(AT_WORK, latest=NOW + left_s))) is told


def test_work_that_can_no_more_be_done_before_the_rain_is_named() -> None:
    gone = [replace(AT_WORK, pour=pour, latest=NOW - 1.0) for pour in ("P2", "P3")]
    assert "NOT DONE BEFORE rain: P2 P3" in line(*gone)


def page(*calls: LastCallView, after_s: float = 0.0) -> str:
    pen = Pen(WORDS, zone=ZoneInfo(ZONE))
    return "\n".join(water_lines(Scene(view(last_calls=calls), NOW + after_s), 78, pen))


def test_every_promise_has_its_last_water_on_a_page_of_the_help() -> None:
    calls = (replace(QUEUED, by=NOW + 6 * HOUR), replace(AT_WORK, by=NOW + HOUR, planned=NOW + 60.0))
    said = page(*calls)
    assert "P4 wheels by" in said
    assert "take it before P3" in said
    assert "P2 rain by" in said
    assert "95%" in said
    pen = Pen(WORDS, zone=ZoneInfo(ZONE))
    scene = Scene(view(last_calls=calls), NOW)
    titles = [plain(shown[0]) for shown in help_pages(scene, 80, 20, pen)]
    assert sum("last water" in title for title in titles) == 1
    assert not any("last water" in plain(shown[0]) for shown in help_pages(Scene(view(), NOW), 80, 20, pen))


def test_a_promise_past_its_last_water_says_so() -> None:
    assert "too late" in page(replace(AT_WORK, by=NOW + HOUR), after_s=700.0)
