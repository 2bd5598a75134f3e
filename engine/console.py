"""The one door for screens and commands: open a job or a log, submit an intent, ask for a view or a status."""

from __future__ import annotations

import datetime
import os
from collections.abc import Callable
from pathlib import Path
from typing import Any

from engine import PROGRAM, units
from engine.clock import Clock, ScaledClock, Stamp, SystemClock, Timeline
from engine.errors import BadInput, Problem
from engine.job.files import demo_job_path, read_job, read_words
from engine.job.model import Job
from engine.pour.around.coming_back import visit_table, visits_due
from engine.pour.around.hourly import hourly_table
from engine.pour.around.mixing_water import water_table
from engine.pour.asked import Done, Refused, Told
from engine.pour.events import DayOpened, Event
from engine.pour.foreseen import foreseen_said, impossible_pours
from engine.pour.intents import Intent
from engine.pour.journal import Journal, fold, open_journal
from engine.pour.planned import planned
from engine.pour.planning import day_plan, quick_plan
from engine.pour.reckoning import Moment
from engine.pour.status import status as status_of
from engine.pour.views import LiveView
from engine.record.calendar import due_calendar
from engine.record.day import DayLog, Opened
from engine.record.entered import enter_file
from engine.record.entries import Place
from engine.record.folder import default_folder, latest, log_path, next_free
from engine.record.lines import FIRST_HASH, encode
from engine.record.listing import as_text, listing
from engine.record.moments import moment_named
from engine.record.spoken import spoken
from engine.record.store import FileStore, create_log, open_for_append, read_log
from engine.record.writer import Trouble, Writer
from engine.record.written import events_of, line_of
from engine.rehearsal.days import days_table, rehearse_day
from engine.rehearsal.session import Rehearsal
from engine.rehearsal.weighed import Weighed, choices_table, weighed
from engine.words import Say, Words, say


def words(language: str = "en") -> Words:
    """The catalogue of a language."""
    return Words(read_words(language))


def _today(clock: Clock | None) -> datetime.date:
    """The date on site, by the machine's zone."""
    return datetime.datetime.fromtimestamp((clock or SystemClock()).stamp().wall).astimezone().date()


def check(
    job_path: Path,
    said: Words,
    clock: Clock | None = None,
    *,
    hours: bool = False,
    mix_temperature: str | None = None,
) -> dict[str, Any]:
    """The plan of a job file, as plain JSON values. Raises `BadInput` with every problem of its files.

    `hours` adds the day hour by hour; `mix_temperature`, such as "65 degF", the water that brings the mix to it.
    """
    wanted_c = None if mix_temperature is None else _temperature(mix_temperature)
    moment = _start(read_job(job_path, _today(clock)))
    plan = day_plan(moment, rounds=3, search=SEARCHED)
    found = planned(moment, plan, said)
    if hours:
        found["hours"] = hourly_table(moment, said)
    if wanted_c is not None:
        found["water_for_mix"] = water_table(moment, wanted_c, said)
    return found


def _temperature(text: str) -> float:
    """Of an option. Raises `BadInput`."""
    try:
        return units.parse(text, "temperature")
    except ValueError as refused:
        raise BadInput([Problem("", "--mix-temperature", text, str(refused))]) from None


def _start(job: Job) -> Moment:
    return Moment(open_journal(job).day, job.start)


def enter(job_path: Path, notes_path: Path, out: Path, said: Words, clock: Clock | None = None) -> int:
    """Write the log of a day's notes; the number of lines. Raises `BadInput` for what the files or the day refuse."""
    job = read_job(job_path, _today(clock))
    events = enter_file(job, notes_path, said, PROGRAM)
    previous, whole, timeline = FIRST_HASH, bytearray(), Timeline()
    for event in events:
        timeline = timeline.seen(event.stamp)
        chunk, previous = encode(line_of(event, timeline.at(event.stamp)), previous)
        whole += chunk
    _fresh(out)
    create_log(out, bytes(whole)).close()
    return len(events)


def _fresh(out: Path) -> None:
    """Make way for a new log. Raises `BadInput` where something stands there already."""
    if out.exists():
        if not out.is_file() or out.stat().st_size:
            raise BadInput(
                [Problem(str(out), "-o", "", "there is something here already; name another file")]
            )
        out.unlink()


def _read(log: Path) -> tuple[Job, tuple[Event, ...], bool]:
    contents = read_log(log)
    job, events, _ = events_of(contents.lines, str(log))
    return job, events, bool(contents.tail)


def status(log: Path, at: str | None, said: Words, clock: Clock | None = None) -> dict[str, Any]:
    """A log at a moment (left out: now, or the day's last line where that day is over), as plain JSON values."""
    job, events, torn = _read(log)
    now = (clock or SystemClock()).stamp().wall
    when = moment_named(at, job, log) if at else max(events[-1].at, min(now, events[-1].at + DAY_S))
    journal = fold(job, (event for event in events if event.at <= when))
    moment = Moment(journal.day, when)
    found = status_of(moment, quick_plan(moment), said)
    marks = {"torn_tail": torn, "rehearsal": _made_up(events)}
    return found | {mark: True for mark, is_so in marks.items() if is_so}


REHEARSALS = "rehearsals"  # never among the logs of working days
SEARCHED = 300  # plans tried for a day before it begins
DAY_S = 24 * 3600.0


