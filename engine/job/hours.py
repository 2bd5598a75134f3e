"""The day hour by hour: what a batch begun then would have of working time, opening and first night, for each dose.

From the forecast alone, with the clock that runs the day; equal clocks are reckoned once.
"""

from __future__ import annotations

import datetime
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from zoneinfo import ZoneInfo

from engine.job.model import PASSES_OF, Job, OpenTo, Pour
from engine.job.takeoff import mix_of, pour_takeoff
from engine.mix.card import MixCard
from engine.mix.fresh import mix_c
from engine.site.bands import Finding, Temperatures, findings, lowest_air_c
from engine.site.column import blanket_from, heat_from
from engine.site.conditions import Site
from engine.site.drying import Drying, drying
from engine.site.firstnight import FirstNight, first_night
from engine.site.opening import TargetResult, target_result
from engine.site.trajectory import BatchClock, trajectory
from engine.site.windows import opening, pass_times, workable_until

HOUR_S = 3600.0


@dataclass(frozen=True)
class DoseOutlook:
    """One dose. `workable_s` counts from water contact; opening times are log time, None where never reached.

    `targets` are the job's promises for the pour, were this its last batch.
    """

    packets: float
    workable_s: float
    feet: float | None
    wheels: float | None
    night: FirstNight
    targets: tuple[tuple[OpenTo, TargetResult], ...]

    @property
    def keeps_targets(self) -> bool:
        return all(result.met for _, result in self.targets)


@dataclass(frozen=True)
class HourOutlook:
    """A pour were its water to go in at `at`: temperatures in °C, drying, what is out of its band, and each dose.

    `surface_c` is the warmest the bare patch is taken to be, which is what dries.
    """

    pour: str
    at: float
    slab_c: float
    mix_c: float
    surface_c: float
    drying: Drying
    findings: tuple[Finding, ...]
    doses: tuple[DoseOutlook, ...]

    def dose(self, packets: float) -> DoseOutlook:
        """The outlook with so many packets per bag; `KeyError` for a dose the card has no point for."""
        for dose in self.doses:
            if dose.packets == packets:
                return dose
        raise KeyError(packets)


