"""A live day on a log: what a screen talks to."""

from __future__ import annotations

from collections import deque
from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING

from engine import PROGRAM
from engine.clock import Clock, ScaledClock, Stamp, SystemClock, Timeline
from engine.console.ground import at_start, date_on_site, log_folder, made_up
from engine.errors import BadInput, Problem
from engine.job.files import demo_job_path, read_job
from engine.job.model import Job
from engine.pour.after_view import AfterView
from engine.pour.asked import Done, Refused, Told
from engine.pour.events import DayOpened, Event
from engine.pour.intents import Intent
from engine.pour.journal import Journal, open_journal
from engine.pour.plan_view import PlanView
from engine.pour.views import LiveView, PlanWanted
from engine.record.day import DayLog, Opened
from engine.record.entries import Place
from engine.record.folded import folded
from engine.record.folder import latest, log_path, moved_to, next_free
from engine.record.lines import Line
from engine.record.spoken import spoken
from engine.record.store import FileStore, Store, create_log, open_for_append
from engine.record.writer import Trouble, Writer
from engine.record.written import events_of
from engine.words import Say, Words, say

if TYPE_CHECKING:
    import datetime

    from engine.pour.around.ways_out import WaysOut
    from engine.rehearsal.session import Rehearsal

REHEARSALS = "rehearsals"  # never among the logs of working days
SLOW_DISK_S = 2.0  # a line that waits longer is told


class Session:
    """A live day on a log: what the screen talks to. Close it, or its last lines may not be kept."""

    read_only = False

    def __init__(
        self,
        store: Store,
        job: Job | None,
        clock: Clock,
        said: Words,
        made_up: bool = False,
        pace: float = 1.0,
    ) -> None:
        self._kept_seq = len(store.contents.lines)
        self.pace, self._clock = pace, clock
        self._tell_kept: Callable[[int], object] = int
        self._failing: Say | None = None
        self._waiting: deque[tuple[int, float]] = deque()  # lines put and when, by the running clock
        self._writer = Writer(store, self._kept, self._in_trouble, on_moved=self._moved)
        try:
            self._day = self._open(store, job, clock, said, made_up)
        except BaseException:
            self._writer.close()
            raise

    def _open(self, store: Store, job: Job | None, clock: Clock, said: Words, made_up: bool) -> DayLog:
        if store.contents.lines:
            found, events, timeline = events_of(store.contents.lines, store.name)
            _worked(events, store.name)
            opened = Opened(folded(found, events, store.name), timeline, len(events))
            day = DayLog(opened, clock, self._put, said)
        else:
            if job is None:
                raise BadInput([Problem(store.name, "", "an empty file", "a log, which begins with its job")])
            day = DayLog(Opened(open_journal(job), Timeline(), 0), clock, self._put, said)
            day.write_first(DayOpened(job, PROGRAM, made_up))
            _foresee(day, job, said)
        if store.set_aside:
            day.banner(say("banner.torn_tail", path=store.set_aside))
        return day

    def _put(self, line: Line) -> None:
        self._writer.put(line)
        self._waiting.append((line.seq, self._clock.stamp().boot))

    def _kept(self, seq: int) -> None:
        self._kept_seq, self._failing = seq, None
        self._tell_kept(seq)

    def _in_trouble(self, error: Trouble) -> None:
        self._failing = say("banner.disk", why=_why(error))
        self._tell_kept(self._kept_seq)

    def _moved(self, path: Path, error: Trouble | None) -> None:
        if error is None:
            self._day.banner(say("keeping.moved", path=path))
        else:
            self._day.banner(say("keeping.not_moved", path=path, why=_why(error)))
        self._tell_kept(self._kept_seq)

    @property
    def trouble(self) -> Say | None:
        """What is wrong with the disk: it fails, or has not answered for a line that waits for long."""
        return self._failing or (say("keeping.slow") if self._waits_s() > SLOW_DISK_S * self.pace else None)

    def _waits_s(self) -> float:
        """Seconds, by the session's clock, that the oldest line not kept has waited."""
        while self._waiting and self._waiting[0][0] <= self._kept_seq:
            self._waiting.popleft()
        return self._clock.stamp().boot - self._waiting[0][1] if self._waiting else 0.0

    @property
    def job(self) -> Job:
        return self._day.journal.day.job

    @property
    def journal(self) -> Journal:
        return self._day.journal

    @property
    def job_name(self) -> str:
        return self.job.name

    @property
    def zone(self) -> str:
        return self.job.zone

    @property
    def units(self) -> str:
        return self.job.units

    @property
    def pours(self) -> tuple[str, ...]:
        """Every pour of the queue, in its order."""
        return tuple(pour.id for pour in self.journal.day.pours)

    @property
    def kept_seq(self) -> int:
        """The last line that is flushed to the disk."""
        return self._kept_seq

    @property
    def log_path(self) -> str:
        return self._writer.name

    def on_kept(self, callback: Callable[[int], None]) -> None:
        """Call back, from the writer's thread, when more is kept or the disk is in trouble."""
        self._tell_kept = callback

    def now(self) -> float:
        return self._day.now()

    def pressed(self, event_time: float) -> Stamp:
        return self._day.pressed(event_time)

    def view(self, at: float | None = None) -> LiveView:
        return self._day.view(at)

    def glance(self) -> LiveView:
        return self._day.glance()

    def plan_wanted(self) -> PlanWanted:
        return self._day.plan_wanted()

    def replan(self) -> None:
        self._day.replan()

    def plan_page(self) -> PlanView:
        """What the plan screen draws beside the live view."""
        return self._day.plan_page()

    def after_page(self) -> AfterView:
        """What the after screen draws beside the live view."""
        return self._day.after_page()

    def choices_asked(self, said: Words) -> str:
        """What another process needs to lay choices of this day side by side."""
        from engine.console.side_by_side import choices_asked

        return choices_asked(self.journal.day, said)

    def submit(self, intent: Intent, pressed: Stamp | None = None) -> Done | Refused:
        return self._day.submit(intent, pressed)

    def ways_out(self) -> WaysOut:
        """What may be done about the trouble the day is in now; up to three ways, each scheduled."""
        return self._day.ways_out()

    def reading(self, line: str, pour: str = "") -> Intent | Refused | Told:
        """What a line such as `air 53 sun wind 6` or `lot A123` asks for, in the job's units; a question's answer.

        `log FOLDER` takes the log there; `log` alone says where it is.
        """
        word, _, rest = line.strip().partition(" ")
        if word.casefold() == "log":
            return self._log_asked(rest.strip())
        told = self._day.asked(line)
        if told is not None:
            return told
        day = self.journal.day
        pours = tuple(one.id for one in day.pours)
        return spoken(
            line,
            Place(self.job.units, pours, self.job.practice, pour, tuple(card.key for card in self.job.mixes)),
        )

    def _log_asked(self, typed: str) -> Told | Refused:
        if not typed:
            return Told(say("keeping.at", path=self.log_path))
        try:
            path = moved_to(typed, Path(self.log_path))
        except (OSError, RuntimeError, ValueError) as why:
            return Refused(say("keeping.no_place", path=typed, why=_why(why)))
        self._writer.move_to(path)
        return Told(say("keeping.moving", path=path))

    def answer_banners(self) -> None:
        self._day.answer_banners()

    def close(self) -> tuple[int, ...]:
        """Write what waits; the numbers of lines that could not be kept."""
        return tuple(line.seq for line in self._writer.close())


