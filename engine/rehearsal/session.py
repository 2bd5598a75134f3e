"""A rehearsal behind the screens: the same door as a working day, on a faster clock, with a simulated crew at the keys."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from math import inf
from typing import TYPE_CHECKING, Protocol

from engine.clock import Stamp
from engine.job.model import Job
from engine.pour.after_view import AfterView
from engine.pour.asked import Done, Refused, Told
from engine.pour.intents import Intent
from engine.pour.journal import Journal
from engine.pour.plan_view import PlanView
from engine.pour.views import LiveView, PlanWanted
from engine.rehearsal.fate import Fate
from engine.rehearsal.incidents import NONE, Incidents
from engine.rehearsal.luck import AS_DRAWN, Spread
from engine.rehearsal.site import SiteCrew
from engine.words import Say, Words, say

if TYPE_CHECKING:
    from engine.pour.around.ways_out import WaysOut


class Session(Protocol):
    """A day on a log of its own, as the console opens it."""

    @property
    def read_only(self) -> bool: ...
    @property
    def log_path(self) -> str: ...
    @property
    def pours(self) -> tuple[str, ...]: ...
    @property
    def kept_seq(self) -> int: ...
    @property
    def trouble(self) -> Say | None: ...
    @property
    def journal(self) -> Journal: ...
    @property
    def job(self) -> Job: ...
    def now(self) -> float: ...
    def view(self, at: float | None = None) -> LiveView: ...
    def glance(self) -> LiveView: ...
    def plan_wanted(self) -> PlanWanted: ...
    def replan(self) -> None: ...
    def plan_page(self) -> PlanView: ...
    def after_page(self) -> AfterView: ...
    def choices_asked(self, said: Words) -> str: ...
    def submit(self, intent: Intent, pressed: Stamp | None = None) -> Done | Refused: ...
    def pressed(self, event_time: float) -> Stamp: ...
    def ways_out(self) -> WaysOut: ...
    def reading(self, line: str, pour: str = "") -> Intent | Refused | Told: ...
    def on_kept(self, callback: Callable[[int], None]) -> None: ...
    def answer_banners(self) -> None: ...
    def close(self) -> tuple[int, ...]: ...


class Rehearsal:
    """A session with a crew in it. Times are log time of the session's clock, hand it a `ScaledClock`.

    The crew does its part up to now at every look and before every key; with `crewed` false the keys are left to the
    user. `speed` is only said, in the banner that marks every view. The session's log must be one of its own.
    """

    def __init__(
        self,
        session: Session,
        clock_speed: float,
        seed: int,
        *,
        crewed: bool = True,
        spread: Spread = AS_DRAWN,
        incidents: Incidents = NONE,
    ) -> None:
        self._session = session
        self.pace = clock_speed
        self._mark = say("screen.rehearsal", speed=f"{clock_speed:g}", seed=seed)
        fate = Fate(seed, spread)
        self._crew = SiteCrew(_Keys(session), fate, session.now(), incidents) if crewed else None

    @property
    def read_only(self) -> bool:
        return self._session.read_only

    @property
    def log_path(self) -> str:
        return self._session.log_path

    @property
    def pours(self) -> tuple[str, ...]:
        return self._session.pours

    @property
    def kept_seq(self) -> int:
        return self._session.kept_seq

    @property
    def trouble(self) -> Say | None:
        return self._session.trouble

    @property
    def journal(self) -> Journal:
        return self._session.journal

    @property
    def job(self) -> Job:
        return self._session.job

    @property
    def job_name(self) -> str:
        return self.job.name

    @property
    def zone(self) -> str:
        return self.job.zone

    @property
    def units(self) -> str:
        return self.job.units

    def now(self) -> float:
        return self._session.now()

    def view(self, at: float | None = None) -> LiveView:
        """The live view, marked as a rehearsal; the crew has done its part up to now."""
        self._work()
        return replace(self._session.view(at), mark=self._mark)

    def glance(self) -> LiveView:
        """As the view, on the plan at hand."""
        self._work()
        return replace(self._session.glance(), mark=self._mark)

    def plan_wanted(self) -> PlanWanted:
        return self._session.plan_wanted()

    def replan(self) -> None:
        self._session.replan()

    def plan_page(self) -> PlanView:
        return self._session.plan_page()

    def after_page(self) -> AfterView:
        return self._session.after_page()

    def choices_asked(self, said: Words) -> str:
        return self._session.choices_asked(said)

    def submit(self, intent: Intent, pressed: Stamp | None = None) -> Done | Refused:
        """The user's own key, after what the crew did before it."""
        self._work()
        return self._session.submit(intent, pressed)

    def pressed(self, event_time: float) -> Stamp:
        return self._session.pressed(event_time)

    def ways_out(self) -> WaysOut:
        return self._session.ways_out()

    def reading(self, line: str, pour: str = "") -> Intent | Refused | Told:
        return self._session.reading(line, pour)

    def on_kept(self, callback: Callable[[int], None]) -> None:
        self._session.on_kept(callback)

    def answer_banners(self) -> None:
        """What the day warns of; the mark of the rehearsal is none of it and stays."""
        self._session.answer_banners()

    def close(self) -> tuple[int, ...]:
        return self._session.close()

    def _work(self) -> None:
        if self._crew is not None:
            self._crew.advance(self._session.now())


class _Keys:
    """The crew's own presses: each at its own moment, which may lie a little back."""

    def __init__(self, session: Session) -> None:
        self._session = session
        self._base, self._base_at = session.pressed(inf), session.now()  # a press still to come counts as now

    @property
    def journal(self) -> Journal:
        return self._session.journal

    def view(self, at: float) -> LiveView:
        return self._session.view(at)

    def submit(self, intent: Intent, at: float) -> Done | Refused:
        return self._session.submit(intent, self._base.back(self._base_at - at))
