"""Drawings by hand: a frame with a time axis, and the few strokes it takes. Black on white, told apart by shape."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from datetime import datetime, timedelta
from zoneinfo import ZoneInfo

from engine.record.report.markup import Markup, tag

SPACE = "http://www.w3.org/2000/svg"
WIDTH = 720.0
STEPS_MIN = (1, 2, 5, 10, 15, 30, 60, 120, 180, 360, 720, 1440)
MOST_TICKS = 9
INK, GREY, LIGHT = "#000", "#8c8c8c", "#d9d9d9"


@dataclass(frozen=True)
class TimeAxis:
    """Log time across a drawing, from `left` to `right`."""

    start: float
    end: float
    left: float
    right: float
    zone: ZoneInfo

    def x(self, at: float) -> float:
        """Never outside the frame."""
        share = (at - self.start) / max(1.0, self.end - self.start)
        return self.left + min(1.0, max(0.0, share)) * (self.right - self.left)

    def shows(self, at: float) -> bool:
        return self.start <= at <= self.end

    def ticks(self) -> Iterator[tuple[float, str]]:
        """Round local times with their text, few enough to read."""
        minutes = next(
            (step for step in STEPS_MIN if (self.end - self.start) / 60.0 <= step * MOST_TICKS), STEPS_MIN[-1]
        )
        first = datetime.fromtimestamp(self.start, self.zone)
        into = timedelta(
            minutes=first.minute % minutes if minutes < 60 else first.minute, seconds=first.second
        )
        at = self.start - into.total_seconds() - first.microsecond / 1e6
        while at <= self.end:
            if at >= self.start:
                yield at, datetime.fromtimestamp(at, self.zone).strftime("%H:%M")
            at += minutes * 60.0


def axis_over(times: Iterable[float], left: float, right: float, zone: ZoneInfo) -> TimeAxis:
    """An axis that shows all these times, with a little room at both ends."""
    known = list(times)
    room_s = max(30.0, 0.02 * (max(known) - min(known)))
    return TimeAxis(min(known) - room_s, max(known) + room_s, left, right, zone)


def drawing(height: float, told: str, *inside: str) -> Markup:
    """The whole drawing; `told` is what it shows, for those who cannot see it."""
    return tag(
        "svg",
        tag("title", told),
        *inside,
        xmlns=SPACE,
        viewBox=f"0 0 {WIDTH:g} {height:g}",
        role="img",
        font_family="sans-serif",
        font_size="10",
        fill=INK,
    )


def ticked(axis: TimeAxis, top: float, bottom: float) -> Iterator[Markup]:
    """Upright lines at round times, their text below."""
    for at, text in axis.ticks():
        yield line(axis.x(at), top, axis.x(at), bottom, stroke=LIGHT)
        yield words(axis.x(at), bottom + 11.0, text, anchor="middle")
    yield line(axis.left, bottom, axis.right, bottom)


def line(
    x1: float,
    y1: float,
    x2: float,
    y2: float,
    stroke: str = INK,
    width: float = 1.0,
    dashes: str | None = None,
) -> Markup:
    return tag(
        "line",
        x1=_number(x1),
        y1=_number(y1),
        x2=_number(x2),
        y2=_number(y2),
        stroke=stroke,
        stroke_width=_number(width),
        stroke_dasharray=dashes,
    )


def box(x1: float, y: float, x2: float, height: float, fill: str, stroke: str = INK) -> Markup:
    """From one x to another, at least a hair wide."""
    return tag(
        "rect",
        x=_number(x1),
        y=_number(y),
        width=_number(max(0.5, x2 - x1)),
        height=_number(height),
        fill=fill,
        stroke=stroke,
        stroke_width="0.6",
    )


def words(x: float, y: float, text: str, anchor: str = "start", bold: bool = False) -> Markup:
    return tag(
        "text", text, x=_number(x), y=_number(y), text_anchor=anchor, font_weight="bold" if bold else None
    )


def dot(x: float, y: float, radius: float = 3.6, filled: bool = True) -> Markup:
    return tag(
        "circle",
        cx=_number(x),
        cy=_number(y),
        r=_number(radius),
        fill=INK if filled else "#fff",
        stroke=INK,
        stroke_width="1.2",
    )


def cross(x: float, y: float, size: float = 4.5) -> Markup:
    """Two strokes through a point."""
    arms = (
        line(x - size, y - size, x + size, y + size, width=2.0),
        line(x - size, y + size, x + size, y - size, width=2.0),
    )
    return Markup("".join(arms))


def steps(
    points: list[tuple[float, float]], end: float, width: float = 1.5, dashes: str | None = None
) -> Markup:
    """A line that stays at each height until the next point, and at last up to `end`."""
    corners: list[tuple[float, float]] = []
    for x, y in points:
        if corners:
            corners.append((x, corners[-1][1]))
        corners.append((x, y))
    corners.append((end, corners[-1][1]))
    path = " ".join(f"{_number(x)},{_number(y)}" for x, y in corners)
    return tag(
        "polyline", points=path, fill="none", stroke=INK, stroke_width=_number(width), stroke_dasharray=dashes
    )


def _number(value: float) -> str:
    return f"{value:.1f}".rstrip("0").rstrip(".")
