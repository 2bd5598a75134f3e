"""A past day as the screen works it: the live screen's view and painters, with keys that move in time and change nothing."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

from engine.console import Replay
from engine.pour.views import LiveView
from engine.words import Say, say
from tui.desk import MESSAGE_S
from tui.live import Live
from tui.looks import next_look
from tui.paint.pen import Pen
from tui.paint.runs import Line, Lines, fit, row
from tui.press import Press
from tui.replay.paint import (
    page_room,
    paint_causes,
    paint_day_line,
    paint_keys,
    paint_replay,
    paint_replay_footer,
    paint_windows,
)
from tui.scene import Scene

LAST = 3  # message, day line, footer
QUICKEST_S = 0.2  # between two looks while it plays
MINUTE_S, FAR_S = 60.0, 600.0


class Replayed(Live):
    """A replay on the screen. What lasts a while on its desk lasts by the clock outside, whatever the past clock does."""

    session: Replay

    def __init__(self, session: Replay, pen: Pen, look: str) -> None:
        self.typed: str | None = None
        self.windows = 0  # page of the windows; 0: none
        self._looked_at: tuple[object, ...] = ()
        super().__init__(session, replace(pen, keys=pen.keys.replaying()), look, _unheard)

    def take_view(self) -> None:
        """A new view, where anything moved since the last one."""
        session = self.session
        session.keep_up()
        now = (
            session.line,
            session.now(),
            session.past.lines,
            session.playing,
            session.pace,
            session.following,
        )
        if now != self._looked_at or self.view is None:
            super().take_view()
            self._looked_at = now

    def scene(self, view: LiveView) -> Scene:
        desk = self.desk.settled("", self.session.outside)
        session = self.session
        return Scene(view, session.now(), desk, session.kept_seq, session.trouble, read_only=True)

    def _tell(self, text: Say, bad: bool = False, for_s: float = MESSAGE_S) -> None:
        self.desk = self.desk.said(text, self.session.outside, bad, for_s)

    # keys

    def follow(self, key: Press) -> bool:
        """Do what a key asks for; whether it was the wish to leave."""
        self.desk = replace(self.desk.settled("", self.session.outside), message=None)
        if self.typed is not None:
            self._type(key, self.typed)
            return False
        action = self._pen.keys.replay.get(key.key)
        if action is None:
            self._refuse(key.key)
            return False
        name = action.id.removeprefix("replay.")
        if name == "quit":
            return True
        if name != "help":
            self.desk = replace(self.desk, page=0)
        try:
            _DOES[name](self)
        except Exception as fault:
            self._tell_fault(fault)
        return False

    def _refuse(self, key: str) -> None:
        action, help_key = self._pen.keys.live.get(key), self._pen.key("replay.help")
        if action is not None and action.writes:
            what = self._pen.say(f"action.{action.id}")
            self._tell(say("replay.refused", what=what, key=help_key), bad=True)
        else:
            self._tell(say("replay.unbound", pressed=key.replace("_", " "), key=help_key), bad=True)

    def _type(self, key: Press, typed: str) -> None:
        """A key while a place is typed: enter goes there, rubbing out the empty line ends it."""
        if key.key in ("enter", "ctrl+j"):
            self.typed = None
            if typed.strip() and not self.session.go_named(typed):
                self._tell(say("replay.nowhere", text=typed.strip()), bad=True)
        elif key.key == "backspace":
            self.typed = typed[:-1] if typed else None
        elif key.character and key.character.isprintable():
            self.typed = typed + key.character

    def _jump(self, stop: str, by: int) -> None:
        if not self.session.jump(stop, by):  # type: ignore[arg-type]
            way = self._pen.say("replay.after" if by > 0 else "replay.before")
            self._tell(say("replay.no_stop", stop=self._pen.say(f"replay.stop.{stop}"), way=way), bad=True)

    def _pace(self, by: int) -> None:
        self.session.faster(by)
        self._tell(say("replay.paced", pace=self.session.pace))

    def _turn_windows(self) -> None:
        self.windows += 1
        self.desk = replace(self.desk, sheet="")

    def _turn_rate(self) -> None:
        self.windows = 0
        self.desk = replace(self.desk, sheet="" if self.desk.sheet else "rate")

    def _mark_row(self, by: int) -> None:
        if self.view is None:
            return
        scene = self.scene(self.view)
        keys = [pick.key for pick in scene.picks]
        if keys:
            place = keys.index(scene.selected.key) + by if scene.selected else 0
            self.desk = self.desk.pick(keys[place % len(keys)], self.session.outside)

    def _next_look(self) -> None:
        self.desk = replace(self.desk, look=next_look(self.desk.look))

    def _turn_help(self) -> None:
        self.desk = replace(self.desk, page=self.desk.page + 1)

    def _type_place(self) -> None:
        self.typed = ""

    def _move(self, by_s: float) -> None:
        self.session.go(self.session.now() + by_s)

    # painting

    def lines(self, width: int, height: int) -> Lines:
        """The rows of the whole screen at the moment shown."""
        if self.view is None:
            return super().lines(width, height)
        scene = self.scene(self.view)
        last = min(LAST, max(1, height - 2))
        page = self._page(scene, width, page_room(scene, width, height, last, self._pen))
        scene = replace(scene, desk=replace(self.desk, page=0))
        self.desk = self.desk.settled("", self.session.outside)
        rows = (self._message(width), self._day_line(width), self._footer(scene, width))
        return paint_replay(scene, rows[-last:], page, width, height, self._pen)

    def _page(self, scene: Scene, width: int, room: int) -> Lines:
        """The page turned to; past the last one there is none."""
        if self.desk.page:
            keys = paint_keys(width, room, self._pen)
            if self.desk.page <= len(keys):
                return keys[self.desk.page - 1]
            self.desk = replace(self.desk, page=0)
        if not self.windows:
            return ()
        found, pages = paint_windows(
            self.session.predicted(), scene.now, self.windows, width, room, self._pen
        )
        if self.windows <= pages:
            return found
        causes = self.session.causes() if self.windows == pages + 1 else ()
        if not causes:
            self.windows = 0
        return paint_causes(causes, width, room, self._pen)

    def _message(self, width: int) -> Line:
        """The place being typed, what was said, or the line it stands at."""
        pen = self._pen
        if self.typed is not None:
            head = f" {pen.say('replay.go')} "
            return fit(((head, "strong"), (f"{self.typed}_", "strong")), width, cut=pen.glyphs.cut)
        told = self.desk.message
        if told is not None:
            return row(f" {pen.say(told.text)}", width, "bad" if told.bad else "strong", pen.glyphs.cut)
        line = self.session.line
        at = pen.clock(self.session.past.events[line - 1].at)
        return row(f" {line}  {at}  {pen.say(self.session.said())}", width, "text", pen.glyphs.cut)

    def _day_line(self, width: int) -> Line:
        past = self.session.past
        return paint_day_line(
            (past.begins, past.ends), self.session.now(), self.session.incidents, width, self._pen
        )

    def _footer(self, scene: Scene, width: int) -> Line:
        return paint_replay_footer(scene, scene.now, width, self._pen)

    def next_look_s(self) -> float:
        """Seconds to the next look: the next whole second of the past while it plays, else to see whether lines came."""
        if not self.session.playing:
            return 1.0
        left_s = 1.0 - self.session.now() % 1.0
        return max(QUICKEST_S, left_s / self.session.pace)


def _unheard(_seq: int) -> None:
    """Nothing is written, so nothing is heard."""


_DOES: dict[str, Callable[[Replayed], None]] = {
    "play": lambda one: one.session.play(),
    "after": lambda one: one._jump("line", 1),
    "before": lambda one: one._jump("line", -1),
    "next_incident": lambda one: one._jump("incident", 1),
    "last_incident": lambda one: one._jump("incident", -1),
    "next_batch": lambda one: one._jump("batch", 1),
    "last_batch": lambda one: one._jump("batch", -1),
    "next_pour": lambda one: one._jump("pour", 1),
    "last_pour": lambda one: one._jump("pour", -1),
    "minute_on": lambda one: one._move(MINUTE_S),
    "minute_back": lambda one: one._move(-MINUTE_S),
    "far_on": lambda one: one._move(FAR_S),
    "far_back": lambda one: one._move(-FAR_S),
    "start": lambda one: one.session.go_to_line(1),
    "end": lambda one: one.session.follow(),
    "faster": lambda one: one._pace(1),
    "slower": lambda one: one._pace(-1),
    "go": lambda one: one._type_place(),
    "windows": lambda one: one._turn_windows(),
    "rate": lambda one: one._turn_rate(),
    "up": lambda one: one._mark_row(-1),
    "down": lambda one: one._mark_row(1),
    "look": lambda one: one._next_look(),
    "help": lambda one: one._turn_help(),
}
