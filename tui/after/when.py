"""Moments that may lie on another day: today by the clock, this week with the days between, else by the date."""

from __future__ import annotations

import datetime
import math

from tui.paint.pen import Pen

WEEK = 7


def date_of(at: float, pen: Pen) -> datetime.date:
    """The day at the site."""
    return datetime.datetime.fromtimestamp(math.floor(at), pen.zone or datetime.UTC).date()


def when(at: float | None, now: float, pen: Pen) -> str:
    """`09:51`, `09:51 +1d`, `2026-12-03`; a dash for a moment that is not known or never comes."""
    if at is None or not math.isfinite(at):
        return "-"
    days = (date_of(at, pen) - date_of(now, pen)).days
    if abs(days) >= WEEK:
        return date_of(at, pen).isoformat()
    clock = pen.clock(at, seconds=False)
    return f"{clock} {days:+d}d" if days else clock
