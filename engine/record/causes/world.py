"""The day run again with some things set back to plan: clocks, tips, stamps and openings of its batches there."""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import replace
from functools import cached_property
from typing import Any

from engine.job.model import Job, OpenTo
from engine.pour.events import Event
from engine.pour.reckoning import Moment
from engine.pour.state import Batch, Day, Stroke
from engine.record.causes.missed import Cause
from engine.record.causes.planned import Planned, first_water, plan_from, planned_batches
from engine.site.conditions import Reading, Weather
from engine.site.trajectory import BatchClock, trajectory
from engine.site.windows import WindowTimes, opening, pass_times, workable_until

WEATHER = ("air_c", "slab_c", "humidity", "wind_ms", "sun", "surface_c")
MATERIALS = ("bags_c", "water_c", "ice_kg", "mix_c")
NOTHING: frozenset[Cause] = frozenset()


class Facts:
    """What every run of a day shares: the day, its plan, and its moments with some readings left out."""

    def __init__(self, job: Job, day: Day, events: Iterable[Event], at: float) -> None:
        self.day, self.moment = day, Moment(day, at)
        self.planned = planned_batches(job, day, events)
        begun = first_water(day)
        self.begun_later_s = begun - job.start
        self.start, _ = plan_from(job, begun)
        self._without: dict[tuple[str, ...], Moment] = {(): self.moment}

    def without(self, quantities: tuple[str, ...]) -> Moment:
        """The day with some quantities never read."""
        if quantities not in self._without:
            left = tuple(_without(reading, quantities) for reading in self.day.readings)
            self._without[quantities] = Moment(replace(self.day, readings=left), self.moment.at)
        return self._without[quantities]

    @cached_property
    def strokes(self) -> dict[int, tuple[Batch, ...]]:
        """The batches of each stamped stroke, by its line."""
        found: dict[int, tuple[Batch, ...]] = {}
        for batch in self.day.batches:
            for stroke in batch.strokes:
                found[stroke.seq] = (*found.get(stroke.seq, ()), batch)
        return found

    @cached_property
    def as_it_was(self) -> World:
        return World(self, NOTHING)


def _without(reading: Reading, quantities: tuple[str, ...]) -> Reading:
    nothing: dict[str, Any] = dict.fromkeys(quantities)
    return replace(reading, **nothing)


