"""A day being written: its journal, its clock and its writer. One per program; screens reach it through the console."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from engine.clock import Clock, Stamp, Timeline
from engine.errors import LogDamaged
from engine.pour.after_view import AfterView
from engine.pour.asked import Done, Refused, Told
from engine.pour.body import Body
from engine.pour.dayplan import DayPlan
from engine.pour.decide import decide
from engine.pour.events import ClockJumped, Event, How, StampShifted, Undone
from engine.pour.intents import Intent
from engine.pour.journal import Journal
from engine.pour.lazy import LazyPlan
from engine.pour.live import live_view
from engine.pour.plan_view import PlanView
from engine.pour.reckoning import Moment
from engine.pour.replanned import CaughtUp, WayTaken
from engine.pour.rules import Deed
from engine.pour.steady import steady_until
from engine.pour.targets import Refusal
from engine.pour.told import told
from engine.pour.views import LiveView, PlanWanted
from engine.record.fitting import check_texts
from engine.record.folded import taken
from engine.record.lines import Line
from engine.record.standing_plan import StandingPlan
from engine.record.written import line_of
from engine.words import Say, Words, say

if TYPE_CHECKING:
    from engine.pour.around.ways_out import WaysOut

AFTER_STANDS_S = 60.0  # what finished pours ask for is told by the minute
JUMP_S = 2.0  # wall and running clock further apart than this is written down and shown


@dataclass(frozen=True)
class Opened:
    """What opening a log gave: the day as far as written, and how many lines."""

    journal: Journal
    timeline: Timeline
    lines: int


@dataclass(frozen=True)
class Glance:
    """A view of a day, its plan and its banners, and until when it stays as it is."""

    of: tuple[Journal, object, tuple[Say, ...], int]
    view: LiveView
    until: float

    def holds(self, at: float) -> bool:
        return self.view.at <= at < self.until


class DayLog:
    """Submit intents, ask for views. `put` takes lines for keeping; it never waits."""

    def __init__(self, opened: Opened, clock: Clock, put: Callable[[Line], object], words: Words) -> None:
        self._journal, self._timeline, self._seq = opened.journal, opened.timeline, opened.lines
        self._clock, self._put, self._words = clock, put, words
        self._plan = StandingPlan()
        self._moment: Moment | None = None  # of the latest look
        self._glance: Glance | None = None
        self._page: tuple[Journal, DayPlan, PlanView] | None = None
        self._after: tuple[Journal, float, AfterView] | None = None
        self._banners: list[Say] = []

    @property
    def journal(self) -> Journal:
        return self._journal

    def now(self) -> float:
        """Log time now."""
        return self._timeline.at(self._clock.stamp())

    def pressed(self, event_time: float) -> Stamp:
        """The stamp of a key press from the time the terminal delivered it."""
        return self._clock.pressed(event_time)

    def view(self, at: float | None = None) -> LiveView:
        """The live view now, or at a moment."""
        self._watch_clock(self._clock.stamp())
        moment = self._at(self.now() if at is None else at)
        return self._live_view(moment, self._planned(moment))

    def glance(self) -> LiveView:
        """The live view now, on the plan at hand: at once, but the plan may be of the line before."""
        self._watch_clock(self._clock.stamp())
        moment = self._at(self.now())
        shown = self._journal, self._plan.made, tuple(self._banners), self._seq
        if self._glance is None or self._glance.of != shown or not self._glance.holds(moment.at):
            view = self._live_view(moment, self._plan.at_hand(moment))
            self._glance = Glance(shown, view, steady_until(view))
        return self._glance.view

    def _live_view(self, moment: Moment, plan: DayPlan) -> LiveView:
        """What is told last counts as kept with the latest line, which may be an undo that brought it back."""
        view = live_view(self._journal, moment, plan, tuple(self._banners))
        return view if view.last is None else replace(view, last=replace(view.last, seq=self._seq))

    def plan_wanted(self) -> PlanWanted:
        """Whether the plan at hand is an old one, and whether making a new one would be felt at a key."""
        if self._plan.stands(self._journal, self.now()):
            return "no"
        return "long" if self._plan.takes_long else "short"

    def plan_page(self) -> PlanView:
        """What the plan screen draws, on the plan at hand; the same as long as day and plan are."""
        from engine.pour.around.plan_page import plan_page

        moment = self._at(self.now())
        plan = self._plan.at_hand(moment)
        if self._page is None or self._page[0] is not self._journal or self._page[1] is not plan:
            self._page = (self._journal, plan, plan_page(moment, plan))
        return self._page[2]

    def after_page(self) -> AfterView:
        """What the after screen draws; the same as long as the day is, for a minute at the most."""
        from engine.job.files import practice_by_key
        from engine.pour.around.after_page import after_page

        moment, known = self._at(self.now()), self._after
        if known is None or known[0] is not self._journal or not 0.0 <= moment.at - known[1] < AFTER_STANDS_S:
            self._after = known = (self._journal, moment.at, after_page(moment, practice_by_key()))
        return known[2]

    def replan(self) -> None:
        """Make the plan that glances stand on; may run on another thread than they."""
        self._planned(Moment(self._journal.day, self.now()))

    def _at(self, at: float) -> Moment:
        """The day at a time, on what an earlier look has reckoned of it."""
        known = self._moment
        day = self._journal.day
        self._moment = known.later(at) if known is not None and known.day is day else Moment(day, at)
        return self._moment

    def _planned(self, moment: Moment) -> DayPlan:
        return self._plan.at(self._journal, moment)

    def _for_a_key(self, moment: Moment) -> DayPlan:
        return self._plan.for_a_key(self._journal, moment)

    def asked(self, line: str) -> Told | Refused | None:
        """The answer to a question typed; None where the line is none."""
        from engine.pour.around.questions import answer

        try:
            found = answer(Moment(self._journal.day, self.now()), line)
        except Refusal as refused:
            return Refused(refused.reason)
        return Told(say("done.told", answer=" ".join(map(self._words, found)))) if found else None

    def ways_out(self) -> WaysOut:
        """What may be done about the trouble the day is in now."""
        from engine.pour.around.ways_out import ways_out

        return ways_out(self._journal, Moment(self._journal.day, self.now()))

    def submit(self, intent: Intent, pressed: Stamp | None = None) -> Done | Refused:
        """Write what an intent asks for, or say why not. `pressed` is the moment of the key."""
        stamp = pressed or self._clock.stamp()
        self._watch_clock(stamp)
        moment = Moment(self._journal.day, self._timeline.at(stamp))
        try:
            deeds = decide(self._journal, moment, intent, LazyPlan(moment, self._for_a_key))
            self._try(deeds, stamp)
        except Refusal as refused:
            return Refused(refused.reason)
        before = self._journal
        events = [self._write(deed, stamp) for deed in deeds]
        return Done(tuple(event.seq for event in events), self._says(before, events))

    def _says(self, before: Journal, events: list[Event]) -> Say:
        body, units = events[0].body, self._journal.day.job.units
        if isinstance(body, Undone) and before.event is not None:
            return say("done.undone", what=self._words(told(before.event, units)))
        if isinstance(body, StampShifted):
            return say("done.shifted", by=f"{body.by_s:+.0f}")
        if isinstance(events[-1].body, WayTaken | CaughtUp):
            return told(events[-1], units)
        return self._with_answers(told(events[0], units), events[0])

    def _with_answers(self, what: Say, event: Event) -> Say:
        """What was written, and what there is to say to it at once."""
        from engine.pour.around.answers import answers

        found = answers(Moment(self._journal.day, event.at), event.body)
        if not found:
            return what
        return say("done.answered", what=self._words(what), answer=" ".join(map(self._words, found)))

    def _try(self, deeds: Iterable[Deed], stamp: Stamp) -> None:
        """Nothing is written that no reader would take. Raises `Refusal`."""
        journal, pressed_at = self._journal, self._timeline.seen(stamp).at(stamp)
        for seq, deed in enumerate(deeds, start=self._seq + 1):
            at = pressed_at if deed.at is None else deed.at
            try:
                check_texts(deed.body, deed.who)
                journal = taken(journal, Event(seq, at, deed.body, stamp, deed.who, deed.assumed), "")
            except (LogDamaged, ValueError) as unfit:
                why = unfit.why if isinstance(unfit, LogDamaged) else str(unfit)
                raise Refusal(say("refusal.not_of_a_day", why=why)) from None

    def _write(self, deed: Deed, stamp: Stamp, how: How = "pressed") -> Event:
        self._timeline = self._timeline.seen(stamp)
        pressed_at = self._timeline.at(stamp)
        at, how = (pressed_at, how) if deed.at is None else (deed.at, "assumed")
        self._seq += 1
        event = Event(self._seq, at, deed.body, stamp, deed.who, deed.assumed, how)
        self._journal = self._journal.take(event)
        self._put(line_of(event, pressed_at))
        return event

    def write_first(self, body: Body) -> None:
        """The line that opens a log."""
        self._write(Deed(body), self._clock.stamp())

    def _watch_clock(self, stamp: Stamp) -> None:
        """A wall clock that jumped against the running one is written down and shown; no batch is re-timed."""
        by_s = self._timeline.step(stamp)
        if abs(by_s) > JUMP_S:
            self._write(Deed(ClockJumped(by_s)), stamp)
            self.banner(say("banner.clock_jump", by=f"{by_s:+.0f}"))

    def banner(self, said: Say) -> None:
        """Show a sentence until it is answered."""
        if said not in self._banners:
            self._banners.append(said)

    def answer_banners(self) -> None:
        """The foreman has read them."""
        self._banners.clear()
