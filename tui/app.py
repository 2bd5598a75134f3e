"""The live console: keys in, painted rows out. It keeps no facts of the day; those are behind the session."""

from __future__ import annotations

import asyncio
import contextlib
import math
import signal
import sys
from collections.abc import Callable
from dataclasses import replace
from typing import ClassVar
from zoneinfo import ZoneInfo

from textual import events
from textual.app import App, ComposeResult
from textual.binding import Binding, BindingType
from textual.message import Message
from textual.screen import Screen
from textual.timer import Timer

from engine.pour.intents import Intent, Undo
from engine.pour.views import LiveView
from engine.words import Say, Words, say
from tui.actions import BY_KEY
from tui.desk import Desk
from tui.glyphs import ASCII, BLOCKS
from tui.paint.cells import clean
from tui.paint.pen import Pen
from tui.paint.screen import page_count, paint_frame, paint_screen
from tui.painted import Painted
from tui.press import Outcome, Press, press
from tui.scene import Scene, settled
from tui.session import Session

LEAST_WAIT_S = 0.01
UNDO_S = 10.0  # what was taken back stays readable a little longer
BINDINGS: list[BindingType] = [
    Binding(key, f"press('{key}')", action.id, show=False, priority=True) for key, action in BY_KEY.items()
]


class Kept(Message):
    """More lines are on disk, or the disk is in trouble."""


class Opened(Message):
    """The session is there."""


class Failed(Message):
    """The session cannot be had."""


class LiveScreen(Screen[None], inherit_bindings=False):
    """One painted widget and no keys of the framework's own."""

    AUTO_FOCUS = ""
    ESCAPE_TO_MINIMIZE = False

    def __init__(self, painted: Painted) -> None:
        super().__init__()
        self._painted = painted

    def compose(self) -> ComposeResult:
        yield self._painted


