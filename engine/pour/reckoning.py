"""The clocks of a day at a moment: each batch's trajectory, windows and limits under today's rate factor.

Everything follows from the facts of the day and `at`; nothing is stored. Trajectories are cached by what decides them,
so that the same day a second later costs next to nothing.
"""

from __future__ import annotations

import functools
import math
from dataclasses import replace
from functools import cached_property
from typing import TYPE_CHECKING, Any

from engine.job.model import PASSES_OF, Job, Pour
from engine.job.takeoff import PourTakeoff, pour_takeoff
from engine.mix.card import MixCard
from engine.mix.fresh import mix_c
from engine.pour.posterior import Factor, posterior
from engine.pour.posterior import Sign as Evidence
from engine.pour.state import Batch, Day, Sign, Trial
from engine.site.column import Heat, blanket_from, heat_from
from engine.site.conditions import ForecastRow, Materials, Reading, Site
from engine.site.trajectory import BatchClock, Trajectory, trajectory
from engine.site.windows import WindowTimes, pass_times, workable_until

if TYPE_CHECKING:
    from engine.pour.dayplan import DayPlan
    from engine.pour.views import QueueRow

Steps = tuple[tuple[float, float], ...]
Covers = tuple[tuple[float, bool], ...]
TIMELESS = (
    "site",
    "heat",
    "takeoffs",
    "evidences",
    "taught",
    "factor",
    "factor_steps",
)  # of a day at any time


@functools.lru_cache(maxsize=256)
def _site(forecast: tuple[ForecastRow, ...], materials: Materials, readings: tuple[Reading, ...]) -> Site:
    """One site for the same conditions, so that what it was asked once it still knows."""
    return Site(forecast, materials, readings)


@functools.lru_cache(maxsize=32)
def _takeoffs(job: Job) -> dict[str, PourTakeoff]:
    """Once for the same pours, however many moments look at them; nobody changes it."""
    return {pour.id: pour_takeoff(pour, job) for pour in job.pours}


