"""The live console: the frame at once, the job after it, then keys in and painted rows out.

It keeps no facts of the day. Whatever the first paint can do without is loaded on the worker's thread after it.
"""

from __future__ import annotations

import asyncio
import contextlib
import gc
import signal
import sys
from collections.abc import Callable
from typing import TYPE_CHECKING

from textual import events
from textual.app import App, ComposeResult
from textual.message import Message
from textual.screen import Screen
from textual.timer import Timer

from engine.words import Words
from tui.looks import FIRST, PLAIN
from tui.paint.cells import clean
from tui.paint.frame import paint_frame
from tui.painted import Painted

if TYPE_CHECKING:
    from tui.keymap import Keymap
    from tui.live import Live
    from tui.paint.pen import Pen
    from tui.session import Session
    from tui.sound.outlet import Outlet

LEAST_WAIT_S = 0.01


class Kept(Message):
    """More lines are on disk, or the disk is in trouble."""


class Opened(Message):
    """The session is there, or cannot be had."""


class Planned(Message):
    """A new plan is there."""


class LiveScreen(Screen[None], inherit_bindings=False):
    """The painting and no keys of the framework's own."""

    AUTO_FOCUS = ""
    ESCAPE_TO_MINIMIZE = False

    def __init__(self, painted: Painted) -> None:
        super().__init__()
        self._painted = painted

    def compose(self) -> ComposeResult:
        yield self._painted


