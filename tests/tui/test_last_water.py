"""The line about the decision that is gone next: it stands while something can still be done, and says what."""

from __future__ import annotations

from dataclasses import replace
from zoneinfo import ZoneInfo

import pytest

from engine.pour.views import LastCallView
from tests.tui.days import NOW, WORDS, ZONE, view
from tui.paint.pen import Pen
from tui.paint.runs import plain
from tui.paint.site import paint_site
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
