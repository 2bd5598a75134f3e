"""When an alarm is heard, and how long it stays in sight: a frozen state folded with every look.

Times are log time, and what ears and hands are given lasts `pace` times as long on a fast clock.
"""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass, field, replace
from typing import Literal

from tui.sound.alarms import DUE, LATE, LONG, LOST, Alarm

Sound = Literal["call", "due", "late"]
APART_S = 2.0  # from one sound to the next
GAP_S = 10.0  # no look for so long: the machine slept, or the log was just opened
REPEAT_S, REPEATS = 30.0, 3  # of a late pass
SHARED_S = 15.0  # a sound for another alarm stands for a repeat not much further off than this
FOLLOWED_S = 30.0  # a call that stands longer has not been followed
NEWS_S = 30.0  # so long a loss is news; then it stands behind what can still be done
LINGER_S = 10.0  # an alarm that goes and comes again within this time is the same one
MOST, ON_BOARD = 2, 1  # alarms in sight at once; on the call board


@dataclass(frozen=True)
class Standing:
    """An alarm that was seen: since when, since when at its level, heard and answered up to which level."""

    alarm: Alarm
    level: int
    since: float
    turned: float
    heard: int = 0  # level
    heard_at: float = -math.inf
    repeats: int = 0
    answered: int = 0  # level
    gone_at: float | None = None

    @property
    def in_sight(self) -> bool:
        """Whether it stands on the screen; a call has its row once it is not followed, until then the lane is it."""
        followed = self.alarm.kind == "call" and self.level == DUE
        return self.gone_at is None and self.answered < self.level and not followed


@dataclass(frozen=True)
class Ringing:
    """All that was seen and is not long gone, and when something was last heard and looked at."""

    standing: tuple[Standing, ...] = ()
    heard_at: float = -math.inf
    looked_at: float = -math.inf
    shown: tuple[Standing, ...] = field(default=())  # worst first

    def answered(self, in_sight: int = MOST) -> Ringing:
        """With so many alarms, those in sight, answered at their level; those behind them move up."""
        keys = {one.alarm.key for one in self.shown[:in_sight]}
        standing = tuple(
            replace(one, answered=one.level, heard=one.level) if one.alarm.key in keys else one
            for one in self.standing
        )
        return replace(self, standing=standing, shown=self.shown[in_sight:])


def ring(
    ringing: Ringing, alarms: tuple[Alarm, ...], now: float, pace: float = 1.0, muted: bool = False
) -> tuple[Ringing, Sound | None]:
    """The state after a look, and the one sound to be made; while muted what would be heard counts as heard."""
    if not alarms and not ringing.standing and now - ringing.looked_at <= GAP_S * pace:
        return replace(ringing, looked_at=now), None
    woken = now - ringing.looked_at > GAP_S * pace
    waiting = any(_wants(one, ringing.looked_at, pace) for one in ringing.standing)
    # after waking a moment to see what is there, then one sound for all of it
    heard_at = now if woken and not waiting else ringing.heard_at
    standing = _standing(ringing.standing, alarms, now, pace)
    wanted = [one for one in standing if _wants(one, now, pace)]
    sound: Sound | None = None
    if wanted and now - heard_at >= APART_S * pace:
        wanted = [one for one in standing if _wants(one, now + SHARED_S * pace, pace)]
        sound = None if muted else _sound(wanted)
        heard_at = heard_at if muted else now
        standing = tuple(_heard(one, now) if one in wanted else one for one in standing)
    return Ringing(standing, heard_at, now, _shown(standing, now, pace)), sound


def _standing(
    before: tuple[Standing, ...], alarms: tuple[Alarm, ...], now: float, pace: float
) -> tuple[Standing, ...]:
    known = {one.alarm.key: one for one in before}
    here = {alarm.key: _seen(known.get(alarm.key), alarm, now) for alarm in alarms}
    gone = [
        replace(one, gone_at=now) if one.gone_at is None else one
        for key, one in known.items()
        if key not in here and now - (now if one.gone_at is None else one.gone_at) < LINGER_S * pace
    ]
    return (*here.values(), *gone)


def _seen(before: Standing | None, alarm: Alarm, now: float) -> Standing:
    """At its level of now. One that fell back is heard and answered no higher than it stands."""
    since = before.since if before else now
    level = LONG if _not_followed(alarm, now - since) else alarm.level
    if before is None:
        return Standing(alarm, level, now, now)
    turned = before.turned if level == before.level else now
    return replace(
        before,
        alarm=alarm,
        level=level,
        turned=turned,
        heard=min(before.heard, level),
        answered=min(before.answered, level),
        repeats=before.repeats if level == before.level else 0,
        gone_at=None,
    )


def _not_followed(alarm: Alarm, for_s: float) -> bool:
    return alarm.kind == "call" and alarm.level == DUE and for_s >= FOLLOWED_S


def _wants(one: Standing, now: float, pace: float) -> bool:
    """Whether it is to be heard: new at its level, or late, unanswered and silent for a while."""
    if one.gone_at is not None or one.answered >= one.level:
        return False
    if one.heard < one.level:
        return True
    late = one.level == LATE and one.alarm.kind == "pass" and one.repeats < REPEATS
    return late and now - one.heard_at >= REPEAT_S * pace


def _heard(one: Standing, now: float) -> Standing:
    again = one.repeats + 1 if one.heard == one.level else 0
    return replace(one, heard=one.level, heard_at=now, repeats=again)


def _sound(wanted: Iterable[Standing]) -> Sound:
    """Of the worst; the call before a pass of the same level."""
    worst = max(wanted, key=lambda one: (one.level, one.alarm.kind == "call"))
    if worst.alarm.kind == "call":
        return "call"
    return "due" if worst.level < LATE else "late"


def _shown(standing: tuple[Standing, ...], now: float, pace: float) -> tuple[Standing, ...]:
    in_sight = [one for one in standing if one.in_sight]
    return tuple(sorted(in_sight, key=lambda one: _place(one, now, pace)))


def _place(one: Standing, now: float, pace: float) -> tuple[bool, int, bool, float, str]:
    """Worst first, of a level the call, then what stands longest; a loss that is no news any more comes last."""
    old = one.level == LOST and one.alarm.kind == "pass" and now - one.turned >= NEWS_S * pace
    return old, -one.level, one.alarm.kind != "call", one.turned, one.alarm.key
