"""The after screen's values from a day: built when somebody looks, the same for as long as the day is and for a minute."""

from __future__ import annotations

import datetime
import math
from collections.abc import Iterator, Mapping
from dataclasses import replace
from zoneinfo import ZoneInfo

from engine.job.model import OpenTo, Pour
from engine.job.practice import Value
from engine.job.returns import Return
from engine.pour.after_view import AfterView, CareRow, ChangeRow, ChangeSums, OpensView, VisitRow
from engine.pour.around.after_checks import check_rows
from engine.pour.around.aftercare import Aftercare, aftercare
from engine.pour.around.changed import standing_orders
from engine.pour.around.coming_back import coating, coating_said, old_enough_at, visits_due
from engine.pour.around.used import rescoped
from engine.pour.measured import ChangeOrdered
from engine.pour.needs import bags_left
from engine.pour.openings import openings
from engine.pour.reckoning import Moment
from engine.pour.stages import pour_state
from engine.site.curing import WetCure
from engine.site.firstnight import said as night_said
from engine.site.opening import OpeningTime
from engine.site.opening import said as opening_said
from engine.words import say

INCH_M, MM_M = 0.0254, 0.001


def after_page(moment: Moment, shipped: Mapping[str, Value]) -> AfterView:
    """What finished pours still ask for. `shipped` are the practice values by key, for where a limit comes from."""
    changes = tuple(_orders(moment))
    return AfterView(
        care=_care_rows(moment),
        checks=tuple(row for pour in _begun_first(moment) for row in check_rows(moment, pour, shipped)),
        changes=(*changes, *_holes(moment)),
        sums=_sums(moment, changes),
        visits=tuple(_visit(visit, today(moment)) for visit in visits_due(moment)),
        today=today(moment),
    )


def _begun_first(moment: Moment) -> list[Pour]:
    """In the order of the queue, holes with nothing in them last."""
    return sorted(moment.day.pours, key=lambda pour: not moment.day.batches_of(pour.id))


def today(moment: Moment) -> datetime.date:
    """The date at the site."""
    return datetime.datetime.fromtimestamp(moment.at, ZoneInfo(moment.job.zone)).date()


# care


def _care_rows(moment: Moment) -> tuple[CareRow, ...]:
    """Cures that run by their next wetting, then those that are over, then pours still worked on."""
    found = [(pour, after) for pour in moment.day.pours if (after := aftercare(moment, pour))]
    slow, quick = (_at_rate(moment, rate) for rate in (moment.factor.low, moment.factor.high))
    rows = [(_rank(moment, after.cure), _care(moment, pour, after, slow, quick)) for pour, after in found]
    return tuple(row for _, row in sorted(rows, key=lambda one: one[0]))


def _rank(moment: Moment, cure: WetCure | None) -> tuple[int, float, float]:
    if cure is None:
        return 2, 0.0, 0.0
    return int(cure.until <= moment.at), cure.next_at or math.inf, cure.until


def _at_rate(moment: Moment, rate: float) -> Moment:
    """The same moment were today's factor this from now on."""
    held = replace(moment.factor, value=rate)
    return Moment(replace(moment.day, freezes=(*moment.day.freezes, (moment.at, held))), moment.at)


