"""What is said at once to a reading: whether it is within its limit, the bags it asks for, what is still missing."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from engine.job.limits import LIMITS, Verdict
from engine.job.weighing import bag_verdict
from engine.pour import measured as m
from engine.pour.around.coming_back import coating, coating_said
from engine.pour.around.handing_over import CheckLine, hand_over
from engine.pour.around.readiness import readiness
from engine.pour.around.surface_reads import surface_answers
from engine.pour.around.surroundings import surroundings
from engine.pour.around.teaching import forgotten_answers, frozen_answers, sign_answers
from engine.pour.around.used import water_use
from engine.pour.body import Body
from engine.pour.events import (
    FactorFreed,
    FactorFrozen,
    Opened,
    PourSplit,
    ReadingTaken,
    SignForgotten,
    SignSeen,
)
from engine.pour.needs import bags_left, stock
from engine.pour.openings import openings
from engine.pour.reckoning import Moment
from engine.pour.replanned import PourAdded, PourDivided, PourTakenUp
from engine.pour.told_measured import slope_text
from engine.site.bands import said as band_said
from engine.site.drying import advice
from engine.units import show_clock, show_length, show_water
from engine.words import Say, say


def answers(moment: Moment, body: Body) -> tuple[Say, ...]:
    """Sentences for a day that already holds what was read; none where there is nothing to say."""
    found = _ANSWERS.get(type(body))
    return found(moment, body) if found else ()


def _reading(moment: Moment, body: ReadingTaken) -> tuple[Say, ...]:
    """What a surface reading moved, what is now out of its band, and drying that asks for something."""
    here = surroundings(moment, moment.day.pour(body.pour) if body.pour else None)
    bands = tuple(band_said(finding, moment.job.units) for finding in here.findings)
    dries = () if here.drying.band == "slow" else (advice(here.drying, moment.job.units),)
    return surface_answers(moment, body) + here.water + bands + dries


def _checked(moment: Moment, body: Any) -> tuple[Say, ...]:
    """The verdicts on the spot just read; nothing on readings before the work."""
    if getattr(body, "when", "after") == "before":
        return ()
    names = (body.of,) if isinstance(body, m.StepsRead) else _NAMES[type(body)]
    lines = hand_over(moment, moment.day.pour(body.pour)).lines
    spot = getattr(body, "spot", None)
    mine = [line for line in lines if line.name in names and (spot is None or line.spot == spot)]
    worst = [line for line in mine if line.word != "within"] or mine[:2]
    told = tuple(verdict_said(line, moment) for line in worst if line.verdict)
    outside = any(line.word in ("over", "under") for line in worst)
    return (*told, say("answer.decides")) if outside else told


_NAMES: dict[type[Body], tuple[str, ...]] = {
    m.SlopeRead: ("running slope", "cross slope"),
    m.LipRead: ("lip",),
    m.GapRead: ("straightedge",),
    m.StepsRead: ("risers", "treads"),
    m.NosingRead: ("nosing",),
    m.RampMeasured: ("size of the run",),
}


def verdict_said(line: CheckLine, moment: Moment) -> Say:
    """A measured line in words: value, how it stands to the limit, and the aim that was passed."""
    verdict = line.verdict
    assert verdict is not None
    value, limit = (_amount(number, verdict, moment) for number in (verdict.value, verdict.limit))
    if verdict.word == "over" and verdict.key in _OTHERWISE:
        return say(_OTHERWISE[verdict.key], value=value, limit=limit)
    word = "past aim" if line.past_aim and verdict.word == "within" else verdict.word
    return say(
        f"verdict.{word.replace(' ', '_')}",
        check=line.name,
        spot=f" {line.spot}" if line.spot else "",
        value=value,
        limit=limit,
    )


_OTHERWISE = {  # limits that ask for something else instead of forbidding
    "surface.handrail_rise": "answer.handrails",
    "surface.bevelled_change": "answer.must_ramp",
}


def _amount(number: float, verdict: Verdict, moment: Moment) -> str:
    slope = LIMITS[verdict.key] == "one in"
    return slope_text(number) if slope else show_length(number, moment.job.units)


def _judged(_: Moment, body: m.Sounded | m.WetFelt) -> tuple[Say, ...]:
    """Only what is wrong is answered."""
    word = body.heard if isinstance(body, m.Sounded) else body.felt
    return (say(f"answer.{word}", pour=body.pour),) if word in ("hollow", "slick") else ()


def _opened(moment: Moment, body: Opened) -> tuple[Say, ...]:
    """Opened before its time, or with checks outstanding: recorded, and said."""
    pour = moment.day.pour(body.pour)
    checks, found = hand_over(moment, pour), list[Say]()
    opens = openings(moment, pour)
    at = opens.feet if body.to == "feet" else opens.wheels
    if at is not None and at > moment.at:
        when = show_clock(at, moment.job.zone)
        found.append(say("answer.opened_early", pour=pour.id, to=body.to, at=when))
    if checks.missing:
        found.append(say("answer.not_checked", pour=pour.id, missing=", ".join(checks.missing)))
    if outside := dict.fromkeys(line.name for line in checks.outside):
        found.append(say("answer.outside", pour=pour.id, checks=", ".join(outside)))
    return tuple(found)


def _bags(moment: Moment, body: m.DepthsRead | m.ChangeOrdered) -> tuple[Say, ...]:
    taken = moment.takeoffs[body.pour]
    count = say(
        "answer.bags", pour=body.pour, bags=taken.bags, mix=taken.mix, spare=f"{taken.spare_fraction:.0%}"
    )
    return (count, *taken.cautions)


def _added(moment: Moment, body: PourAdded) -> tuple[Say, ...]:
    """Its bags, what its shape calls for, and how the trailer stands with it."""
    taken = moment.takeoffs[body.pour]
    count = say(
        "answer.bags", pour=body.pour, bags=taken.bags, mix=taken.mix, spare=f"{taken.spare_fraction:.0%}"
    )
    return (count, stock_said(moment, taken.mix), *taken.cautions)


def stock_said(moment: Moment, mix: str) -> Say:
    """Bags of a mix on the trailer against those that the pours of this visit still take."""
    have = dict(stock(moment).by_mix).get(mix, 0.0)
    pours = (pour for pour in moment.day.pours if moment.takeoffs[pour.id].mix == mix)
    need = sum(bags_left(moment, pour) for pour in pours)
    key = "answer.stock" if have >= need else "answer.stock_short"
    return say(key, mix=mix, have=f"{have:g}", need=f"{need:g}", short=f"{max(0.0, need - have):g}")


def _parted(moment: Moment, body: PourSplit | PourDivided) -> tuple[Say, ...]:
    """A promise names pours by id, and the rest has a new one."""
    promised = any(body.pour in target.pours for target in moment.job.targets)
    parts = say("answer.parted", pour=body.pour, rest=body.rest)
    return (parts, say("answer.rest_unpromised", pour=body.pour, rest=body.rest)) if promised else ()


def _taken_up(moment: Moment, body: PourTakenUp) -> tuple[Say, ...]:
    return (say("answer.taken_up", pour=body.pour), stock_said(moment, moment.takeoffs[body.pour].mix))


def _ticked(moment: Moment, body: m.Ticked) -> tuple[Say, ...]:
    ready = readiness(moment, moment.day.pour(body.pour))
    if ready.clean_again:
        return (say("answer.clean_again", pour=body.pour),)
    if ready.missing:
        return (say("answer.not_ticked", pour=body.pour, missing=", ".join(ready.missing)),)
    return (say("answer.ticked", pour=body.pour),)


def _water(moment: Moment, body: m.WaterMeasured) -> tuple[Say, ...]:
    use = water_use(moment, moment.day.batch(body.batch))
    if use is None or use.word == "within the label":
        return ()
    low, high = (show_water(litres, moment.job.units) for litres in (use.low_l, use.high_l))
    return (say("answer.water", batch=body.batch, low=low, high=high),)


def _weighed(moment: Moment, body: m.BagWeighed) -> tuple[Say, ...]:
    """Only what is off is said."""
    verdict = bag_verdict(body.mass_kg, moment.job.mix(body.mix), moment.job.practice)
    if verdict.word == "within":
        return ()
    return (say("answer.weight", mix=body.mix, off=f"{verdict.value:+.1%}", limit=f"{verdict.limit:.0%}"),)


def _coat(moment: Moment, body: m.CoatingRead) -> tuple[Say, ...]:
    found = coating(moment, moment.day.pour(body.pour))
    assert found is not None
    if found.gate.clear:
        return (say("answer.nothing_against"),)
    return (coating_said(found, moment),)


_ANSWERS: dict[type[Body], Callable[[Moment, Any], tuple[Say, ...]]] = {
    ReadingTaken: _reading,
    SignSeen: sign_answers,
    SignForgotten: forgotten_answers,
    FactorFrozen: frozen_answers,
    FactorFreed: frozen_answers,
    **dict.fromkeys(_NAMES, _checked),
    m.Sounded: _judged,
    m.WetFelt: _judged,
    Opened: _opened,
    PourAdded: _added,
    PourSplit: _parted,
    PourDivided: _parted,
    PourTakenUp: _taken_up,
    m.DepthsRead: _bags,
    m.ChangeOrdered: _bags,
    m.Ticked: _ticked,
    m.WaterMeasured: _water,
    m.BagWeighed: _weighed,
    m.CoatingRead: _coat,
}
