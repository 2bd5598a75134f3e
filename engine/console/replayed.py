"""A day that was, behind the screens: it follows its log, stands at any moment of it or plays it, and changes nothing."""

from __future__ import annotations

import threading
from bisect import bisect_left, bisect_right
from collections.abc import Callable, Sequence
from dataclasses import replace
from pathlib import Path
from typing import Literal

from engine.clock import Clock, Stamp, SystemClock, Timeline
from engine.console.side_by_side import choices_asked
from engine.errors import LogDamaged
from engine.job.files import practice_by_key
from engine.job.model import Job
from engine.pour.after_view import AfterView
from engine.pour.around.after_page import after_page
from engine.pour.around.plan_page import plan_page
from engine.pour.around.ways_out import WaysOut
from engine.pour.asked import Refused
from engine.pour.events import DayOpened, Undone, WaterAdded
from engine.pour.intents import Intent
from engine.pour.journal import Journal
from engine.pour.live import live_view
from engine.pour.plan_view import PlanView
from engine.pour.reckoning import Moment
from engine.pour.told import told
from engine.pour.views import LiveView, PlanWanted
from engine.record.causes import causes_of, missed_said
from engine.record.follow import Follower
from engine.record.lines import Line
from engine.record.replaying.incidents import Incident, Incidents
from engine.record.replaying.past import Past
from engine.record.replaying.places import place_named
from engine.record.replaying.playing import PastClock
from engine.record.replaying.predicted import Foretold, Predicted
from engine.record.replaying.ready import make_ready
from engine.record.standing_plan import StandingPlan
from engine.record.written import event_of, job_of
from engine.words import Say, Words, say

Stop = Literal["line", "incident", "batch", "pour"]