class Moment:
    """A day reckoned at `at`. All times are log time in seconds; ages are set age in seconds."""

    def __init__(self, day: Day, at: float) -> None:
        self.day = day
        self.at = at
        self.job = day.job
        self._paths: dict[Batch, Trajectory] = {}
        self._found: dict[Batch, dict[str, WindowTimes]] = {}
        self.untouched: dict[str, tuple[DayPlan, QueueRow]] = {}  # rows of the queue that a look has made
        self.bags_left: dict[tuple[str, int], float] = {}  # by pour and visit, as far as asked for

    def later(self, at: float) -> Moment:
        """The same day at another time; what does not depend on the time is not reckoned again."""
        moment = Moment(self.day, at)
        moment.__dict__ |= {name: self.__dict__[name] for name in TIMELESS if name in self.__dict__}
        still = {pour.id for pour in self.day.pours if self._is_still(pour.id)}
        moment._paths = {batch: path for batch, path in self._paths.items() if batch.pour in still}
        moment.bags_left, moment.untouched = self.bags_left, self.untouched
        moment._found = {batch: found for batch, found in self._found.items() if batch.pour in still}
        return moment

    def _is_still(self, pour: str) -> bool:
        """Whether no clock of a pour rests on a tip or an end that is only assumed."""
        return all(batch.tipped_at is not None for batch in self.day.batches_of(pour))

    @cached_property
    def site(self) -> Site:
        return _site(self.job.conditions, self.job.materials, self.day.readings)

    @cached_property
    def heat(self) -> Heat:
        return heat_from(self.job.practice)

    @cached_property
    def takeoffs(self) -> dict[str, PourTakeoff]:
        """Take-off by pour id, splits included."""
        return _takeoffs(replace(self.job, pours=self.day.pours))

    def card(self, pour_id: str) -> MixCard:
        return self.job.mix(self.takeoffs[pour_id].mix)

    # passes and lifts

    def lift(self, batch: Batch) -> int:
        """The lift a batch lies in, counted from 0 at the bottom."""
        takeoff = self.takeoffs[batch.pour]
        if takeoff.lifts == 1:
            return 0
        before = sum(
            b.bags
            for b in self.day.batches_of(batch.pour)
            if (b.water_at, b.seq) < (batch.water_at, batch.seq)
        )
        return min(takeoff.lifts - 1, int(before / takeoff.bags_per_lift + 1e-9))

    def next_lift(self, pour_id: str) -> int:
        """The lift the next bag of a pour goes into."""
        takeoff = self.takeoffs[pour_id]
        filled = sum(batch.bags for batch in self.day.batches_of(pour_id))
        return min(takeoff.lifts - 1, int(filled / takeoff.bags_per_lift + 1e-9)) if takeoff.lifts > 1 else 0

    def passes(self, batch: Batch) -> tuple[str, ...]:
        """The passes a batch gets: those of its pour's finish; a lower lift is only floated."""
        takeoff = self.takeoffs[batch.pour]
        if self.lift(batch) < takeoff.lifts - 1:
            return ("float",)
        return PASSES_OF[self.day.pour(batch.pour).finish]

    # tips and clocks

    def tip_at(self, batch: Batch) -> float | None:
        """When a batch was tipped, or is assumed to be; None for one that never leaves its vessel."""
        if batch.tipped_at is not None:
            return batch.tipped_at
        if not batch.live:
            return None
        mixed = batch.mixed_at
        if mixed is None:
            mixed = batch.water_at + self.card(batch.pour).mixing_s
        return max(mixed + self.job.times.carry_s, self.at)

    def vessel_c(self, card: MixCard, pour: str, at: float) -> float:
        """Temperature of a mix whose water goes in at `at`, for a pour (empty: for none)."""
        read = self.site.mix_c(pour, at)
        if read is not None:
            return read
        site = self.site
        return mix_c(card, site.bags_c(pour, at), site.water_c(pour, at), site.ice_kg(pour, at))

    def _clock(self, batch: Batch, covered: Covers, factor: Steps) -> BatchClock:
        card, tip = self.card(batch.pour), self.tip_at(batch)
        in_patch = batch.water_at if tip is None else tip
        return BatchClock(
            card=card,
            packets=batch.packets,
            water_at=batch.water_at,
            mix_c=self.vessel_c(card, batch.pour, batch.water_at),
            mix_readings=self.site.mix_readings(batch.pour, batch.water_at, math.inf if tip is None else tip),
            tip_at=tip,
            slab_c=self.site.slab_c(batch.pour, in_patch),
            depth_m=self.takeoffs[batch.pour].lift_depth_m,
            weather=self.site.weather_from(batch.pour, in_patch),
            covered=covered,
            factor=factor,
            heat=self.heat,
            blankets=self._blankets(batch.pour),
            **self._read_on_top(batch, tip),
        )

    def _read_on_top(self, batch: Batch, tip: float | None) -> dict[str, Any]:
        """Surface readings that speak of a batch, and how far its start may be off; nothing where there are none."""
        found = self.surfaces(batch, tip)
        if not found:
            return {}
        practice = self.job.practice
        return {"surfaces": found, "off_k": (practice["learning.mix_off"], practice["learning.slab_off"])}

    def surfaces(self, batch: Batch, tip: float | None) -> Steps:
        """Readings on top of a batch, as (when, °C): from its tip on, until it is lost or another lift lies on it."""
        pour = batch.pour
        read = [(r.at, r.surface_c) for r in self.day.readings if r.pour == pour and r.surface_c is not None]
        if not read or tip is None:
            return ()
        lift = self.lift(batch)
        above = (b.tipped_at for b in self.day.batches_of(pour) if b.tipped_at and self.lift(b) > lift)
        end = min((*above, math.inf if batch.lost_at is None else batch.lost_at))
        return tuple((at, surface_c) for at, surface_c in read if tip < at < end)

    def _blankets(self, pour: str) -> Steps:
        """What a blanket on a pour holds back, from when, in m²·K/W."""
        held = blanket_from(self.job.practice)
        return tuple(
            (step.at, held if step.cover == "blanket" else 0.0)
            for step in self.day.covers
            if step.pour == pour
        )

    def _trial_clock(self, trial: Trial) -> BatchClock:
        card = self.job.mix(trial.mix)
        return BatchClock(
            card=card,
            packets=trial.packets,
            water_at=trial.water_at,
            mix_c=self.vessel_c(card, "", trial.water_at),
            mix_readings=self.site.mix_readings("", trial.water_at, math.inf),
            tip_at=None,
            slab_c=self.site.slab_c("", trial.water_at),
            depth_m=card.depth.min_m,
            weather=self.site.weather_from("", trial.water_at),
            covered=(),
            factor=(),
            heat=self.heat,
        )

    # today's rate factor

    def _evidence(self, sign: Sign) -> Evidence:
        """A sign as a limit and the set age without any rate factor at which it was seen."""
        trial = next((trial for trial in self.day.trials if trial.id == sign.subject), None)
        if trial is not None:
            card, age = self.job.mix(trial.mix), trajectory(self._trial_clock(trial)).age_at(sign.at)
        else:
            batch = self.day.batch(sign.subject)
            card, age = self.card(batch.pour), trajectory(self._clock(batch, (), ())).age_at(sign.at)
        noise = self.job.practice["learning.stiff_noise" if sign.word == "stiff" else "learning.word_noise"]
        return Evidence(limit_of(card, sign), age, noise, sign.word in ("stiff", "ready"))

    def _factor_of(self, signs: tuple[Evidence, ...]) -> Factor:
        practice = self.job.practice
        prior, low, high = (practice[f"learning.{key}"] for key in ("prior_sd", "factor_low", "factor_high"))
        return posterior(signs, prior, low, high)

    @cached_property
    def evidences(self) -> tuple[tuple[float, Evidence, Sign], ...]:
        """When each sign was seen, what it tells of the factor, and the sign, in the order of the day."""
        return tuple(
            (sign.at, self._evidence(sign), sign) for sign in sorted(self.day.signs, key=lambda sign: sign.at)
        )

    @cached_property
    def taught(self) -> Factor:
        """What all signs so far say together, whether or not the factor is frozen."""
        return self._factor_of(tuple(evidence for _, evidence, _ in self.evidences))

    @cached_property
    def factor(self) -> Factor:
        """Today's rate factor in force: what the signs say, or while frozen what it was when it was frozen.

        Signs seen while it is frozen are kept and count from the moment it is freed, as if it had never been frozen.
        """
        return self._factor_at(math.inf)

    @property
    def frozen(self) -> bool:
        """Whether the factor is held as it was."""
        return bool(self.day.freezes) and self.day.freezes[-1][1] is not None

    def _factor_at(self, at: float) -> Factor:
        held = next((factor for since, factor in reversed(self.day.freezes) if since <= at), None)
        return held or self._factor_of(tuple(e for seen_at, e, _ in self.evidences if seen_at <= at))

    @cached_property
    def factor_steps(self) -> Steps:
        """The factor in force from each sign, freezing and freeing on; 1 before the first."""
        changes = {at for at, _, _ in self.evidences} | {at for at, _ in self.day.freezes}
        steps: list[tuple[float, float]] = []
        for at in sorted(changes):
            value = self._factor_at(at).value
            if not steps or steps[-1][1] != value:
                steps.append((at, value))
        return tuple(steps)

    # covers and trajectories

    def covers(self, pour: Pour) -> Covers:
        """When a pour counts as covered: from the last stroke of its last batch, or that stroke's `due`, and as noted."""
        noted = [(step.at, step.cover != "") for step in self.day.covers if step.pour == pour.id]
        batches = self.day.batches_of(pour.id)
        if not batches:
            return tuple(noted)
        last = max(batches, key=lambda b: (b.water_at, b.seq))
        name = self.passes(last)[-1]
        stroke = next((s for s in last.strokes if s.name == name), None)
        finished = stroke.at if stroke else self._bare_due(last, name)
        return tuple(sorted([*noted, (finished, True)]))

    def _bare_due(self, batch: Batch, name: str) -> float:
        """When a pass falls due on a batch that nothing covers before."""
        bare = trajectory(self._clock(batch, (), self.factor_steps))
        return self._windows(batch, bare)[name].due

    def trajectory(self, batch: Batch) -> Trajectory:
        """Set age and temperature of a batch along its life."""
        if batch not in self._paths:
            self._paths[batch] = trajectory(self.clock(batch))
        return self._paths[batch]

    def clock(self, batch: Batch) -> BatchClock:
        """Everything that decides a batch's trajectory."""
        covers = self.covers(self.day.pour(batch.pour)) if batch.live else ()
        return self._clock(batch, covers, self.factor_steps)

    def _windows(self, batch: Batch, path: Trajectory) -> dict[str, WindowTimes]:
        tip = self.tip_at(batch)
        if tip is None:
            return {}
        card = self.card(batch.pour)
        return dict(pass_times(card, self.passes(batch), path, tip, self.job.times.strike_off_s))

    def windows(self, batch: Batch) -> dict[str, WindowTimes]:
        """The window of each pass of a batch; empty for one lost in its vessel."""
        if batch not in self._found:
            self._found[batch] = self._windows(batch, self.trajectory(batch))
        return self._found[batch]

    def workable_until(self, batch: Batch) -> float:
        """When a batch stops being workable."""
        return workable_until(self.trajectory(batch), self.card(batch.pour))


def limit_of(card: MixCard, sign: Sign) -> float:
    """The set age a sign speaks of: the workable limit, or the `due` of the pass that was next."""
    if sign.word in ("stiff", "still moves"):
        return card.workable_s
    windows = {
        "float": card.passes.float,
        "first_trowel": card.passes.first_trowel,
        "second_trowel": card.passes.second_trowel,
        "broom": card.passes.broom,
    }
    window = windows[sign.name or "first_trowel"]
    if window is None:
        raise ValueError(f"the card {card.key} has no window for {sign.name}")
    return window.due_s
