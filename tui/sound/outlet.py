"""How a sound gets out: the bell of the terminal, or a program named on the command line.

The program is started without a shell and with nothing of the screen, one at a time, is never waited for, and is
ended after ten seconds. It finds `call`, `due` or `late` in the variable BAGCALL_SOUND.
"""

from __future__ import annotations

import contextlib
import os
import signal
import subprocess
from collections.abc import Callable
from typing import Protocol

from engine.words import Say, say
from tui.sound.ringing import Sound

KIND = "BAGCALL_SOUND"
LONGEST_S = 10.0
REAP_S = 1.0  # after a kill, at the end of the program


class Playing(Protocol):
    """A program that was started."""

    def poll(self) -> int | None:
        """Its exit code once it has ended."""
        ...

    def end(self) -> None:
        """Kill it, with whatever it started."""
        ...


class Program:
    """The real one. Raises `OSError` where it cannot be started."""

    def __init__(self, command: tuple[str, ...], sound: Sound) -> None:
        self._process = subprocess.Popen(
            command,
            stdin=subprocess.DEVNULL,
            stdout=subprocess.DEVNULL,
            stderr=subprocess.DEVNULL,
            env=os.environ | {KIND: sound},
            start_new_session=True,
        )

    def poll(self) -> int | None:
        return self._process.poll()

    def end(self) -> None:
        with contextlib.suppress(OSError):
            if hasattr(os, "killpg"):
                os.killpg(self._process.pid, signal.SIGKILL)
            else:
                self._process.kill()
        with contextlib.suppress(subprocess.TimeoutExpired):
            self._process.wait(REAP_S)


class Outlet:
    """Makes one sound at a time. `bell` rings the terminal's; `now` is log time, `pace` its speed against the ears."""

    def __init__(
        self,
        bell: Callable[[], None],
        command: tuple[str, ...] = (),
        start: Callable[[tuple[str, ...], Sound], Playing] = Program,
    ) -> None:
        self._bell, self._command, self._start = bell, command, start
        self._playing: Playing | None = None
        self._until = 0.0

    def play(self, sound: Sound, now: float, pace: float = 1.0) -> Say | None:
        """Make a sound; what is wrong with the program, told once, after which the bell stands in for it."""
        if not self._command or self._playing is not None:
            self._bell()
            return None
        try:
            self._playing = self._start(self._command, sound)
        except (OSError, ValueError) as error:
            return self._failed(str(error))
        self._until = now + LONGEST_S * pace
        return None

    def tend(self, now: float) -> Say | None:
        """Look after the program that plays; what was wrong with it. Costs nothing while none does."""
        if self._playing is None:
            return None
        code = self._playing.poll()
        if code is None and now < self._until:
            return None
        if code is None:
            self._playing.end()
        self._playing = None
        if code == 0:
            return None
        return self._failed(say("sound.too_long") if code is None else say("sound.code", n=code))

    def close(self) -> None:
        """End what still plays."""
        playing, self._playing = self._playing, None
        if playing is not None:
            playing.end()

    def _failed(self, why: object) -> Say:
        name, self._command = self._command[0], ()
        self._bell()
        return say("sound.failed", program=name, why=why)