class Replay:
    """A log on a past clock. It begins before its second line; the clock handed in only says how fast time passes.

    `line` is the latest line known at the moment shown. At the end it follows: new lines move it on. Raises `BadInput`
    or `LogDamaged` where there is no readable log.
    """

    read_only = True

    def __init__(self, log: Path, clock: Clock) -> None:
        self.log_path = str(log)
        self._clock, self._follower, self._timeline = clock, Follower(log), Timeline()
        self.trouble: Say | None = None
        self.past = self._opened()
        self._causes: tuple[int, tuple[Say, ...]] | None = None
        self._foretold = Foretold(self.past)
        self._incidents = Incidents(self.past, self._foretold)
        self._stops: dict[Stop, tuple[int, ...]] = {}
        self._looked = self._ready = 0
        self._lock = threading.Lock()  # what is known beforehand is found on a thread of its own
        self._note()
        self._plan = StandingPlan()
        self._playing = PastClock(self.past.begins)
        self._line: int | None = 1  # stepped to; None: the latest line written by the moment shown
        self.following = False

    def _opened(self) -> Past:
        lines = self._follower.poll()
        if not lines:
            raise LogDamaged(self.log_path, 1, "it holds no job")
        self._timeline = self._timeline.seen(lines[0].stamp)
        past = Past(job_of(event_of(lines[0], self._timeline, self.log_path), self.log_path), self.log_path)
        self._take(past, lines)
        return past

    def _take(self, past: Past, lines: Sequence[Line]) -> None:
        for line in lines:
            self._timeline = self._timeline.seen(line.stamp)
            past.take([event_of(line, self._timeline, self.log_path)])

    def _note(self) -> None:
        """What there is to stop at."""
        undone = {event.body.seq for event in self.past.events if isinstance(event.body, Undone)}
        waters = [
            (event.seq, event.body.pour)
            for event in self.past.events
            if isinstance(event.body, WaterAdded) and event.seq not in undone
        ]
        first: dict[str, int] = {}
        for line, pour in waters:
            first.setdefault(pour, line)
        self._stops = {
            "line": tuple(range(1, self.past.lines + 1)),
            "batch": tuple(line for line, _ in waters),
            "pour": tuple(first.values()),
        }

    def poll(self) -> bool:
        """Read the lines that came; whether there were any. A log that can be followed no longer is told, not raised."""
        if self.trouble is not None:
            return False
        try:
            lines = self._follower.poll()
            self._take(self.past, lines)
        except (LogDamaged, OSError, ValueError) as fault:
            self.trouble = say("replay.cannot_follow", why=str(fault))
            return False
        if lines:
            self._note()
        return bool(lines)

    def prepare(self, stopped: Callable[[], bool] = bool) -> None:
        """Find the incidents so far, then make every moment quick to show; long for long days, so on a thread.

        It leaves off where `stopped` says so, and goes on where it left off. `stopped` may be asked a thousand times.
        """
        while self._looked < self.past.lines and not stopped():
            with self._lock:
                self._incidents.look(self._looked + 1)
                self._looked += 1
        while self._ready < self.past.lines and not stopped():
            self._ready += 1
            make_ready(self.past, self._ready)

    # where it stands

    @property
    def job(self) -> Job:
        return self.past.job

    @property
    def incidents(self) -> tuple[Incident, ...]:
        """What went wrong or changed the day's course, in the order of the lines, as far as `prepare` came."""
        return self._incidents.all()

    @property
    def playing(self) -> bool:
        return self._playing.playing

    @property
    def pace(self) -> int:
        """Times the pace of the clock outside, while it plays."""
        return self._playing.pace

    @property
    def outside(self) -> float:
        """Seconds on the clock outside."""
        return self._clock.stamp().boot

    def now(self) -> float:
        """The moment shown, in log time; never after the latest line."""
        return min(self._playing.now(self.outside), self.past.ends)

    @property
    def line(self) -> int:
        """The latest line known at the moment shown."""
        return self._line if self._line is not None else max(1, self.past.line_at(self.now()))

    @property
    def journal(self) -> Journal:
        return self.past.journal(self.line)

    @property
    def pours(self) -> tuple[str, ...]:
        """Every pour of the queue, in its order."""
        return tuple(pour.id for pour in self.journal.day.pours)

    @property
    def kept_seq(self) -> int:
        """Every line of a log that is read is on the disk."""
        return self.past.lines

    def view(self, at: float | None = None) -> LiveView:
        """The live view as it was at the moment shown (or `at`, as known now), marked as a replay."""
        journal, moment_at = self.journal, self.now() if at is None else at
        moment = Moment(journal.day, moment_at)
        view = live_view(journal, moment, self._plan.at(journal, moment))
        return replace(view, mark=self._mark())

    def glance(self) -> LiveView:
        """The view: a replay stands on the plans of its day."""
        return self.view()

    def plan_page(self) -> PlanView:
        """The plan as it stood at the moment shown."""
        journal, moment = self.journal, Moment(self.journal.day, self.now())
        return plan_page(moment, self._plan.at(journal, moment))

    def after_page(self) -> AfterView:
        """What finished pours asked for at the moment shown."""
        return after_page(Moment(self.journal.day, self.now()), practice_by_key())

    def choices_asked(self, said: Words) -> str:
        """What another process needs to lay choices of the queue as it stood side by side."""
        return choices_asked(self.journal.day, said)

    def plan_wanted(self) -> PlanWanted:
        return "no"

    def replan(self) -> None:
        """The plan of the moment is made with its view."""

    def keep_up(self) -> None:
        """Read the lines that came; a replay that has come to the end goes on with them."""
        self.poll()
        if self.following or (self.playing and self._playing.now(self.outside) >= self.past.ends):
            self.follow()

    def _mark(self) -> Say:
        opened = self.past.events[0].body
        made_up = isinstance(opened, DayOpened) and opened.made_up
        state = "following" if self.following else "playing" if self.playing else "standing"
        return say(
            "replay.mark_made_up" if made_up else "replay.mark",
            state=say(f"replay.{state}", pace=self.pace),
            date=self.job.date,
            line=self.line,
            lines=self.past.lines,
        )

    def predicted(self) -> tuple[Predicted, ...]:
        """Every window as foretold and as it was, as known at the moment shown."""
        with self._lock:
            return self._foretold.rows(self.line, self.now())

    def causes(self) -> tuple[Say, ...]:
        """What was missed up to the line shown, with its seconds by cause; reckoned once a line."""
        line = self.line
        if self._causes is None or self._causes[0] != line:
            events = self.past.events[:line]
            self._causes = (line, missed_said(causes_of(self.job, events, events[-1].at)))
        return self._causes[1]

    def said(self) -> Say:
        """The line it stands at in words: an incident as such."""
        line = self.line
        found = next((one.said for one in self.incidents if one.line == line), None)
        return found or told(self.past.events[line - 1], self.job.units)

    # moving

    def play(self) -> None:
        """Run on, or stand still."""
        self._line, self.following = None, False
        self._playing = self._playing.moved(self.now(), self.outside)
        self._playing = self._playing.played(self.outside, not self.playing)

    def faster(self, by: int) -> None:
        """So many paces up, or (negative) down."""
        self._playing = self._playing.paced(self.outside, by)

    def go(self, at: float) -> None:
        """Stand at a moment, as far as the day goes."""
        self._stand(min(max(at, self.past.begins), self.past.ends), None)

    def go_to_line(self, line: int) -> None:
        """Stand right after a line, as far as there are any."""
        line = min(max(line, 1), self.past.lines)
        self._stand(self.past.written(line), line)

    def follow(self) -> None:
        """Stand at the latest line, and go on with every line that comes."""
        self.go_to_line(self.past.lines)
        self.following = True

    def jump(self, stop: Stop, by: int) -> bool:
        """To the next stop of a kind, or (`by` -1) the one before; whether there is one."""
        lines, here = self._lines_of(stop), self.line
        place = bisect_right(lines, here) if by > 0 else bisect_left(lines, here) - 1
        if not 0 <= place < len(lines):
            return False
        self.go_to_line(lines[place])
        return True

    def _lines_of(self, stop: Stop) -> tuple[int, ...]:
        if stop == "incident":
            return tuple(dict.fromkeys(incident.line for incident in self.incidents))
        return self._stops[stop]

    def _stand(self, at: float, line: int | None) -> None:
        self._playing = self._playing.played(self.outside, False).moved(at, self.outside)
        self._line, self.following = line, False

    def go_named(self, text: str) -> bool:
        """To a time of day, the first water of a pour, the water of a batch, or `line 40`; whether there is such a one."""
        found = place_named(self.past, text)
        if isinstance(found, float):
            self.go(found)
        elif found is not None:
            self.go_to_line(found)
        return found is not None

    # what a working day would write

    def submit(self, intent: Intent, pressed: Stamp | None = None) -> Refused:  # noqa: ARG002
        """Refused: a past day stays as it is."""
        return Refused(say("replay.read_only"))

    def pressed(self, event_time: float) -> Stamp:
        return self._clock.pressed(event_time)

    def reading(self, line: str, pour: str = "") -> Refused:  # noqa: ARG002
        """Refused: nothing is read on a past day."""
        return Refused(say("replay.read_only"))

    def ways_out(self) -> WaysOut:
        """None: what was done is done."""
        return WaysOut(None, ())

    def on_kept(self, callback: Callable[[int], None]) -> None:
        """Nothing is written, so nothing is told."""

    def answer_banners(self) -> None:
        """Nothing of a past day is answered."""

    def close(self) -> tuple[int, ...]:
        """Nothing was written, so nothing is left."""
        return ()


def open_replay(log: Path, clock: Clock | None = None) -> Replay:
    """A log on a past clock, read only. Raises `BadInput`, `LogDamaged`."""
    return Replay(log, clock or SystemClock())
