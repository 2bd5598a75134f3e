"""What is left for another day: return visits still due, and the gate before a coating."""

from __future__ import annotations

import datetime
from collections.abc import Iterator
from dataclasses import dataclass, replace
from typing import Any
from zoneinfo import ZoneInfo

from engine.job.model import Job, Pour
from engine.job.returns import Return, returns
from engine.pour.measured import CoatingRead, LookMade, VisitAgreed
from engine.pour.needs import bags_left
from engine.pour.reckoning import Moment
from engine.pour.times import iso
from engine.site.coating import (
    CoatingReadings,
    ExpectedDay,
    Gate,
    Line,
    SheetTest,
    first_day,
    gate,
    ready_at,
    season_said,
)
from engine.site.coating import said as line_said
from engine.units import show_difference, show_temperature
from engine.words import Say, Words, say

DAY_S = 86400.0
LATER = 2  # the visit of pours left during the day


def visits_due(moment: Moment) -> tuple[Return, ...]:
    """Return visits not yet made, by day, those without a day last."""
    agreed = {
        body.visit: datetime.date.fromisoformat(body.day) for body, _ in moment.day.recorded(VisitAgreed)
    }
    made = {body.look for body, _ in moment.day.recorded(LookMade)}
    found = returns(_with_left(moment), dict(_poured(moment)), agreed)
    return tuple(visit for visit in found if visit.kind not in made)


def _with_left(moment: Moment) -> Job:
    """The job with the queue as it stands: pours left today belong to a later visit."""
    left = moment.day.left
    pours = (
        replace(pour, visit=max(pour.visit, LATER)) if pour.id in left else pour for pour in moment.day.pours
    )
    return replace(moment.job, pours=tuple(pours))


def _poured(moment: Moment) -> Iterator[tuple[str, datetime.date]]:
    """The local day on which each filled pour had its last bag."""
    zone = ZoneInfo(moment.job.zone)
    for pour in moment.day.pours:
        tips = [b.tipped_at for b in moment.day.batches_of(pour.id) if b.tipped_at is not None]
        if tips and bags_left(moment, pour) <= 0:
            yield pour.id, datetime.datetime.fromtimestamp(max(tips), zone).date()


@dataclass(frozen=True)
class Coating:
    """The gate of a pour as read last, when it is old enough, and the first expected day nothing foreseen stands against."""

    gate: Gate
    old_enough_at: float
    day: ExpectedDay | None


def coating(moment: Moment, pour: Pour) -> Coating | None:
    """None while nothing is tipped, or nobody read for a coating and the job expects no days."""
    tips = [b.tipped_at for b in moment.day.batches_of(pour.id) if b.tipped_at is not None]
    read = moment.day.recorded(CoatingRead, pour.id)
    if not tips or not (read or moment.job.expected):
        return None
    body, at = read[-1] if read else (CoatingRead(pour.id), moment.at)
    readings, practice = _readings(body, at, max(tips), pour), moment.job.practice
    old_at = ready_at(readings, practice)
    return Coating(gate(readings, practice), old_at, first_day(moment.job.expected, old_at, practice))


def old_enough_at(moment: Moment, pour: Pour) -> float | None:
    """When a pour is old enough to coat: as read for a coating, else the practice's age from the last tip."""
    found = coating(moment, pour)
    tips = [batch.tipped_at for batch in moment.day.batches_of(pour.id) if batch.tipped_at is not None]
    if found is not None or not tips:
        return found.old_enough_at if found else None
    return max(tips) + moment.job.practice["coating.least_age"]


def _readings(body: CoatingRead, at: float, tipped_at: float, pour: Pour) -> CoatingReadings:
    return CoatingReadings(
        at=at,
        tipped_at=tipped_at,
        ramp=pour.use == "ramp",
        coat=body.coat,
        label_age_s=body.label_age_s,
        sheet=None if body.sheet_s is None else SheetTest(body.sheet_s, body.sheet_damp),
        surface_c=body.surface_c,
        air_c=body.air_c,
        humidity=body.humidity,
        dry_for_s=body.dry_for_s,
        dry_ahead_s=body.dry_ahead_s,
        grit=body.grit,
        ph=body.ph,
    )


def coating_said(found: Coating, moment: Moment) -> Say:
    """What stands against it and what nobody read, with values and limits where they are numbers."""
    lines = {
        word: ", ".join(_line_text(line, moment) for line in found.gate.lines if line.word == word) or "-"
        for word in ("fails", "not read")
    }
    return say("answer.coating", against=lines["fails"], unread=lines["not read"])


def _line_text(line: Line, moment: Moment) -> str:
    """`sheet test 12 h of 16 h`, `surface 45 °F of 50 °F`."""
    if line.limit is None:
        return line.name
    of = " of " if line.value is not None else ", wanted "
    value = "" if line.value is None else f" {_amount(line.name, line.value, moment)}"
    return f"{line.name}{value}{of}{_amount(line.name, line.limit, moment)}"


def _amount(name: str, value: float, moment: Moment) -> str:
    units = moment.job.units
    if name == "age":
        return f"{value / DAY_S:.3g} days"
    if name in ("sheet test", "rain"):
        return f"{value / 3600.0:.3g} h"
    if name == "surface":
        return show_temperature(value, units)
    return show_difference(value, units) if name == "dew point" else f"{value:g}"


def coating_table(found: Coating, moment: Moment, words: Words) -> dict[str, Any]:
    """As plain JSON values; `not_this_season` is said only where the job expects days at all."""
    season = season_said(found.day) if moment.job.expected else None
    return {
        "lines": [
            {
                "line": words(line_said(line)),
                "word": line.word,
                "value": line.value,
                "limit": line.limit,
                "key": line.key,
            }
            for line in found.gate.lines
        ],
        "text": words(coating_said(found, moment))
        if not found.gate.clear
        else words("answer.nothing_against"),
        "old_enough": iso(found.old_enough_at),
        "first_day": iso(found.day.at) if found.day else None,
        "season": words(season) if season else None,
    }


def visit_table(visit: Return, words: Words) -> dict[str, Any]:
    """As plain JSON values."""
    return {
        "kind": visit.kind,
        "day": visit.day.isoformat() if visit.day else None,
        "pours": list(visit.pours),
        "title": words(visit.title),
        "tasks": [words(task) for task in visit.tasks],
    }