def _why(error: Exception) -> str:
    """In the system's words, without the number and the path."""
    return (error.strerror if isinstance(error, OSError) else None) or str(error)


def _foresee(day: DayLog, job: Job, said: Words) -> None:
    """Warns of pours that nothing holds. Loaded here: a day gone on with was warned of them."""
    from engine.pour.foreseen import foreseen_said, impossible_pours

    for foreseen in impossible_pours(at_start(job)):
        day.banner(foreseen_said(foreseen, said))


def open_session(
    job_path: Path | None,
    said: Words,
    *,
    log: Path | None = None,
    fresh: bool = False,
    clock: Clock | None = None,
) -> Session:
    """Go on with the day's log of a job, or begin it. Raises `BadInput`, `LogHeld`, `LogDamaged`, `OSError`."""
    clock = clock or SystemClock()
    path = job_path or demo_job_path()
    today = date_on_site(clock)
    found = log or latest(log_folder(), path, today.isoformat())
    if found is not None and found.exists() and not fresh:
        return _gone_on(open_for_append(found), path if job_path or not log else None, today, clock, said)
    job = read_job(path, today)
    new = next_free(log or log_path(log_folder(), path, today.isoformat()))
    return Session(create_log(new), job, clock, said)


def _gone_on(store: FileStore, path: Path | None, today: datetime.date, clock: Clock, said: Words) -> Session:
    """The day of a log; one that a kill or a power cut left without a whole first line is begun again."""
    try:
        job = None if store.contents.lines or path is None else read_job(path, today)
    except BaseException:
        store.close()
        raise
    return Session(store, job, clock, said)


def _worked(events: tuple[Event, ...], log: str) -> None:
    """Refuses, by `BadInput`, to go on with a rehearsal as with a working day."""
    if made_up(events):
        why = "the log of a rehearsal; name another for the working day, or leave --log out"
        raise BadInput([Problem(log, "--log", "", why)])


def open_rehearsal(
    job_path: Path | None,
    said: Words,
    *,
    speed: float,
    seed: int,
    crewed: bool = True,
    log: Path | None = None,
    clock: Clock | None = None,
) -> Rehearsal:
    """A made-up day of a job on a faster clock, in a new log of its own; `crewed` false leaves the keys to the user.

    It begins at the job's start. Raises `BadInput`, `LogHeld`, `OSError`.
    """
    from engine.rehearsal.session import Rehearsal

    clock = clock or SystemClock()
    path = job_path or demo_job_path()
    job = read_job(path, date_on_site(clock))
    made_up = ScaledClock(clock, speed, wall=job.start)
    new = next_free(log or log_path(log_folder() / REHEARSALS, path, date_on_site(clock).isoformat()))
    session = Session(create_log(new), job, made_up, said, made_up=True, pace=speed)
    return Rehearsal(session, speed, seed, crewed=crewed)
