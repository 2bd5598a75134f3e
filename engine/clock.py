"""The one place that asks what time it is, and the rule that turns two clocks into one log time.

A stamp carries both clocks: UTC, which people and other boots understand, and boot time, which counts on
through a closed lid and cannot be set. Within one boot only boot time counts; from one boot to the next only
UTC can.
"""

from __future__ import annotations

import sys
import time
from collections.abc import Callable
from dataclasses import dataclass, field, replace
from pathlib import Path
from typing import Protocol

BOOT_ID = Path("/proc/sys/kernel/random/boot_id")
DERIVED_MARK_STEP_S = 60.0


@dataclass(frozen=True)
class Stamp:
    """One moment on both clocks.

    `wall` is seconds since 1970 UTC, kept to the microsecond, `boot` seconds on a clock that counts sleep,
    `mark` names the boot that clock belongs to.
    """

    wall: float
    boot: float
    mark: str

    def __post_init__(self) -> None:
        object.__setattr__(self, "wall", round(self.wall, 6))

    def back(self, seconds: float) -> Stamp:
        """The moment so many seconds earlier, on both clocks."""
        return replace(self, wall=self.wall - seconds, boot=self.boot - seconds)


class Clock(Protocol):
    """What the program is handed to know the time."""

    def stamp(self) -> Stamp:
        """Now."""
        ...

    def pressed(self, event_time: float) -> Stamp:
        """The moment of a key press; `event_time` is the `time.monotonic()` at which it was delivered."""
        ...


class SystemClock:
    """The machine's clocks.

    Linux: CLOCK_BOOTTIME. macOS: CLOCK_MONOTONIC_RAW, said to count sleep, which `time.monotonic` there does
    not. Elsewhere `time.monotonic`, said to count sleep on Windows. Only Linux was tried; a clock that stops
    in sleep shows as a jump after it.
    """

    def __init__(self) -> None:
        self._boot = _boot_source()
        self._mark = _boot_mark(time.time(), self._boot())

    def stamp(self) -> Stamp:
        """Now."""
        return Stamp(time.time(), self._boot(), self._mark)

    def pressed(self, event_time: float) -> Stamp:
        """The moment of a key press, however late its handler runs; never later than now."""
        return self.stamp().back(max(0.0, time.monotonic() - event_time))


def _boot_source() -> Callable[[], float]:
    name = {"linux": "CLOCK_BOOTTIME", "darwin": "CLOCK_MONOTONIC_RAW"}.get(sys.platform, "")
    which: int | None = getattr(time, name, None)
    if which is None:
        return time.monotonic
    clock = which
    return lambda: time.clock_gettime(clock)


def _boot_mark(wall: float, boot: float, boot_id: Path = BOOT_ID) -> str:
    try:
        return boot_id.read_text(encoding="ascii").strip()
    except OSError:
        return derived_mark(wall, boot)


def derived_mark(wall: float, boot: float) -> str:
    """A name for this boot where the system gives none: the minute it began, by the wall clock.

    A wall clock set between two runs of one boot makes it look like two; UTC then bridges them.
    """
    return f"began-{round((wall - boot) / DERIVED_MARK_STEP_S)}"


class HandClock:
    """A clock moved by hand, for tests and rehearsed days."""

    def __init__(self, start: float) -> None:
        self._wall, self._boot, self._boots = start, 1000.0, 1
        self.awake_s = 0.0  # what a clock that stops in sleep would have counted
        self.held_s = 0.0  # how long ago the terminal delivered the key now handled

    def stamp(self) -> Stamp:
        """Now."""
        return Stamp(self._wall, self._boot, f"boot-{self._boots}")

    def pressed(self, event_time: float) -> Stamp:  # noqa: ARG002 the delay is set by hand, too
        """The moment of a key press: now, less `held_s`."""
        return self.stamp().back(self.held_s)

    def advance(self, seconds: float) -> None:
        """Time passes."""
        self.sleep_lid(seconds)
        self.awake_s += seconds

    def sleep_lid(self, seconds: float) -> None:
        """Time passes with the lid closed: both clocks of a stamp count it."""
        self._wall += seconds
        self._boot += seconds

    def step_wall(self, seconds: float) -> None:
        """Somebody or something sets the wall clock; no time passes."""
        self._wall += seconds

    def reboot(self, after_s: float) -> None:
        """Power is lost and the machine is up again so many seconds later."""
        self._wall += after_s
        self._boot = 0.0
        self._boots += 1


class ScaledClock:
    """Another clock run faster or slower, from a wall time of its own: for rehearsals at many times the pace.

    Raises `ValueError` for a speed that is not above zero.
    """

    def __init__(self, inner: Clock, speed: float, wall: float | None = None) -> None:
        if not speed > 0.0:
            raise ValueError(f"a clock runs at a speed above 0, not at {speed:g}")
        self._inner, self._speed = inner, speed
        self._began = inner.stamp()
        self._wall = self._began.wall if wall is None else wall

    def stamp(self) -> Stamp:
        """Now, on the scaled clock."""
        return self._scaled(self._inner.stamp())

    def pressed(self, event_time: float) -> Stamp:
        """The moment of a key press, on the scaled clock."""
        return self._scaled(self._inner.pressed(event_time))

    def _scaled(self, stamp: Stamp) -> Stamp:
        """Both clocks count on together, so that no jump is seen; the mark says this is no boot of the machine's."""
        passed_s = (stamp.boot - self._began.boot) * self._speed
        return Stamp(self._wall + passed_s, self._began.boot + passed_s, f"{stamp.mark} rehearsed")


@dataclass(frozen=True)
class _Anchor:
    """A boot's first stamp and the log time it was given."""

    time: float
    boot: float


@dataclass(frozen=True)
class Timeline:
    """Log time of stamps, in seconds since 1970 UTC, from the stamps seen before them in the log's order.

    The first stamp stands at its own wall time. Within a boot, log time advances as boot time does, whatever
    happens to the wall clock. A new boot goes on from the last stamp seen by what the wall clock says has
    passed, never backwards.
    """

    _anchors: tuple[tuple[str, _Anchor], ...] = ()
    _last: Stamp | None = field(default=None)

    def seen(self, stamp: Stamp) -> Timeline:
        """The timeline that knows this stamp too."""
        if any(mark == stamp.mark for mark, _ in self._anchors):
            return Timeline(self._anchors, stamp)
        return Timeline((*self._anchors, (stamp.mark, self._anchor(stamp))), stamp)

    def at(self, stamp: Stamp) -> float:
        """Log time of a stamp, seen or not."""
        anchor = self._anchor(stamp)
        return anchor.time + (stamp.boot - anchor.boot)

    def jump(self, stamp: Stamp) -> float:
        """Seconds by which the wall clock is ahead of log time."""
        return stamp.wall - self.at(stamp)

    def step(self, stamp: Stamp) -> float:
        """Seconds the wall clock moved against log time since the last stamp seen; 0 for the first."""
        return self.jump(stamp) - self.jump(self._last) if self._last else 0.0

    def _anchor(self, stamp: Stamp) -> _Anchor:
        for mark, anchor in self._anchors:
            if mark == stamp.mark:
                return anchor
        if self._last is None:
            return _Anchor(stamp.wall, stamp.boot)
        passed_s = max(0.0, stamp.wall - self._last.wall)
        return _Anchor(self.at(self._last) + passed_s, stamp.boot)
