"""Pours with something in them: when each is wetted next, its cover, when it bears whom, the first night, a coating."""

from __future__ import annotations

import math
from collections.abc import Iterator

from engine.pour.after_view import CareRow, OpensView
from engine.units import show_duration
from tui.after.listed import Listed
from tui.after.marker import care_rows, cared
from tui.after.when import date_of, when
from tui.paint.cells import clean
from tui.paint.columns import Column
from tui.paint.pen import Pen
from tui.paint.runs import Run
from tui.scene import Scene


def overdue(one: CareRow, now: float) -> bool:
    """Whether it should be wetted now: its water is used up and its cure is not over."""
    runs = one.wet_until is not None and one.wet_until > now
    return runs and one.wet_next is not None and one.wet_next <= now


def _wet(one: CareRow, scene: Scene, pen: Pen) -> str:
    if one.wet_until is None:
        return pen.say("after.cure.worked_on")
    if one.wet_until <= scene.now:
        return pen.say("after.cure.over")
    if one.wet_next is None:
        return pen.say("after.cure.lasts")
    time = pen.countdown(one.wet_next, scene.now)
    return pen.say("after.cure.wet_now" if overdue(one, scene.now) else "after.cure.wet_in", time=time)


def _cover(one: CareRow, _: Scene, pen: Pen) -> str:
    return pen.say(f"choice.{one.cover}") if one.cover else "-"


def _opens(one: CareRow, to: str, scene: Scene, pen: Pen) -> str:
    """Its time; once it is opened to that, or to more, that it is."""
    if one.opened and to in ("feet", one.opened):
        return pen.say("after.cure.open")
    found = next((opens for opens in one.opens if opens.to == to), None)
    return when(found.at if found else None, scene.now, pen)


COLUMNS: tuple[Column[CareRow], ...] = (
    Column("pour", 5, 0, lambda one, _scene, _pen: clean(one.id)),
    Column("wet", 14, 1, _wet),
    Column("until", 9, 5, lambda one, scene, pen: when(one.wet_until, scene.now, pen)),
    Column("cover", 7, 4, _cover),
    Column("feet", 9, 2, lambda one, scene, pen: _opens(one, "feet", scene, pen)),
    Column("wheels", 9, 3, lambda one, scene, pen: _opens(one, "wheels", scene, pen)),
    Column("last", 11, 6, lambda one, scene, pen: when(one.last_stroke, scene.now, pen)),
    Column("state", 11, 7, lambda one, _, pen: pen.word("pour", one.state)),
    Column("coat", 10, 8, lambda one, scene, pen: when(one.coat_from, scene.now, pen)),
)


def cures(scene: Scene) -> Listed[CareRow]:
    """One that is dry stands out by word and fill."""
    return Listed(
        care_rows(scene),
        COLUMNS,
        "where",
        lambda one, _scene, _pen: clean(one.where),
        lambda one, scene: "late" if overdue(one, scene.now) else "text",
        "after.no_care",
    )


def thirsty(scene: Scene, pen: Pen) -> str:
    """Which pours are dry, for the head of every page; empty while none is."""
    dry = ", ".join(clean(one.id) for one in care_rows(scene) if overdue(one, scene.now))
    return pen.say("after.cure.dry", pours=dry) if dry else ""


def cure_texts(scene: Scene, pen: Pen) -> Iterator[Run]:
    """What the marked pour asks for, most pressing first."""
    one = cared(scene)
    if one is None:
        return
    now = scene.now
    yield pen.say("after.cure.pour", pour=one.id, where=one.where, state=one.state), "strong"
    yield from _wetting(one, now, pen)
    yield from _covered(one, now, pen)
    for opens in one.opens:
        yield _opening(opens, now, pen), "text"
    if one.opened_at is not None:
        yield pen.say("after.cure.opened", to=one.opened, at=when(one.opened_at, now, pen)), "text"
    yield from _night(one, now, pen)
    yield from _coat(one, pen)
    yield pen.say("after.estimates"), "text"


def _wetting(one: CareRow, now: float, pen: Pen) -> Iterator[Run]:
    if one.wet_until is None or one.last_stroke is None:
        yield pen.say("after.cure.not_yet"), "text"
        return
    at = {name: when(moment, now, pen) for name, moment in (("at", one.wet_next), ("until", one.wet_until))}
    key = "ended" if one.wet_until <= now else "ends" if one.wet_next is None else "next"
    dry = overdue(one, now)
    last = pen.say("after.cure.last", at=when(one.last_stroke, now, pen), wet=when(one.wet_at, now, pen))
    told = pen.say("after.cure.dried" if dry else f"after.cure.{key}", **at)
    yield f"{last} {told}", "late" if dry else "text"


def _covered(one: CareRow, now: float, pen: Pen) -> Iterator[Run]:
    """What lies on it since when, and when it may come off."""
    since, until = when(one.cover_since, now, pen), when(one.wet_until, now, pen)
    told = [pen.say(f"after.cure.{one.cover or 'no_cover'}", since=since)]
    if one.cover == "sheet" and one.wet_until is not None:
        told.append(pen.say("after.cure.sheet_off", until=until))
    if one.lift is not None:
        told.append(pen.say(one.lift))
        told.append(pen.say("after.cure.strong", at=when(one.strong_at, now, pen)))
    yield " ".join(told), "text"


def _opening(opens: OpensView, now: float, pen: Pen) -> str:
    """Its time with its spread, what that rests on, and the label's own time."""
    spread = tuple(when(at, now, pen) for at in (opens.early, opens.late))
    known = opens.at is not None and spread[0] != spread[1]
    return pen.say(
        "after.cure.opens_between" if known else "after.cure.opens",
        to=opens.to,
        at=when(opens.at, now, pen),
        early=spread[0],
        late=spread[1],
        rests=opens.rests,
        label=show_duration(opens.label_s),
        label_at=when(opens.label_at, now, pen),
    )


def _night(one: CareRow, now: float, pen: Pen) -> Iterator[Run]:
    frost = one.freeze_at is not None and math.isfinite(one.freeze_at)
    told = [pen.say("after.cure.night")]
    if frost:
        told.append(pen.say("after.cure.frost", at=when(one.freeze_at, now, pen)))
    yield " ".join([*told, pen.say(one.night)]), "strong" if frost else "text"


def _coat(one: CareRow, pen: Pen) -> Iterator[Run]:
    if one.coat_from is None:
        return
    told = [pen.say("after.cure.coat_from", day=date_of(one.coat_from, pen).isoformat())]
    if one.coat_day is not None:
        told.append(pen.say("after.cure.coat_day", day=date_of(one.coat_day, pen).isoformat()))
    if one.coat is not None:
        told.append(pen.say(one.coat))
    yield " ".join(told), "text"
