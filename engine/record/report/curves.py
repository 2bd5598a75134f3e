"""Lines through the day: today's rate factor with its spread, and the weather in panels one above the other."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator
from dataclasses import dataclass

from engine.record.report.document import Drawing
from engine.record.report.markup import Markup
from engine.record.report.shown import Shown, Table
from engine.record.report.svg import (
    LIGHT,
    WIDTH,
    TimeAxis,
    axis_over,
    box,
    dot,
    drawing,
    line,
    steps,
    ticked,
    words,
)
from engine.units import MPH_MS

LEFT, RIGHT = 70.0, WIDTH - 62.0
FOOT, GAP = 18.0, 24.0
Points = list[tuple[float, float]]


@dataclass(frozen=True)
class Scale:
    """Values up the page, lowest at `bottom`."""

    low: float
    high: float
    top: float
    bottom: float

    def y(self, value: float) -> float:
        return self.bottom - (value - self.low) / (self.high - self.low) * (self.bottom - self.top)

    def frame(self, step: float, text: Callable[[float], str]) -> Iterator[Markup]:
        """Level lines with their values."""
        for count in range(round((self.high - self.low) / step) + 1):
            value = self.low + count * step
            yield line(LEFT, self.y(value), RIGHT, self.y(value), stroke=LIGHT)
            yield words(LEFT - 5.0, self.y(value) + 3.5, text(value), anchor="end")


def scale_over(values: list[float], step: float, top: float, bottom: float) -> Scale:
    """A scale between round values that holds them all."""
    low, high = (math.floor(min(values) / step) * step, math.ceil(max(values) / step) * step)
    return Scale(low, high if high > low else low + step, top, bottom)


def factor_line(table: Table, spoken: Shown) -> Iterator[Drawing]:
    """The factor as a heavy line, its 10 and 90 % dashed, a dot at every sign; nothing before the first sign."""
    rows = table["rate_factor_through"]
    if len(rows) < 2:
        return
    axis = axis_over(
        (spoken.at(one) for one in [*(row["at"] for row in rows), _end(table)]), LEFT, RIGHT, spoken.zone
    )
    scale = scale_over([row[key] for row in rows for key in ("low", "high")], 0.1, 8.0, 108.0)
    xs = [axis.x(spoken.at(row["at"])) for row in rows]
    end = axis.x(spoken.at(_end(table)))
    inside = [*ticked(axis, scale.top, scale.bottom), *scale.frame(0.1, lambda value: f"{value:.1f}")]
    for key, width, dashes in (("low", 1.0, "4 3"), ("high", 1.0, "4 3"), ("value", 2.2, None)):
        points = [(x, scale.y(row[key])) for x, row in zip(xs, rows, strict=True)]
        inside.append(steps(points, end, width, dashes))
        inside.append(words(end + 4.0, points[-1][1] + 3.5, f"{rows[-1][key]:.2f}", bold=key == "value"))
    inside += [dot(x, scale.y(row["value"])) for x, row in list(zip(xs, rows, strict=True))[1:]]
    told = spoken.word("told.factor")
    yield Drawing(drawing(scale.bottom + FOOT, told, *inside), told)


def _end(table: Table) -> str:
    """The last stroke, or the end of the report where it comes first."""
    last: str = max([row["finished"] for row in table["batches"] if row.get("finished")] or [table["at"]])
    signs: str = table["rate_factor_through"][-1]["at"]
    return max(last, signs)


def weather_line(table: Table, spoken: Shown) -> Iterator[Drawing]:
    """Air and slab, humidity, wind, and a strip for the sun."""
    rows = table["weather"]
    axis = axis_over((spoken.at(one) for one in (rows[0]["at"], table["at"])), LEFT, RIGHT, spoken.zone)
    warm = scale_over(
        [spoken.warmth(row[key]) for row in rows for key in ("air_c", "slab_c")], 10.0, 8.0, 118.0
    )
    damp = Scale(0.0, 100.0, 118.0 + GAP, 168.0 + GAP)
    wind = scale_over(
        [0.0, *(_speed(row["wind_m_s"], spoken) for row in rows)], 5.0, 168.0 + 2 * GAP, 218.0 + 2 * GAP
    )
    bottom = wind.bottom + GAP + 4.0
    inside = [
        *ticked(axis, warm.top, bottom),
        *_warmth(rows, table["readings"], axis, warm, spoken),
        *damp.frame(50.0, lambda value: f"{value:.0f} %"),
        *wind.frame(wind.high - wind.low, lambda value: f"{value:.0f} {spoken.speed_unit}"),
        *_curve(rows, axis, lambda row: damp.y(row["humidity"] * 100.0), spoken.word("humidity"), spoken),
        *_curve(rows, axis, lambda row: wind.y(_speed(row["wind_m_s"], spoken)), spoken.word("wind"), spoken),
        *_sun(rows, axis, bottom - 12.0, spoken),
    ]
    told = spoken.word("told.weather")
    yield Drawing(drawing(bottom + FOOT, told, *inside), told)


def _speed(speed_ms: float, spoken: Shown) -> float:
    return speed_ms / MPH_MS if spoken.system == "us" else speed_ms * 3.6


def _curve(
    rows: list[Table], axis: TimeAxis, y: Callable[[Table], float], name: str, spoken: Shown
) -> Iterator[Markup]:
    points = [(axis.x(spoken.at(row["at"])), y(row)) for row in rows]
    yield steps(points, axis.right)
    yield words(axis.right + 4.0, points[-1][1] + 3.5, name)


def _warmth(
    rows: list[Table], readings: list[Table], axis: TimeAxis, scale: Scale, spoken: Shown
) -> Iterator[Markup]:
    """Air as a full line, slab dashed; what was read as dots, filled for the air."""
    yield from scale.frame(10.0, lambda value: f"{value:.0f} {spoken.warmth_unit}")
    last = rows[-1]
    near = abs(scale.y(spoken.warmth(last["air_c"])) - scale.y(spoken.warmth(last["slab_c"]))) < 10.0
    air, slab = spoken.word("air"), spoken.word("slab")
    names = (f"{air}, {slab}", "") if near else (air, slab)
    for key, name, dashes in zip(("air_c", "slab_c"), names, (None, "5 3"), strict=True):
        points = [(axis.x(spoken.at(row["at"])), scale.y(spoken.warmth(row[key]))) for row in rows]
        yield steps(points, axis.right, dashes=dashes)
        yield words(axis.right + 4.0, points[-1][1] + 3.5, name)
    for read in (one for one in readings if not one["pour"]):
        for key, filled in (("air_c", True), ("slab_c", False)):
            if key in read and scale.low <= spoken.warmth(read[key]) <= scale.high:
                yield dot(axis.x(spoken.at(read["at"])), scale.y(spoken.warmth(read[key])), 2.6, filled)


def _sun(rows: list[Table], axis: TimeAxis, top: float, spoken: Shown) -> Iterator[Markup]:
    """A white box while the sun was on the work, a grey one while it was not."""
    starts = [axis.x(spoken.at(row["at"])) for row in rows]
    for row, start, end in zip(rows, starts, [*starts[1:], axis.right], strict=True):
        yield box(start, top, end, 10.0, "#fff" if row["sun"] else LIGHT, stroke=LIGHT)
    for number, row in enumerate(rows):
        if number == 0 or row["sun"] != rows[number - 1]["sun"]:
            yield words(starts[number] + 3.0, top + 8.5, spoken.word("sun" if row["sun"] else "shade"))
    yield words(LEFT - 5.0, top + 8.5, spoken.word("light"), anchor="end")
