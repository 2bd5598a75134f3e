"""What one log holds of the clock: each sign with the clock of its batch or trial bucket, on the card as written."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

from engine.clock import Stamp
from engine.job.model import Job
from engine.pour.events import DayOpened, Event, SignWord
from engine.pour.journal import Journal
from engine.pour.reckoning import Moment, limit_of
from engine.pour.state import Sign
from engine.record.folded import folded
from engine.site.trajectory import BatchClock, Trajectory

EXACT = ("stiff", "ready")  # these say when a limit was met, the others only that it was not
LOOKS = 5  # temperatures averaged from water contact to a sign


@dataclass(frozen=True)
class LoggedDay:
    """A log folded: its job as cards and job file are written, without learned values, and what stands of it.

    `opened` is the stamp of its first line, by which it is known again; `torn`: it ends in half a line, left out.
    """

    name: str
    job: Job
    journal: Journal
    opened: Stamp
    made_up: bool
    torn: bool = False


@dataclass(frozen=True)
class Seen:
    """A sign of a limit: `working_time`, or a pass with `_due`, whose set age on the card is `limit_s`.

    `clock` is that of its batch with no rate factor; `noise` is in ln set age; `line` is its line in the log.
    """

    day: int
    line: int
    word: SignWord
    limit: str
    limit_s: float
    clock: BatchClock
    at: float
    noise: float
    mean_c: float

    @property
    def exact(self) -> bool:
        return self.word in EXACT


def logged_day(name: str, job: Job, events: Sequence[Event], torn: bool = False) -> LoggedDay:
    """A log's lines folded anew over the job as it is written."""
    if job.written is not None:
        job = replace(job, mixes=job.written.mixes, times=job.written.times, learned=(), written=None)
    opened = events[0].body
    made_up = isinstance(opened, DayOpened) and opened.made_up
    return LoggedDay(name, job, folded(job, events, name), events[0].stamp, made_up, torn)


class Clocks(Moment):
    """A moment that hands out the clocks signs were seen on."""

    def clock_of(self, sign: Sign) -> BatchClock:
        trial = next((trial for trial in self.day.trials if trial.id == sign.subject), None)
        return self._trial_clock(trial) if trial else self._clock(self.day.batch(sign.subject), (), ())


def signs_of(day: LoggedDay, number: int) -> Iterator[Seen]:
    """The signs of a log that somebody pressed, with what each speaks of; `number` is the log's among all."""
    facts, hows = day.journal.day, {event.seq: event.how for event in day.journal.standing()}
    for sign in sorted(facts.signs, key=lambda sign: sign.at):
        clock = Clocks(facts, sign.at).clock_of(sign)
        if sign.at > clock.water_at and hows.get(sign.seq) != "assumed":
            yield _seen(day, number, sign, clock)


def _seen(day: LoggedDay, number: int, sign: Sign, clock: BatchClock) -> Seen:
    workable = sign.word in ("stiff", "still moves")
    noise = day.job.practice["learning.stiff_noise" if sign.word == "stiff" else "learning.word_noise"]
    return Seen(
        day=number,
        line=sign.seq,
        word=sign.word,
        limit="working_time" if workable else f"{sign.name or 'first_trowel'}_due",
        limit_s=limit_of(clock.card, sign),
        clock=clock,
        at=sign.at,
        noise=noise,
        mean_c=_mean_c(clock, sign.at),
    )


def _mean_c(clock: BatchClock, at: float) -> float:
    path, span_s = Trajectory(clock), at - clock.water_at
    looks = (path.temperature_at(clock.water_at + span_s * (n + 0.5) / LOOKS) for n in range(LOOKS))
    return sum(looks) / LOOKS