class ConsoleApp(App[int], inherit_bindings=False):
    """The live screen of one job. `open_session` is called on a worker thread after the first paint."""

    ENABLE_COMMAND_PALETTE = False
    ALLOW_SELECT = False
    BINDINGS: ClassVar[list[BindingType]] = BINDINGS

    def __init__(
        self,
        open_session: Callable[[], Session],
        title: str,
        words: Words,
        look: str = "light",
        ascii_only: bool = False,
    ) -> None:
        super().__init__()
        self.failure: Exception | None = None
        self.desk = Desk(look="plain" if self.no_color else look)
        self._open_session, self._job_title = open_session, clean(title)
        self._pen = Pen(words, ASCII if ascii_only else BLOCKS)
        self._session: Session | None = None
        self._view: LiveView | None = None
        self._start = True
        self._key: events.Key | None = None
        self._timer: Timer | None = None
        self.unkept: tuple[int, ...] = ()
        self.log_path = ""
        self.painted = Painted(self.desk.look)

    def get_default_screen(self) -> LiveScreen:
        return LiveScreen(self.painted)

    def on_mount(self) -> None:
        self._take_signals()
        self.call_after_refresh(self._open)

    def on_resize(self) -> None:
        self.look_again()

    def _open(self) -> None:
        self.run_worker(self._opening, thread=True, exit_on_error=False)

    def _opening(self) -> None:
        """On the worker's thread: the files are read here."""
        try:
            self._session = self._open_session()
        except Exception as error:
            self.failure = error
            self.post_message(Failed())
        else:
            self.post_message(Opened())

    def on_failed(self) -> None:
        self.exit(2)

    def on_opened(self) -> None:
        if self._session is not None:
            self._session.on_kept(self._kept)
            self.look_again()

    def _kept(self, _seq: int) -> None:
        """On the writer's thread; it may outlive the screen."""
        with contextlib.suppress(RuntimeError):
            self.post_message(Kept())

    def on_kept(self) -> None:
        self.look_again(fresh=False)

    async def on_event(self, event: events.Event) -> None:
        if isinstance(event, events.Key):
            self._key = event
        await super().on_event(event)

    def check_action(self, action: str, parameters: tuple[object, ...]) -> bool | None:  # noqa: ARG002
        return not (action == "press" and self.desk.entry)

    def action_press(self, key: str) -> None:
        """A key of the registry."""
        if self._key is not None:
            self.follow(Press(key, self._key.character, self._key.time))

    def on_key(self, event: events.Key) -> None:
        """A key the registry does not know, or any while a line is typed."""
        self.follow(Press(event.key, event.character, event.time))

    def follow(self, key: Press) -> None:
        """Do what a key asks for and paint at once."""
        if self._session is None or self._view is None:
            if key.key.lower() == "q":
                self.leave()
            return
        self._start = False
        outcome = press(self._scene(self._session, self._view), self._pen.words, key)
        self.desk = self._done(self._session, outcome, key.at)
        if outcome.leave:
            self.leave()
        else:
            self.look_again()

    def _done(self, session: Session, outcome: Outcome, at: float) -> Desk:
        """The desk after the session was asked; a fault of it is told, never raised."""
        try:
            if outcome.seen:
                session.answer_banners()
            intent = outcome.intent
            if outcome.reading is not None:
                intent = self._read(session, outcome.reading)
            return self._asked(session, outcome.desk, intent, at) if intent else outcome.desk
        except _Refused as refused:
            return outcome.desk.said(refused.reason, session.now(), bad=True)
        except Exception as error:
            return outcome.desk.said(say("screen.fault", what=error), session.now(), bad=True)

    def _read(self, session: Session, line: str) -> Intent:
        """Readings of the site, or of the pour that the line begins with."""
        first, _, rest = line.partition(" ")
        pours = {pour.id.casefold(): pour.id for pour in self._view.queue} if self._view else {}
        pour = pours.get(first.casefold(), "")
        answer = session.reading(rest if pour else line, pour)
        if isinstance(answer, Intent):
            return answer
        raise _Refused(answer.reason)

    def _asked(self, session: Session, desk: Desk, intent: Intent, at: float) -> Desk:
        answer = session.submit(intent, session.pressed(at))
        if (reason := getattr(answer, "reason", None)) is not None:
            raise _Refused(reason)
        text: Say = answer.text  # type: ignore[union-attr]
        if isinstance(intent, Undo):
            return desk.said(text, session.now(), for_s=UNDO_S)
        return desk.said(text, session.now())

    def _scene(self, session: Session, view: LiveView) -> Scene:
        return Scene(view, session.now(), self.desk, session.kept_seq, session.trouble, session.read_only)

    def look_again(self, fresh: bool = True) -> None:
        """Paint what is so now, and arm the next look; `fresh`: with a new view of the day."""
        width, height = self.size
        if self._session is None:
            self.painted.show(paint_frame(self._job_title, width, height, self._pen), self.desk.look)
            return
        if fresh or self._view is None:
            self._take_view(self._session)
        if self._view is not None:
            self._paint(settled(self._scene(self._session, self._view)), width, height)
        self._arm_next(self._session)

    def _take_view(self, session: Session) -> None:
        """A new view of the day; where it cannot be had, the one before stays and the reason is told."""
        try:
            self._view = session.view()
        except Exception as error:
            self.desk = self.desk.said(say("screen.fault", what=error), session.now(), bad=True)
            return
        if self._pen.zone is None:
            self._pen = replace(self._pen, units=self._view.units, zone=ZoneInfo(self._view.zone))

    def _paint(self, scene: Scene, width: int, height: int) -> None:
        if scene.desk.page > page_count(scene, width, height, self._pen):
            scene = replace(scene, desk=replace(scene.desk, page=0))
        self.desk = scene.desk
        lines = paint_screen(scene, width, height, self._pen, start=self._start)
        self.painted.show(lines, "plain" if self.no_color else scene.desk.look)

    def _arm_next(self, session: Session) -> None:
        """One look at the next whole second, or sooner where something on the desk is over sooner."""
        now = session.now()
        ends = self.desk.next_change(now)
        next_s = min(1.0 - now % 1.0, math.inf if ends is None else ends - now)
        if self._timer is not None:
            self._timer.stop()
        self._timer = self.set_timer(max(next_s, LEAST_WAIT_S), self.look_again)

    def leave(self) -> None:
        """Keep what waits, then end."""
        self.close_session()
        self.exit(0)

    def close_session(self) -> tuple[int, ...]:
        """Close the log once; the numbers of lines that could not be kept."""
        session, self._session = self._session, None
        if session is not None:
            self.unkept, self.log_path = session.close(), session.log_path
        return self.unkept

    def _take_signals(self) -> None:
        """Hang-up and end drain the log first; a stop is not answered, and after one the screen is painted anew."""
        if self.is_headless or sys.platform == "win32":
            return
        signal.signal(signal.SIGTSTP, signal.SIG_IGN)
        loop = asyncio.get_running_loop()
        for number in (signal.SIGHUP, signal.SIGTERM):
            loop.add_signal_handler(number, self.leave)
        loop.add_signal_handler(signal.SIGCONT, self._woken)

    def _woken(self) -> None:
        self.painted.refresh()
        self.look_again()


class _Refused(Exception):
    """The session said no."""

    def __init__(self, reason: Say) -> None:
        self.reason = reason


def run(
    open_session: Callable[[], Session],
    title: str,
    words: Words,
    look: str = "light",
    ascii_only: bool = False,
) -> int:
    """Show the live console until it is left; 0, or 1 where lines of the log could not be kept.

    Raises what `open_session` raised, once the terminal is itself again.
    """
    app = ConsoleApp(open_session, title, words, look, ascii_only)
    try:
        app.run(mouse=False)
    finally:
        unkept = app.close_session()
    if app.failure is not None:
        raise app.failure
    if unkept:
        print(words("screen.unkept", lines=", ".join(map(str, unkept)), path=app.log_path), file=sys.stderr)
    return 1 if unkept else 0
