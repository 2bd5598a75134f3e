"""A log followed as it grows: a session for a second screen, which writes nothing and holds nobody up."""

from __future__ import annotations

import os
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING

from engine.clock import Clock, Stamp, SystemClock
from engine.errors import BadInput, LogDamaged
from engine.pour.after_view import AfterView
from engine.pour.asked import Refused
from engine.pour.intents import Intent
from engine.pour.plan_view import PlanView
from engine.pour.views import LiveView, PlanWanted
from engine.record.follow import Follower
from engine.record.watched import WatchedDay
from engine.words import Say, Words, say

if TYPE_CHECKING:
    from engine.pour.around.ways_out import WaysOut

Seen = tuple[int, int, int, int]  # device, file, size, time of change


class Waiting(Exception):
    """There is no day yet: the first line of the log is not whole."""


class Following:
    """A log as it grows, read only: no lock is taken and nothing is written, so its writer never waits.

    `poll` takes the lines that came. What can be followed no longer stays in sight as it was, and that is said; where
    the file comes back as it was, it is followed again. Raises `BadInput` where there is no log, `LogDamaged`.
    """

    read_only = True
    pace = 1.0
    trouble: Say | None = None  # of a disk: none is written to

    def __init__(self, log: Path, said: Words, clock: Clock) -> None:
        self.log_path = str(log)
        self._log, self._said, self._clock, self._follower = log, said, clock, Follower(log)
        self._day: WatchedDay | None = None
        self._lost: Say | None = None
        self._seen = self._look()
        self._take()

    def poll(self) -> bool:
        """Take the lines that came; whether there is anything new to show. A look at the file where nothing came."""
        seen = self._look()
        if seen == self._seen:
            return False
        self._seen, before = seen, (self._lost, self.kept_seq)
        try:
            self._take()
            self._lost = None
        except (BadInput, LogDamaged, OSError, ValueError) as fault:
            self._lost = say("following.lost", why=_why(fault))
        return before != (self._lost, self.kept_seq)

    def _look(self) -> Seen | None:
        """What tells that a file is as before; None where there is none."""
        try:
            found = os.stat(self._log)
        except OSError:
            return None
        return found.st_dev, found.st_ino, found.st_size, found.st_mtime_ns

    def _take(self) -> None:
        for line in self._follower.poll():
            if self._day is None:
                self._day = WatchedDay(line, self._clock, self._said, self.log_path)
            else:
                self._day.take(line)

    @property
    def waits(self) -> Say | None:
        """Why there is nothing to show; None once there is a day."""
        return None if self._day else self._lost or say("following.waits", path=self.log_path)

    @property
    def day(self) -> WatchedDay:
        """The day as far as read. Raises `Waiting`."""
        if self._day is None:
            raise Waiting(self.log_path)
        return self._day

    @property
    def pours(self) -> tuple[str, ...]:
        """Every pour of the queue, in its order."""
        return tuple(pour.id for pour in self.day.journal.day.pours) if self._day else ()

    @property
    def kept_seq(self) -> int:
        """Every line that is read is on the disk."""
        return self._day.lines if self._day else 0

    def now(self) -> float:
        return self._day.now() if self._day else self._clock.stamp().wall

    def view(self, at: float | None = None) -> LiveView:
        """The live view, on the plan of now. Raises `Waiting`."""
        return replace(self.day.view(at), mark=self._mark())

    def glance(self) -> LiveView:
        """The live view now, on the plan at hand. Raises `Waiting`."""
        return replace(self.day.glance(), mark=self._mark())

    def _mark(self) -> Say | None:
        """What stays on the screen: that the log is followed no more, or that the day is made up."""
        if self._lost is not None:
            return self._lost
        return say("following.made_up") if self.day.made_up else None

    def plan_wanted(self) -> PlanWanted:
        return self._day.plan_wanted() if self._day else "no"

    def replan(self) -> None:
        self.day.replan()

    def plan_page(self) -> PlanView:
        return self.day.plan_page()

    def after_page(self) -> AfterView:
        return self.day.after_page()

    def choices_asked(self, said: Words) -> str:
        """What another process needs to lay choices of this day side by side."""
        from engine.console.side_by_side import choices_asked

        return choices_asked(self.day.journal.day, said)

    # what a session that writes would do

    def submit(self, intent: Intent, pressed: Stamp | None = None) -> Refused:  # noqa: ARG002
        """Refused: the day is written elsewhere."""
        return Refused(say("following.read_only"))

    def pressed(self, event_time: float) -> Stamp:
        return self._clock.pressed(event_time)

    def reading(self, line: str, pour: str = "") -> Refused:  # noqa: ARG002
        """Refused: the day is written elsewhere."""
        return Refused(say("following.read_only"))

    def ways_out(self) -> WaysOut:
        """None: they are taken where the day is written."""
        from engine.pour.around.ways_out import WaysOut

        return WaysOut(None, ())

    def on_kept(self, callback: Callable[[int], None]) -> None:
        """Nothing is written, so nothing is told."""

    def answer_banners(self) -> None:
        """Warnings are answered where the day is written; here they only leave the screen."""

    def close(self) -> tuple[int, ...]:
        """Nothing was written, so nothing is left."""
        return ()


def _why(fault: Exception) -> str:
    """Without the path: what is wrong must stand at the beginning of a row."""
    return f"line {fault.line}: {fault.why}" if isinstance(fault, LogDamaged) else str(fault)


def open_following(log: Path, said: Words, clock: Clock | None = None) -> Following:
    """A log followed as it grows, read only. Raises `BadInput`, `LogDamaged`."""
    return Following(log, said, clock or SystemClock())
