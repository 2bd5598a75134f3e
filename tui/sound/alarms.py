"""What presses at a moment: a call that waits, a pass due, late or lost. Nothing is kept here; `ringing` remembers."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Literal

if TYPE_CHECKING:
    from engine.pour.views import CallView, LiveView, Row

Kind = Literal["call", "pass"]
DUE, LONG, LATE, LOST = 1, 2, 3, 4  # levels; of the call: mix now, not followed, edge at risk, joint
PASS_LEVELS = {"due": DUE, "late": LATE, "lost": LOST}
CALL_LEVELS = {"mix now": DUE, "edge at risk": LATE, "joint": LOST}
WAITING = ("queued", "later visit")


@dataclass(frozen=True)
class Alarm:
    """One thing that presses. `key` stays the same while it escalates; `until` is its next moment, in log time."""

    key: str
    kind: Kind
    level: int
    which: str  # batch or pour
    step: str = ""  # the pass
    who: str = ""  # nobody who is away
    until: float | None = None
    until_word: str = ""


def alarms(view: LiveView, now: float) -> tuple[Alarm, ...]:
    """What presses now, in the order of the view; nothing that nobody is there to do."""
    call = _call(view)
    finishes = any("finish" in one.does for one in view.crew if not one.away)
    away = {one.id for one in view.crew if one.away}
    passes = [_pass(row, now, away) for row in view.rows if finishes]
    vessels = [_vessel(row, now, away) for row in view.rows]
    return tuple(alarm for alarm in (call, *passes, *vessels) if alarm is not None)


def _call(view: LiveView) -> Alarm | None:
    """The call where it presses, from the first water of the day on; a bag called and still dry follows `mix now`."""
    call = view.call
    level = CALL_LEVELS.get(call.state)
    if level is None or not _begun(view) or (level == DUE and _called(view, call)):
        return None
    return Alarm(f"call {call.batch or call.pour}", "call", level, call.pour, who=call.who, until=call.latest)


def _begun(view: LiveView) -> bool:
    return bool(view.rows) or any(pour.state not in WAITING for pour in view.queue)


def _called(view: LiveView, call: CallView) -> bool:
    return any(row.step.kind == "water" and row.pour == call.pour for row in view.rows)


def _pass(row: Row, now: float, away: set[str]) -> Alarm | None:
    """The next pass of a row; from halfway between due and late on it has been due for long."""
    window = row.window
    level = PASS_LEVELS.get(window.state) if window else None
    if window is None or level is None:
        return None
    if level == DUE and now >= (window.due + window.late) / 2.0:
        level = LONG
    first = row.batches[0] if row.batches else row.key
    who = "" if row.step.who in away else row.step.who
    which = row.key if row.batches else row.pour
    return Alarm(f"{first} {window.name}", "pass", level, which, window.name, who, row.until, row.until_word)


def _vessel(row: Row, now: float, away: set[str]) -> Alarm | None:
    """A batch that should have left its vessel: late while it is workable, lost from then on."""
    if row.window is not None or row.until is None or row.until_word != "workable":
        return None
    who = "" if row.step.who in away else row.step.who
    level = LATE if now < row.until else LOST
    return Alarm(f"{row.key} vessel", "pass", level, row.key, row.step.kind, who, row.until, row.until_word)