def _care(moment: Moment, pour: Pour, after: Aftercare, slow: Moment, quick: Moment) -> CareRow:
    day, cure = moment.day, after.cure
    strokes = [stroke.at for batch in day.batches_of(pour.id) for stroke in batch.strokes]
    cover = next((step for step in reversed(day.covers) if step.pour == pour.id), None)
    opened = next((one for one in reversed(day.opened) if one.pour == pour.id), None)
    found = coating(moment, pour)
    return CareRow(
        id=pour.id,
        where=pour.where,
        state=pour_state(moment, pour),
        last_stroke=max(strokes, default=None) if cure else None,
        wet_at=cure.wet_at if cure else None,
        wet_next=cure.next_at if cure else None,
        wet_until=cure.until if cure else None,
        cover=(cover.cover or "bare") if cover else "",
        cover_since=cover.at if cover else None,
        lift=say(f"blanket.{after.blanket.replace(' ', '_')}") if after.blanket else None,
        strong_at=after.night.reached_at,
        opens=_opens(moment, pour, after, slow, quick) if cure else (),
        opened=opened.to if opened else "",
        opened_at=opened.at if opened else None,
        night=night_said(after.night),
        freeze_at=after.night.freeze_at,
        coat_from=old_enough_at(moment, pour),
        coat_day=found.day.at if found and found.day else None,
        coat=coating_said(found, moment) if found and not found.gate.clear else None,
    )


def _opens(
    moment: Moment, pour: Pour, after: Aftercare, slow: Moment, quick: Moment
) -> tuple[OpensView, OpensView]:
    tips = [batch.tipped_at for batch in moment.day.batches_of(pour.id) if batch.tipped_at is not None]
    late, early, label = openings(slow, pour), openings(quick, pour), moment.card(pour.id).opening

    def view(
        to: OpenTo, found: OpeningTime, first: float | None, last: float | None, label_s: float
    ) -> OpensView:
        return OpensView(to, found.at, first, last, label_s, max(tips) + label_s, opening_said(found))

    return (
        view("feet", after.feet, early.feet, late.feet, label.feet_s),
        view("wheels", after.wheels, early.wheels, late.wheels, label.wheels_s),
    )


# change orders


def _orders(moment: Moment) -> Iterator[ChangeRow]:
    """Each as it stands; one not agreed takes initials while its hole is open."""
    for body, at in standing_orders(moment):
        open_hole = not body.initials and _still_open(moment, body.pour)
        yield ChangeRow(
            pour=body.pour,
            at=at,
            depths_before_m=body.depths_before_m,
            depths_m=body.depths_m,
            reason=body.reason,
            bags=body.bags,
            price=body.price,
            initials=body.initials,
            entry=_again(moment, body) if open_hole else "",
            tail=f" because {body.reason}" if open_hole else "",
        )


def _again(moment: Moment, body: ChangeOrdered) -> str:
    """The order said again up to its initials, depths in the job's units."""
    unit_m = INCH_M if moment.job.units == "us" else MM_M
    depths = " ".join(f"{depth_m / unit_m:.6g}" for depth_m in body.depths_m)
    return f"change {body.pour} depths {depths} price {body.price:.10g} by "


def _holes(moment: Moment) -> Iterator[ChangeRow]:
    """Pours whose depth can still be read."""
    for pour in moment.day.pours:
        if _still_open(moment, pour.id):
            yield ChangeRow(pour.id, None, pour.depths_m, pour.depths_m, entry=f"change {pour.id} depths ")


def _still_open(moment: Moment, pour_id: str) -> bool:
    if not moment.day.has_pour(pour_id):
        return False
    pour = moment.day.pour(pour_id)
    return not moment.day.batches_of(pour_id) or bags_left(moment, pour) > 0


def _sums(moment: Moment, orders: tuple[ChangeRow, ...]) -> ChangeSums:
    mixes = dict.fromkeys(taken.mix for taken in moment.takeoffs.values())
    return ChangeSums(
        agreed=sum(one.price for one in orders if one.initials),
        open=sum(one.price for one in orders if not one.initials),
        bags=tuple((mix, extra) for mix in mixes if (extra := rescoped(moment, mix))),
        currency=moment.job.currency,
    )


# visits


def _visit(visit: Return, on: datetime.date) -> VisitRow:
    return VisitRow(
        kind=visit.kind,
        day=visit.day,
        pours=visit.pours,
        title=visit.title,
        tasks=visit.tasks,
        overdue=visit.overdue(on),
        entry=f"visit {visit.visit} on " if visit.kind == "later pours" else f"looked {visit.kind}",
    )
