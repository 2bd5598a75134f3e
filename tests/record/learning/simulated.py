"""Logs of days on which the material obeys a card that nobody in them knows: signs at the true limits, with noise.

Our own simulation, no source: a sign falls where the true set age is its true limit times exp(noise), the day's
rate factor drawn log-normal; a look before a limit says `not yet` or `still moves` where the limit so drawn is ahead.
"""

from __future__ import annotations

import datetime
import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from functools import cache
from random import Random

from engine.clock import Stamp
from engine.job.model import Job
from engine.mix.card import MixCard
from engine.pour import events as e
from engine.pour.body import Body
from engine.pour.reckoning import Moment
from engine.record.learning.seen import LoggedDay, Seen, logged_day, signs_of
from engine.site.conditions import ForecastRow, Materials
from engine.site.trajectory import Trajectory
from tests.pour.driving import library

STIFF, WORD = 0.10, 0.15  # noise in ln set age, as the practice values have it
DAY_SD = 0.10
DAY_S = 86400.0


@dataclass(frozen=True)
class Truth:
    """What no log says: energy in J/mol, true limits over the card's, true stretches at 1 and 2 packets."""

    energy_j_mol: float = 46_000.0
    working: float = 1.15
    first_trowel: float = 0.9
    second_trowel: float = 1.1
    stretch: tuple[float, float] = (2.3, 3.2)

    def card(self, card: MixCard) -> MixCard:
        return replace(
            card,
            setting=replace(card.setting, activation_j_mol=self.energy_j_mol),
            retarder=replace(card.retarder, stretch=(1.0, *self.stretch)),
        )

    def limit_s(self, seen: Seen) -> float:
        scale = {"working_time": self.working}.get(seen.limit)
        return seen.limit_s * (scale or getattr(self, seen.limit.removesuffix("_due")))


TRUTH = Truth()


@cache
def job_at(temperature_c: float, number: int) -> Job:
    """The library's job with everything at one temperature, a day later for each number."""
    job = library()
    start = job.start + number * DAY_S
    date = datetime.date.fromisoformat(job.date) + datetime.timedelta(days=number)
    row = ForecastRow(start, temperature_c, 0.8, 1.0, sun=False, slab_c=temperature_c)
    warm = Materials(temperature_c, temperature_c)
    return replace(job, date=date.isoformat(), start=start, conditions=(row,), materials=warm)


class Writer:
    """Events of one day as they fall; `after_s` is from the day's start."""

    def __init__(self, job: Job, made_up: bool = False) -> None:
        self.job = job
        self.events: list[e.Event] = []
        self.at(0.0, e.DayOpened(job, "simulated", made_up))

    def at(self, after_s: float, body: Body, who: str = "") -> float:
        at = self.job.start + after_s
        stamp = Stamp(at, after_s, "simulated")
        self.events.append(e.Event(len(self.events) + 1, at, body, stamp, who))
        return after_s

    def day(self, name: str) -> LoggedDay:
        return logged_day(name, self.job, self.events)

    def sign(self, truth: Truth, factor: float, noise: float, sign: e.SignSeen, look: float = 1.0) -> None:
        """A sign where the true age is its true limit, by so much noise (ln); `look`: at that part of the limit."""
        probe = Writer(self.job)
        probe.events = [*self.events, self._event(self.events[-1].at - self.job.start + 1.0, sign)]
        (seen,) = [s for s in signs_of(probe.day("probe"), 0) if s.line == len(probe.events)]
        path = Trajectory(
            replace(seen.clock, card=truth.card(seen.clock.card), factor=((seen.clock.water_at, factor),))
        )
        at = path.time_of(truth.limit_s(seen) * look * (1.0 if look < 1.0 else math.exp(noise)))
        if at is not None and (look == 1.0 or look < math.exp(noise)):
            self.at(at - self.job.start, sign)

    def _event(self, after_s: float, body: Body) -> e.Event:
        at = self.job.start + after_s
        return e.Event(len(self.events) + 1, at, body, Stamp(at, after_s, "simulated"))


def bucket(writer: Writer, truth: Truth, factor: float, rng: Random, packets: float) -> None:
    """A trial bucket that goes stiff."""
    name = f"T{len(writer.events)}"
    writer.at(60.0, e.TrialStarted(name, "small-stone", packets))
    writer.sign(truth, factor, rng.gauss(0.0, STIFF), e.SignSeen("stiff", name))


def batch(writer: Writer, truth: Truth, factor: float, rng: Random, pour: str, packets: float) -> None:
    """A batch mixed and tipped, looked at too early, then ready for both trowels."""
    name = f"{pour}.1"
    water = writer.at(600.0, e.WaterAdded(name, pour, 1.0, packets), "MA")
    mixed = writer.at(water + 100.0, e.Mixed(name), "MA")
    writer.at(mixed + 40.0, e.Tipped(name), "F")
    writer.sign(truth, factor, rng.gauss(0.0, WORD), e.SignSeen("still moves", name), look=0.85)
    writer.sign(truth, factor, rng.gauss(0.0, WORD), e.SignSeen("not yet", name, "first_trowel"), look=0.8)
    writer.sign(truth, factor, rng.gauss(0.0, WORD), e.SignSeen("ready", name, "first_trowel"))
    writer.sign(truth, factor, rng.gauss(0.0, WORD), e.SignSeen("ready", name, "second_trowel"))


def simulated(
    seed: int,
    temperatures_c: Sequence[float],
    truth: Truth = TRUTH,
    buckets: Iterable[float] = (0.0, 1.0),
    batches: Iterable[tuple[str, float]] = (("P1", 0.0),),
    day_sd: float = DAY_SD,
) -> list[LoggedDay]:
    """A log for each temperature, all from one seed."""
    rng, days = Random(seed), []
    for number, temperature_c in enumerate(temperatures_c):
        factor = math.exp(rng.gauss(0.0, day_sd))
        writer = Writer(job_at(temperature_c, number))
        for packets in buckets:
            bucket(writer, truth, factor, rng, packets)
        for pour, packets in batches:
            batch(writer, truth, factor, rng, pour, packets)
        days.append(writer.day(f"day-{number}.jsonl"))
    return days


def signs(days: Sequence[LoggedDay]) -> list[Seen]:
    """All signs, numbered by day."""
    return [seen for number, day in enumerate(days) for seen in signs_of(day, number)]


def moment(day: LoggedDay) -> Moment:
    """A log at its end."""
    return Moment(day.journal.day, day.job.start + DAY_S)