class World:
    """One run of the day with the causes in `back` set back to plan. Times are log time in seconds."""

    def __init__(self, facts: Facts, back: frozenset[Cause]) -> None:
        self.facts, self.back = facts, back
        self._clocks: dict[Batch, BatchClock] = {}
        self._stamps: dict[tuple[str, str], float] = {}

    # water, tips, clocks

    def _later(self, batch: Batch) -> float:
        """Seconds that everything of a batch lies later here (negative: earlier) than it did."""
        planned = self.facts.planned[batch.id].water
        return planned - batch.water_at if "calls" in self.back and planned is not None else 0.0

    def water(self, batch: Batch) -> float:
        return batch.water_at + self._later(batch)

    def out(self, batch: Batch) -> float | None:
        """When a batch left its vessel: tipped, or given up in it; None while it is in it."""
        at = self._out(batch)
        return None if at is None else at + self._later(batch)

    def _out(self, batch: Batch) -> float | None:
        at = batch.tipped_at if batch.tipped_at is not None else batch.lost_at
        if at is None:
            return self.facts.moment.tip_at(batch)
        at -= self._mixed_longer(batch) if "crew" in self.back else 0.0
        return at - (self._stood(batch, at) if "waiting" in self.back else 0.0)

    def _mixed_longer(self, batch: Batch) -> float:
        """Seconds mixed beyond the card's time, where that is stamped."""
        if batch.mixed_at is None:
            return 0.0
        return max(0.0, batch.mixed_at - batch.water_at - self._mixing_s(batch))

    def _mixing_s(self, batch: Batch) -> float:
        return self.facts.moment.card(batch.pour).mixing_s

    def _stood(self, batch: Batch, out: float) -> float:
        """Seconds between mixed and out beyond the carry and what the plan itself let it stand."""
        planned, times = self.facts.planned[batch.id], self.facts.moment.job.times
        mixed = batch.mixed_at if batch.mixed_at is not None else batch.water_at + self._mixing_s(batch)
        mixed -= self._mixed_longer(batch) if "crew" in self.back else 0.0
        allowed_s = times.carry_s + times.tip_s
        if planned.water is not None and planned.tip is not None:
            allowed_s = planned.tip - planned.water - self._mixing_s(batch)
        return max(0.0, out - mixed - allowed_s)

    def _clock(self, batch: Batch) -> BatchClock:
        """A batch's clock here, before it is moved with its water."""
        if batch not in self._clocks:
            self._clocks[batch] = self._set_back(batch, self.facts.moment.clock(batch))
        return self._clocks[batch]

    def _set_back(self, batch: Batch, clock: BatchClock) -> BatchClock:
        back, planned = self.back, self.facts.planned[batch.id]
        if clock.tip_at is not None and batch.tipped_at is not None:
            clock = replace(clock, tip_at=self._out(batch))
        if "packet" in back and planned.packets is not None:
            clock = replace(clock, packets=planned.packets)
        if "pace" in back:
            clock = replace(clock, factor=())
        if back & {"temperature", "materials"}:
            clock = replace(clock, mix_c=self._mix_c(batch))
        if "materials" in back:
            clock = replace(clock, mix_readings=())
        return self._in_planned_weather(batch, clock, planned) if "temperature" in back else clock

    def _mix_c(self, batch: Batch) -> float:
        gone = (*(WEATHER if "temperature" in self.back else ()),)
        gone += MATERIALS if "materials" in self.back else ()
        moment = self.facts.without(gone)
        return moment.vessel_c(moment.card(batch.pour), batch.pour, batch.water_at)

    def _in_planned_weather(self, batch: Batch, clock: BatchClock, planned: Planned) -> BatchClock:
        """Slab and weather as forecast for the planned tip, moved to where the tip is."""
        tip = clock.water_at if clock.tip_at is None else clock.tip_at
        hour = tip if planned.tip is None else planned.tip
        site, pour = self.facts.start.site, batch.pour
        weather: tuple[tuple[float, Weather], ...] = tuple(
            (at + tip - hour, one) for at, one in site.weather_from(pour, hour)
        )
        return replace(clock, slab_c=site.slab_c(pour, hour), weather=weather, surfaces=())

    # limits

    def workable_until(self, batch: Batch) -> float:
        clock = self._clock(batch)
        return workable_until(trajectory(clock), clock.card) + self._later(batch)

    def windows(self, batch: Batch) -> dict[str, WindowTimes]:
        """The window of each pass of a batch that is in its pour."""
        clock, moment, by = self._clock(batch), self.facts.moment, self._later(batch)
        if clock.tip_at is None:
            return {}
        passes, strike_off_s = moment.passes(batch), moment.job.times.strike_off_s
        found = pass_times(clock.card, passes, trajectory(clock), clock.tip_at, strike_off_s)
        return {name: WindowTimes(w.open + by, w.due + by, w.late + by, w.lost + by) for name, w in found}

    def opens(self, batch: Batch, to: OpenTo) -> float:
        """When a batch opens; infinite where it does not within the reckoned days."""
        clock = self._clock(batch)
        label_s = clock.card.opening.feet_s if to == "feet" else clock.card.opening.wheels_s
        tip = clock.water_at if clock.tip_at is None else clock.tip_at
        at = opening(trajectory(clock), tip, label_s)
        return math.inf if at is None else at + self._later(batch)

    # stamps

    def stamp(self, batch: Batch, stroke: Stroke) -> float:
        """When a stroke ends here: as far behind what plan, water and surface ask for as it was, unless that is set back."""
        key = (batch.id, stroke.name)
        if key not in self._stamps:
            self._stamps[key] = self._stamp(stroke)
        return self._stamps[key]

    def _stamp(self, stroke: Stroke) -> float:
        if not self.back:
            return stroke.at
        behind_s = stroke.at - self.facts.as_it_was.expected(stroke)
        return self.expected(stroke) + (min(0.0, behind_s) if "crew" in self.back else behind_s)

    def expected(self, stroke: Stroke) -> float:
        """When a stroke could be at its end by plan, water, surface and the passes before; the latest of its batches."""
        return max(self._expected(batch, stroke) for batch in self.facts.strokes[stroke.seq])

    def _expected(self, batch: Batch, stroke: Stroke) -> float:
        planned = self.facts.planned[batch.id]
        seconds = self._stroke_s(batch, stroke)
        ready = self._ready(batch, stroke) + seconds
        end, out = planned.ends.get(stroke.name), self.out(batch)
        if end is None or planned.tip is None or out is None:
            return ready
        return max(ready, end + out - planned.tip, min(end, self._held(batch, stroke, seconds)))

    def _ready(self, batch: Batch, stroke: Stroke) -> float:
        """When the surface and the pass before allow a stroke to begin."""
        window = self.windows(batch).get(stroke.name)
        out = self.out(batch)
        bounds = [] if window is None else [window.open]
        if stroke.name == "float" and out is not None:
            bounds.append(out + self.facts.moment.job.times.strike_off_s)
        before = [one for one in batch.strokes if (one.at, one.seq) < (stroke.at, stroke.seq)]
        bounds += [self.stamp(batch, one) for one in before]
        return max(bounds, default=self.water(batch))

    def _stroke_s(self, batch: Batch, stroke: Stroke) -> float:
        """Seconds a stroke takes: as planned, else by the crew's times for the batch's share of the pour."""
        planned = self.facts.planned[batch.id].seconds.get(stroke.name)
        if planned is not None or stroke.name == "edge":
            return planned or 0.0
        moment = self.facts.moment
        share = 1.0 / max(1, len(moment.day.batches_of(batch.pour)))
        return moment.job.times.stroke_s_m2(stroke.name) * moment.day.pour(batch.pour).area_m2 * share

    def _held(self, batch: Batch, stroke: Stroke, seconds: float) -> float:
        """When whoever did a stroke could have ended it, coming from the work stamped before it."""
        others = [
            one.at
            for other in self.facts.day.batches
            for one in other.strokes
            if one.who == stroke.who and one.seq != stroke.seq and other.id != batch.id
        ]
        others += [b.tipped_at for b in self.facts.day.batches if b.tipped_at and b.tipped_by == stroke.who]
        before = [at for at in others if at < stroke.at] if stroke.who else []
        return max(before, default=-math.inf) + self.facts.moment.job.times.walk_s + seconds
