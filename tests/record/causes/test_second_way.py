"""Shares held to a second way of finding them: the log written again without the thing, and what is then late.

The logs differ only in the lines of one cause; nothing is set back in them.
"""

from __future__ import annotations

from itertools import product

import pytest

from engine.pour import events as e
from engine.pour.body import Body
from engine.record.causes import Cause, Missed
from tests.record.causes.made import Line, as_planned, later, missed, of, small

STOOD_S, LATE_S = 90.0, 120.0


def _stood(body: Body) -> bool:
    return of(body, "P4.1") and isinstance(body, e.Tipped | e.StrokeDone)


def _trowelled(body: Body) -> bool:
    return of(body, "P4.1") and isinstance(body, e.StrokeDone) and body.name != "float"


def _day(on: dict[Cause, bool]) -> tuple[Missed, ...]:
    """A day with some of the causes in its log."""
    job = small("P4")
    lines: list[Line] = as_planned(job)
    lines = later(lines, STOOD_S, _stood) if on["waiting"] else lines
    lines = later(lines, LATE_S, _trowelled) if on["crew"] else lines
    if on["temperature"]:
        lines.append((job.start, e.ReadingTaken(slab_c=22.0), ""))
    if on["materials"]:
        lines.append((job.start, e.ReadingTaken(water_c=28.0), ""))
    return missed(job, lines)


def _late_s(found: tuple[Missed, ...], what: str) -> float:
    return next((one.late_s for one in found if one.what == what and one.batch == "P4.1"), 0.0)


ALL: dict[Cause, bool] = {"temperature": True, "materials": True, "waiting": True, "crew": True}


@pytest.mark.parametrize(
    ("cause", "what"),
    list(product(("temperature", "materials", "waiting", "crew"), ("first_trowel", "broom"))),
)
def test_a_share_is_what_is_less_late_without_its_lines(cause: Cause, what: str) -> None:
    whole = _day(ALL)
    one = next(one for one in whole if one.what == what and one.batch == "P4.1")
    without_s = _late_s(_day(ALL | {cause: False}), what)
    assert one.late_s > 0.0
    assert one.of(cause) == pytest.approx(one.late_s - without_s, abs=0.05)


def test_a_packet_more_holds_a_late_stroke_back_by_no_more_than_the_window_moved() -> None:
    """By less, where the stroke had to wait for the surface and would have come earlier without the packet."""
    job = small("P4")
    plain = missed(job, later(as_planned(job), 600.0, _trowelled))
    found = missed(job, later(as_planned(job, packets=1.0), 600.0, _trowelled))
    one = next(one for one in found if one.what == "first_trowel" and one.batch == "P4.1")
    moved_s = _late_s(plain, "first_trowel") - one.late_s
    assert 0.0 < -one.of("packet") <= moved_s
    assert one.of("crew") == pytest.approx(one.late_s - one.of("packet"), abs=1e-4)