def choices(
    job_path: Path,
    said: Words,
    days: int,
    told: Callable[[int, int], object] = lambda _done, _all: None,
    clock: Clock | None = None,
) -> dict[str, Any]:
    """What single changes would do to a job, each rehearsed on the same days, as plain JSON values.

    `told` hears how many days of how many are done. Interrupted (`KeyboardInterrupt`), the answer so far is given.
    Raises `BadInput`.
    """
    job = read_job(job_path, _today(clock))
    rows: tuple[Weighed, ...] = ()
    try:
        for rows in weighed(job, days):
            told(rows[0].days, days)
    except KeyboardInterrupt:
        if not rows:
            raise
    head = {"job": job.name, "time_zone": job.zone, "units": job.units, "currency": job.currency}
    return {**head, **choices_table(rows, said)}


def returns(
    log: Path, said: Words, out: Path | None = None, clock: Clock | None = None
) -> list[dict[str, Any]]:
    """Visits still due by a log; `out` gets those with a day as a calendar file. Raises as `status` does."""
    job, events, _ = _read(log)
    moment = Moment(fold(job, events).day, events[-1].at)
    due = visits_due(moment)
    if out is not None:
        _fresh(out)
        written = datetime.datetime.fromtimestamp((clock or SystemClock()).stamp().wall, datetime.UTC)
        out.write_text(due_calendar(job, due, written, said), encoding="utf-8", newline="")
    return [visit_table(visit, said) for visit in due]


def replay_list(log: Path, said: Words) -> list[dict[str, Any]]:
    """Every line of a log in words."""
    job, events, _ = _read(log)
    return listing(job, events, said)


def replay_text(entries: list[dict[str, Any]], said: Words) -> str:
    """The list as lines of text."""
    return as_text(entries, said)


class Session:
    """A live day on a log: what the screen talks to. Close it, or its last lines may not be kept."""

    read_only = False
    pace = 1.0

    def __init__(
        self, store: FileStore, job: Job | None, clock: Clock, said: Words, made_up: bool = False
    ) -> None:
        lines = store.contents.lines
        self._kept_seq = len(lines)
        self._tell_kept: Callable[[int], object] = int
        self.trouble: Say | None = None
        self._writer = Writer(store, self._kept, self._in_trouble)
        try:
            self._day = self._open(store, job, clock, said, made_up)
        except BaseException:
            self._writer.close()
            raise

    def _open(self, store: FileStore, job: Job | None, clock: Clock, said: Words, made_up: bool) -> DayLog:
        if store.contents.lines:
            found, events, timeline = events_of(store.contents.lines, store.name)
            _worked(events, store.name)
            opened = Opened(fold(found, events), timeline, len(events))
            day = DayLog(opened, clock, self._writer.put, said)
        else:
            assert job is not None
            day = DayLog(Opened(open_journal(job), Timeline(), 0), clock, self._writer.put, said)
            day.write_first(DayOpened(job, PROGRAM, made_up))
            for foreseen in impossible_pours(_start(job)):
                day.banner(foreseen_said(foreseen, said))
        if store.set_aside:
            day.banner(say("banner.torn_tail", path=store.set_aside))
        return day

    def _kept(self, seq: int) -> None:
        self._kept_seq, self.trouble = seq, None
        self._tell_kept(seq)

    def _in_trouble(self, error: Trouble) -> None:
        self.trouble = say("banner.disk", why=str(error))
        self._tell_kept(self._kept_seq)

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

    def submit(self, intent: Intent, pressed: Stamp | None = None) -> Done | Refused:
        return self._day.submit(intent, pressed)

    def reading(self, line: str, pour: str = "") -> Intent | Refused | Told:
        """What a line such as `air 53 sun wind 6` or `lot A123` asks for, in the job's units; a question's answer."""
        told = self._day.asked(line)
        if told is not None:
            return told
        day = self.journal.day
        pours = tuple(one.id for one in day.pours)
        return spoken(line, Place(self.job.units, pours, self.job.practice, pour))

    def answer_banners(self) -> None:
        self._day.answer_banners()

    def close(self) -> tuple[int, ...]:
        """Write what waits; the numbers of lines that could not be kept."""
        return tuple(line.seq for line in self._writer.close())


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
    today = _today(clock)
    found = log or latest(_folder(), path, today.isoformat())
    if found is not None and found.exists() and not fresh:
        return Session(open_for_append(found), None, clock, said)
    job = read_job(path, today)
    new = next_free(log or log_path(_folder(), path, today.isoformat()))
    return Session(create_log(new), job, clock, said)


def _worked(events: tuple[Event, ...], log: str) -> None:
    """Refuses, by `BadInput`, to go on with a rehearsal as with a working day."""
    if _made_up(events):
        why = "the log of a rehearsal; name another for the working day, or leave --log out"
        raise BadInput([Problem(log, "--log", "", why)])


def _made_up(events: tuple[Event, ...]) -> bool:
    opened = events[0].body
    return isinstance(opened, DayOpened) and opened.made_up


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
    clock = clock or SystemClock()
    path = job_path or demo_job_path()
    job = read_job(path, _today(clock))
    made_up = ScaledClock(clock, speed, wall=job.start)
    new = next_free(log or log_path(_folder() / REHEARSALS, path, _today(clock).isoformat()))
    session = Session(create_log(new), job, made_up, said, made_up=True)
    return Rehearsal(session, speed, seed, crewed=crewed)


def rehearse(
    job_path: Path | None, said: Words, days: int, seed: int, clock: Clock | None = None
) -> dict[str, Any]:
    """Days of a job without a screen, one a seed from `seed` on, as plain JSON values. Raises `BadInput`."""
    job = read_job(job_path or demo_job_path(), _today(clock))
    found = [rehearse_day(job, seed + number, said) for number in range(days)]
    return {"job": job.name, "time_zone": job.zone, "units": job.units, **days_table(job, found)}


def _folder() -> Path:
    """Where logs live; `BAGCALL_LOGS` names another folder."""
    named = os.environ.get("BAGCALL_LOGS")
    return Path(named) if named else default_folder()