def hour_starts(first: float, last: float, zone: str) -> tuple[float, ...]:
    """The first time, and every full local hour after it up to the last; log time."""
    past = datetime.datetime.fromtimestamp(first, ZoneInfo(zone))
    full = first + HOUR_S - past.minute * 60 - past.second - past.microsecond / 1e6
    hours = range(int((last - full) // HOUR_S) + 1)
    return (first, *(full + n * HOUR_S for n in hours)) if first <= last else ()


def outlook(
    job: Job, pour: Pour, starts: Iterable[float], factor: float = 1.0, blanket: bool = False
) -> tuple[HourOutlook, ...]:
    """A pour at each start; `factor` is today's rate factor. Doses are the card's and the pour's own.

    From the due time of its last pass on the pour counts as covered, with a blanket where one is to be laid.
    """
    card = mix_of(pour, job.mixes, job.practice)
    depth_m, site = pour_takeoff(pour, job).lift_depth_m, Site(job.conditions, job.materials)
    view = _View(job, pour, card, depth_m, site, factor, blanket)
    return tuple(_hour(view, at) for at in starts)


@dataclass(frozen=True)
class _View:
    """What stays the same over the hours of one pour."""

    job: Job
    pour: Pour
    card: MixCard
    depth_m: float
    site: Site
    factor: float
    blanket: bool

    @property
    def doses(self) -> tuple[float, ...]:
        own = () if self.pour.packets is None else (self.pour.packets,)
        return tuple(sorted({*self.card.retarder.packets, *own}))


def _hour(view: _View, at: float) -> HourOutlook:
    bare = _clock(view, at, 0.0)
    values, tip = view.job.practice, _tip(view, at)
    weather = view.site.weather(view.pour.id, tip)
    warm = Temperatures(bare.slab_c, bare.mix_c, _bare_c(view, bare))
    return HourOutlook(
        pour=view.pour.id,
        at=at,
        slab_c=warm.slab_c,
        mix_c=warm.mix_c,
        surface_c=warm.surface_c,
        drying=drying(warm.surface_c, weather, values),
        findings=findings(warm, weather, lowest_air_c(bare.weather, tip, values), values),
        doses=tuple(_dose(view, replace(bare, packets=packets)) for packets in view.doses),
    )


def _bare_c(view: _View, bare: BatchClock) -> float:
    """The warmer of the mix and of the patch when its last pass is due: a hot slab heats a cool mix within minutes."""
    return max(bare.mix_c, trajectory(bare).temperature_at(_last_due(view, bare)))


def _tip(view: _View, water_at: float) -> float:
    return water_at + view.card.mixing_s + view.job.times.carry_s


def _clock(view: _View, water_at: float, packets: float) -> BatchClock:
    site, pour, tip = view.site, view.pour.id, _tip(view, water_at)
    bags_c, water_c, ice_kg = (read(pour, water_at) for read in (site.bags_c, site.water_c, site.ice_kg))
    return BatchClock(
        card=view.card,
        packets=packets,
        water_at=water_at,
        mix_c=mix_c(view.card, bags_c, water_c, ice_kg),
        mix_readings=(),
        tip_at=tip,
        slab_c=site.slab_c(pour, tip),
        depth_m=view.depth_m,
        weather=site.weather_from(pour, tip),
        covered=(),
        factor=((water_at, view.factor),),
        heat=heat_from(view.job.practice),
    )


def _dose(view: _View, bare: BatchClock) -> DoseOutlook:
    tip, card = _tip(view, bare.water_at), view.card
    path = trajectory(_covered(view, bare))
    feet, wheels = (opening(path, tip, label_s) for label_s in (card.opening.feet_s, card.opening.wheels_s))
    span, known_until = (tip, morning_after(tip, view.job)), max(row.at for row in view.job.conditions)
    return DoseOutlook(
        packets=bare.packets,
        workable_s=workable_until(path, card) - bare.water_at,
        feet=feet,
        wheels=wheels,
        night=first_night(path, card, bare.weather, span, known_until, view.job.practice),
        targets=tuple(_targets(view, {"feet": feet, "wheels": wheels})),
    )


def _covered(view: _View, bare: BatchClock) -> BatchClock:
    """Covered from the due time of the last pass on, as the day itself counts it until that stroke is stamped."""
    finished = _last_due(view, bare)
    blankets = ((finished, blanket_from(view.job.practice)),) if view.blanket else ()
    return replace(bare, covered=((finished, True),), blankets=blankets)


def _last_due(view: _View, bare: BatchClock) -> float:
    last, tip = PASSES_OF[view.pour.finish][-1:], _tip(view, bare.water_at)
    (_, window), *_ = pass_times(view.card, last, trajectory(bare), tip, view.job.times.strike_off_s)
    return window.due


def _targets(view: _View, opens: dict[OpenTo, float | None]) -> Iterator[tuple[OpenTo, TargetResult]]:
    for target in view.job.targets:
        if view.pour.id in target.pours:
            yield target.open_to, target_result(opens[target.open_to], target.by)


def morning_after(at: float, job: Job) -> float:
    """The end of the next night: the practice's hour, local time, on the day after."""
    zone = ZoneInfo(job.zone)
    morning = datetime.datetime.fromtimestamp(at, zone).date() + datetime.timedelta(days=1)
    hour = datetime.time(int(job.practice["frost.morning"]))
    return datetime.datetime.combine(morning, hour, zone).timestamp()


def last_start(hours: Sequence[HourOutlook], packets: float) -> float | None:
    """The latest start that keeps the pour's targets and that no forecast frost comes too soon for; None: none does."""
    fitting = (hour.at for hour in hours if _keeps(hour.dose(packets)))
    return max(fitting, default=None)


def _keeps(dose: DoseOutlook) -> bool:
    return dose.keeps_targets and dose.night.word != "not reached"


def clears_at(hours: Sequence[HourOutlook], like: Finding) -> float | None:
    """The first start at which nothing is found of the kind of a finding; None: not in these hours."""
    return next(
        (h.at for h in hours if (like.of, like.band) not in {(f.of, f.band) for f in h.findings}), None
    )
