"""The live day as the screen works it: session, desk and pen. Keys in, painted rows out; no framework, no timers."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import replace
from typing import TYPE_CHECKING
from zoneinfo import ZoneInfo

from engine.pour.asked import Done, Refused, Told
from engine.pour.intents import Intent, LoseBatch, LoseVessel, MarkAway, Undo
from engine.pour.views import LiveView, PlanWanted, Row
from engine.words import Say, say
from tui.actions import BY_ID
from tui.desk import MESSAGE_S, Desk
from tui.paint.frame import paint_frame
from tui.paint.pen import Pen
from tui.paint.runs import Lines
from tui.paint.screen import page_count, paint_screen
from tui.press import Outcome, Press, press
from tui.scene import Scene, settled
from tui.session import Session
from tui.sound.alarms import alarms
from tui.sound.outlet import Outlet
from tui.sound.ringing import ring

if TYPE_CHECKING:
    from engine.pour.after_view import AfterView
    from engine.pour.plan_view import PlanView
    from tui.plan.choices import Choices
    from tui.plan.weighing import Weighing

LETTER_S = 0.08
TROUBLES = (LoseBatch, LoseVessel, MarkAway)  # after these, ways out are offered without being asked for
UNDO_S = 10.0  # what was taken back stays readable a little longer


class Live:
    """One session on the screen. Faults of the session are told on the message line, never raised."""

    def __init__(self, session: Session, pen: Pen, look: str, told_kept: Callable[[int], None]) -> None:
        self.session = session
        self.desk = Desk(look=look, pace=session.pace)
        self.start = True
        self.wants_ways = False
        self.wants_choices = False
        self.plan: PlanView | None = None
        self.choices: Choices | None = None
        self.after: AfterView | None = None
        self.weighing: Weighing | None = None
        self.view: LiveView | None = None
        self._pen = pen
        session.on_kept(told_kept)
        self.take_view()

    def take_view(self) -> None:
        """A new view of the day; where it cannot be had, the one before stays and the reason is told.

        It stands on the plan at hand; where that is an old one, `plan_wanted` says so and `replan` makes it anew.
        """
        try:
            view = self.session.glance()
            if self._pen.zone is None:
                self._pen = replace(self._pen, units=view.units, zone=ZoneInfo(view.zone))
        except Exception as fault:
            self._tell_fault(fault)
        else:
            self.view = view
        self._take_pages()

    def _take_pages(self) -> None:
        """What the plan screen or the after screen draws, while it is open."""
        try:
            self.plan = self.session.plan_page() if self.desk.plan else None
            self.after = self.session.after_page() if self.desk.after else None
        except Exception as fault:
            self._tell_fault(fault)

    def plan_wanted(self) -> PlanWanted:
        """Whether the plan is an old one, and whether a new one takes longer than a key may wait."""
        return self.session.plan_wanted()

    def replan(self) -> None:
        """Make the plan anew; the next view stands on it. May run on another thread."""
        try:
            self.session.replan()
        except Exception as fault:
            self._tell_fault(fault)

    def scene(self, view: LiveView) -> Scene:
        session, now = self.session, self.session.now()
        if self.desk.order and now < self.desk.order_until:
            view = replace(view, rows=in_order(view.rows, self.desk.order))
        told = (session.kept_seq, session.trouble, session.read_only)
        return Scene(view, now, self.desk, *told, self.plan, self.choices, self.after)

    def follow(self, key: Press) -> bool:
        """Do what a key asks for; whether it was the wish to leave."""
        if self.view is None:
            return self._pen.keys.live.get(key.key) is BY_ID["quit"]
        self.start = False
        scene = self.scene(self.view)
        outcome = press(scene, self._pen.words, key, self._pen.keys)
        self.desk = outcome.desk.held(tuple(row.key for row in scene.view.rows), scene.now)
        try:
            self._do(outcome, key.at)
        except Exception as fault:
            self._tell_fault(fault)
        return outcome.leave

    def _do(self, outcome: Outcome, at: float) -> None:
        if outcome.seen:
            self.session.answer_banners()
        self.wants_ways, self.wants_choices = outcome.ways, outcome.weigh
        wanted = outcome.intent if outcome.reading is None else self._read(outcome.reading)
        if wanted is None:
            return
        answer = (
            self.session.submit(wanted, self.session.pressed(at)) if isinstance(wanted, Intent) else wanted
        )
        self.wants_ways = isinstance(answer, Done) and isinstance(wanted, TROUBLES)
        if isinstance(answer, Done | Told):
            self._tell(
                answer.text, for_s=UNDO_S if isinstance(wanted, Undo) else self._reading_s(answer.text)
            )
        else:
            self._tell(answer.reason, bad=True, for_s=self._reading_s(answer.reason))

    def listen(self, outlet: Outlet) -> None:
        """Fold what presses now into what rings, and make its sound; costs next to nothing while nothing changes."""
        if self.view is None:
            return
        now, desk = self.session.now(), self.desk
        found = alarms(self.view, now)
        ringing, sound = ring(desk.ringing, found, now, desk.pace, muted=now < desk.muted_until)
        self.desk = replace(desk, ringing=ringing)
        for wrong in (outlet.tend(now), outlet.play(sound, now, desk.pace) if sound else None):
            if wrong is not None:
                self._tell(wrong, bad=True)

    def find_ways(self) -> None:
        """What may be done about what went wrong; looked for once the press itself is on the screen."""
        self.wants_ways = False
        try:
            found = self.session.ways_out()
        except Exception as fault:
            self._tell_fault(fault)
            return
        view, now = self.view, self.session.now()
        selected = self.scene(view).selected if view else None
        self.desk = self.desk.offered(found, selected.key if selected else "", now)

    def weigh(self, told: Callable[[], None]) -> None:
        """Weigh choices of the queue as it stands in a process of their own; `told` hears of each table. On a thread."""
        from tui.plan.choices import Choices, queue_of
        from tui.plan.weighing import Weighing

        if self.view is None:
            return
        self.stop_weighing()
        self.choices = found = Choices(queue_of(self.scene(self.view)))
        try:
            self.weighing = running = Weighing(self.session.choices_asked(self._pen.words))
            for table in running.tables():
                if self.weighing is not running:  # another run began
                    return
                self.choices = found = replace(found, table=table)
                told()
            self.choices = replace(found, going_on=False)
        except Exception as fault:
            self.choices = replace(found, going_on=False, fault=repr(fault))
        told()

    def stop_weighing(self) -> None:
        """End the process that weighs, if there is one."""
        running, self.weighing = self.weighing, None
        if running is not None:
            running.end()

    def _read(self, line: str) -> Intent | Refused | Told:
        """Readings of the site, or of the pour that the line begins with."""
        first, _, rest = line.partition(" ")
        pours = {pour.id.casefold(): pour.id for pour in self.view.queue} if self.view else {}
        pour = pours.get(first.casefold(), "")
        return self.session.reading(rest if pour else line, pour)

    def _tell(self, text: Say, bad: bool = False, for_s: float = MESSAGE_S) -> None:
        self.desk = self.desk.said(text, self.session.now(), bad, for_s)

    def _reading_s(self, text: Say) -> float:
        """Long enough to read it standing."""
        return max(MESSAGE_S, len(self._pen.say(text)) * LETTER_S)

    def _tell_fault(self, fault: Exception) -> None:
        self._tell(say("screen.fault", what=repr(fault)), bad=True)

    def lines(self, width: int, height: int) -> Lines:
        """The rows of the whole screen as of now."""
        if self.view is None:
            told = self._pen.say(self.desk.message.text) if self.desk.message else ""
            return paint_frame(told, self._pen.say("screen.leave", key=self._pen.key("quit")), width, height)
        scene = settled(self.scene(self.view))
        if scene.desk.page > page_count(scene, width, height, self._pen):
            scene = replace(scene, desk=replace(scene.desk, page=0))
        if scene.desk.plan:
            from tui.plan.screen import clamped, paint_plan

            scene = clamped(scene, width, height, self._pen)
            self.desk = scene.desk
            return paint_plan(scene, width, height, self._pen)
        if scene.desk.after:
            from tui.after.screen import moved, paint_after

            scene = moved(scene, width, height, self._pen)
            self.desk = scene.desk
            return paint_after(scene, width, height, self._pen)
        self.desk = scene.desk
        return paint_screen(scene, width, height, self._pen, start=self.start)

    def next_look_s(self) -> float:
        """Seconds to the next whole second, or sooner to where something on the desk is over."""
        now = self.session.now()
        end = self.desk.next_change(now)
        return min(1.0 - now % 1.0, math.inf if end is None else (end - now) / self.desk.pace)


def in_order(rows: tuple[Row, ...], order: tuple[str, ...]) -> tuple[Row, ...]:
    """The rows as they stood before, new ones behind them in their own order."""
    place = {key: n for n, key in enumerate(order)}
    return tuple(sorted(rows, key=lambda row: place.get(row.key, len(order))))
