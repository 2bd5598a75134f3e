"""Rules for what is measured, ticked and agreed: it must speak of something the day has, and what the day knows is filled in."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from typing import Any

from engine.job.changes import change_order
from engine.pour import intents as i
from engine.pour import measured as m
from engine.pour.body import Body
from engine.pour.needs import bags_left
from engine.pour.reckoning import Moment
from engine.pour.rules import Crew, Deed, Deeds, rule
from engine.pour.targets import Refusal, batch_named, placed_pour, pour_named
from engine.words import say


@rule(i.WriteDown)
def _write_down(moment: Moment, intent: i.WriteDown, _: Crew) -> Deeds:
    body = intent.body
    if getattr(body, "pour", ""):
        pour_named(moment, body.pour)  # type: ignore[attr-defined]
    checked = _CHECKS.get(type(body), _as_it_is)(moment, body)
    return (Deed(checked),)


def _as_it_is(_: Moment, body: Any) -> Body:
    return body  # type: ignore[no-any-return]


def _lot(moment: Moment, body: m.LotNoted) -> Body:
    if body.batch:
        batch_named(moment, body.batch)
    if body.mix:
        _mix(moment, body.mix)
    return body


def _mix(moment: Moment, mix: str) -> str:
    known = [card.key for card in moment.job.mixes]
    if mix not in known:
        raise Refusal(say("refusal.no_mix", mix=mix, known=", ".join(known)))
    return mix


def _weighed(moment: Moment, body: m.BagWeighed) -> Body:
    mix = body.mix or moment.takeoffs[moment.day.pours[0].id].mix
    return replace(body, mix=_mix(moment, mix))


def _water(moment: Moment, body: m.WaterMeasured) -> Body:
    batch_named(moment, body.batch)
    return body


def _depths(moment: Moment, body: m.DepthsRead) -> Body:
    _still_open(moment, body.pour)
    return body


def _still_open(moment: Moment, pour_id: str) -> None:
    """A filled hole has no depth to read, and its evidence is gone."""
    pour = moment.day.pour(pour_id)
    if moment.day.batches_of(pour_id) and bags_left(moment, pour) <= 0:
        raise Refusal(say("refusal.filled", pour=pour_id))


def _change(moment: Moment, body: m.ChangeOrdered) -> Body:
    """Bags before and after by take-off; the price where none is named is left at nothing."""
    _still_open(moment, body.pour)
    job = replace(moment.job, pours=moment.day.pours)
    try:
        order = change_order(job, body.pour, body.depths_m, body.reason, body.price, moment.at, body.initials)
    except ValueError as error:
        raise Refusal(say("refusal.change", why=str(error))) from None
    return replace(body, depths_before_m=order.depths_before_m, bags=order.bags)


def _coating(moment: Moment, body: m.CoatingRead) -> Body:
    placed_pour(moment, body.pour)
    return body


def _visit(moment: Moment, body: m.VisitAgreed) -> Body:
    if body.day < moment.job.date:
        raise Refusal(say("refusal.past_day", day=body.day))
    known = sorted({pour.visit for pour in moment.day.pours if pour.visit > 1})
    if body.visit not in known and not (body.visit == 2 and moment.day.left):
        raise Refusal(say("refusal.no_visit", visit=body.visit, known=", ".join(map(str, known)) or "-"))
    return body


_CHECKS: dict[type[Body], Callable[[Moment, Any], Body]] = {
    m.LotNoted: _lot,
    m.WaterMeasured: _water,
    m.BagWeighed: _weighed,
    m.DepthsRead: _depths,
    m.ChangeOrdered: _change,
    m.CoatingRead: _coating,
    m.VisitAgreed: _visit,
}
