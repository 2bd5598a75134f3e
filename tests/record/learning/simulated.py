"""Logs of days on which the material obeys a card that nobody in them knows: signs at the true limits, with noise.

Our own simulation, no source: a sign falls where the true set age is its true limit times exp(noise), the day's
rate factor drawn log-normal; a look before a limit says `not yet` or `still moves` where the limit so drawn is ahead.
"""

from __future__ import annotations

import datetime
import math
from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import cache
from pathlib import Path
from random import Random
from typing import Any

from engine.clock import Stamp, Timeline
from engine.job.model import Job
from engine.mix.card import MixCard
from engine.pour import events as e
from engine.pour.body import Body
from engine.pour.journal import fold
from engine.pour.reckoning import limit_of
from engine.pour.state import Sign
from engine.record.learning.seen import Clocks, LoggedDay, Seen, logged_day, signs_of
from engine.record.lines import FIRST_HASH, encode
from engine.record.written import line_of
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

    def scale(self, sign: e.SignSeen) -> float:
        """The true limit a sign speaks of, over the card's."""
        if sign.name is None:
            return self.working
        return {"first_trowel": self.first_trowel, "second_trowel": self.second_trowel}[sign.name]


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
        facts = Sign(sign.word, sign.subject, sign.name, self.events[-1].at, 0)
        clock = Clocks(fold(self.job, self.events).day, facts.at).clock_of(facts)
        limit_s = limit_of(clock.card, facts) * truth.scale(sign)
        true = replace(clock, card=truth.card(clock.card), factor=((clock.water_at, factor),))
        at = Trajectory(true).time_of(limit_s * (look if look < 1.0 else math.exp(noise)))
        if at is not None and (look == 1.0 or look < math.exp(noise)):
            self.at(at - self.job.start, sign)


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


def written(
    seed: int,
    temperatures_c: Sequence[float],
    truth: Truth = TRUTH,
    buckets: Sequence[float] = (0.0, 1.0),
    batches: Sequence[tuple[str, float]] = (("P1", 0.0),),
    day_sd: float = DAY_SD,
) -> list[Writer]:
    """A day for each temperature, all from one seed."""
    rng, days = Random(seed), []
    for number, temperature_c in enumerate(temperatures_c):
        factor = math.exp(rng.gauss(0.0, day_sd))
        writer = Writer(job_at(temperature_c, number))
        for packets in buckets:
            bucket(writer, truth, factor, rng, packets)
        for pour, packets in batches:
            batch(writer, truth, factor, rng, pour, packets)
        days.append(writer)
    return days


def simulated(seed: int, temperatures_c: Sequence[float], **options: Any) -> list[LoggedDay]:
    """The same as folded logs."""
    days = written(seed, temperatures_c, **options)
    return [day.day(f"day-{number}.jsonl") for number, day in enumerate(days)]


def signs(days: Sequence[LoggedDay]) -> list[Seen]:
    """All signs, numbered by day."""
    return [seen for number, day in enumerate(days) for seen in signs_of(day, number)]


def saved(day: Writer, path: Path) -> Path:
    """The day as a log."""
    previous, whole, timeline = FIRST_HASH, b"", Timeline()
    for event in day.events:
        timeline = timeline.seen(event.stamp)
        chunk, previous = encode(line_of(event, timeline.at(event.stamp)), previous)
        whole += chunk
    path.write_bytes(whole)
    return path