class ConsoleApp(App[int], inherit_bindings=False):
    """The live screen of one job. `open_session` and `read_keys` are called on a worker thread after the first paint.

    No key is bound: every one goes to the live day, which alone knows what it asks for.
    """

    ENABLE_COMMAND_PALETTE = False
    ALLOW_SELECT = False

    def __init__(
        self,
        open_session: Callable[[], Session],
        title: str,
        words: Words,
        look: str = FIRST,
        ascii_only: bool = False,
        read_keys: Callable[[], Keymap] | None = None,
        sound_command: tuple[str, ...] = (),
    ) -> None:
        super().__init__()
        self._read_keys, self._sound_command = read_keys, sound_command
        self._open_session, self._job_title, self._words = open_session, clean(title), words
        self._ascii_only, self._look = ascii_only, look
        self._timer: Timer | None = None
        self.live: Live | None = None
        self._outlet: Outlet | None = None
        self._planning = False
        self._pours = ""  # their names are known before their clocks are
        self.failure: Exception | None = None
        self.unkept: tuple[int, ...] = ()
        self.log_path = ""
        self.painted = Painted(PLAIN if self.no_color else look, ascii_only)

    def get_default_screen(self) -> LiveScreen:
        return LiveScreen(self.painted)

    def on_mount(self) -> None:
        self._take_signals()
        self.call_after_refresh(self._open)

    def on_resize(self, event: events.Resize) -> None:
        self.look_again(size=(event.size.width, event.size.height))

    def _open(self) -> None:
        self.run_worker(self._opening, thread=True, exit_on_error=False)

    def _opening(self) -> None:
        """On the worker's thread: the files are read here, and the rest of the program is loaded."""
        try:
            pen = self._pen()
            session = self._open_session()
            self._pours = clean("  ".join(session.pours))
            self.call_from_thread(self.look_again)
            self._begin(session, pen)
        except Exception as error:
            self.failure = error
        self.post_message(Opened())

    def _begin(self, session: Session, pen: Pen) -> None:
        from tui.live import Live
        from tui.sound.outlet import Outlet

        self._outlet = Outlet(self.bell, self._sound_command)
        gc.freeze()  # what stays for good: the collector's walk over it would be felt at a key
        self.live = Live(session, pen, self._look, self._kept)

    def _pen(self) -> Pen:
        from tui.glyphs import ASCII, BLOCKS
        from tui.keymap import STANDARD
        from tui.paint.pen import Pen

        keys = self._read_keys() if self._read_keys else STANDARD
        return Pen(self._words, ASCII if self._ascii_only else BLOCKS, keys=keys)

    def on_opened(self) -> None:
        if self.failure is not None:
            self.exit(2)
        self.look_again()
        self._plan_anew()

    def _plan_anew(self) -> None:
        """Once what is known is on the screen: a short plan between two keys, a long one beside them."""
        wanted = self.live.plan_wanted() if self.live is not None else "no"
        if wanted == "short":
            self.call_after_refresh(self._planned_here)
        elif wanted == "long" and not self._planning:
            self._planning = True
            self.call_after_refresh(self._start_planning)

    def _start_planning(self) -> None:
        self.run_worker(self._plan_beside, thread=True, exit_on_error=False)

    def _planned_here(self) -> None:
        if self.live is not None:
            self.live.replan()
            self._show_plan()

    def _plan_beside(self) -> None:
        """On a worker's thread, which may outlive the screen."""
        live = self.live
        if live is not None:
            live.replan()
        with contextlib.suppress(RuntimeError):
            self.post_message(Planned())

    def on_planned(self) -> None:
        self._planning = False
        self.tick()

    def _show_plan(self) -> None:
        if self.live is not None:
            self.live.take_view()
            if self._outlet is not None:
                self.live.listen(self._outlet)
        self.look_again()

    def _kept(self, _seq: int) -> None:
        """On the writer's thread, which may outlive the screen."""
        with contextlib.suppress(RuntimeError):
            self.post_message(Kept())

    def on_kept(self) -> None:
        self.look_again()

    async def on_event(self, event: events.Event) -> None:
        """A key goes no further: the framework has none of its own here."""
        if isinstance(event, events.Key):
            self._follow(event)
        else:
            await super().on_event(event)

    def _follow(self, event: events.Key) -> None:
        if self._asks_to_leave(event):
            self.leave()
            return
        self.tick()
        if self.live is not None and self.live.wants_ways:
            self.call_after_refresh(self._find_ways)
        if self.live is not None and self.live.wants_choices:
            self.live.wants_choices = False
            self.run_worker(self._weigh, thread=True, exit_on_error=False)

    def _weigh(self) -> None:
        """On a worker's thread, which may outlive the screen."""
        if self.live is not None:
            self.live.weigh(lambda: self._kept(0))

    def _find_ways(self) -> None:
        if self.live is not None:
            self.live.find_ways()
            self.look_again()

    def _asks_to_leave(self, event: events.Key) -> bool:
        if self.live is None:  # no key file is read yet
            return event.key.lower() == "q"
        from tui.press import Press

        return self.live.follow(Press(event.key, event.character, event.time))

    def tick(self) -> None:
        """A new view of the day, painted; the plan behind it if that is old."""
        self._show_plan()
        self._plan_anew()

    def look_again(self, size: tuple[int, int] | None = None) -> None:
        """Paint what is so now, and arm the next look."""
        width, height = size or self.size
        if self.live is None:
            self.painted.show(paint_frame(self._job_title, self._pours, width, height), self._shown_look())
            return
        self.painted.show(self.live.lines(width, height), self._shown_look())
        if self._timer is not None:
            self._timer.stop()
        self._timer = self.set_timer(max(self.live.next_look_s(), LEAST_WAIT_S), self.tick)

    def _shown_look(self) -> str:
        """Black and white where colour is not wanted: the framework would turn the other looks grey."""
        if self.no_color:
            return PLAIN
        return self.live.desk.look if self.live else self._look

    def leave(self) -> None:
        """Keep what waits, then end."""
        self.close_session()
        self.exit(0)

    def close_session(self) -> None:
        """Close the log once; which lines could not be kept stays known."""
        live, self.live = self.live, None
        if self._outlet is not None:
            self._outlet.close()
        if live is not None:
            live.stop_weighing()
            self.log_path, self.unkept = live.session.log_path, live.session.close()

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
        self.screen.refresh()
        self.tick()


def run(
    open_session: Callable[[], Session],
    title: str,
    words: Words,
    look: str = FIRST,
    ascii_only: bool = False,
    read_keys: Callable[[], Keymap] | None = None,
    sound_command: tuple[str, ...] = (),
) -> int:
    """Show the live console until it is left; 0, or 1 where lines of the log could not be kept.

    Raises what `open_session` or `read_keys` raised, once the terminal is itself again.
    """
    app = ConsoleApp(open_session, title, words, look, ascii_only, read_keys, sound_command)
    try:
        app.run(mouse=False)
    finally:
        app.close_session()
    if app.failure is not None:
        raise app.failure
    if app.unkept:
        lines = ", ".join(map(str, app.unkept))
        print(words("screen.unkept", lines=lines, path=app.log_path), file=sys.stderr)
    return 1 if app.unkept else 0
