"""Questions typed into the live screen: they write nothing and are answered in a sentence or two."""

from __future__ import annotations

from collections.abc import Callable

from engine.pour.around.aftercare import aftercare, cure_of
from engine.pour.around.handing_over import hand_over
from engine.pour.around.mixing_water import water_plan
from engine.pour.around.readiness import readiness
from engine.pour.around.teaching import signs_said
from engine.pour.reckoning import Moment
from engine.pour.targets import Refusal, pour_named
from engine.site.curing import cure_list
from engine.site.firstnight import said as night_said
from engine.site.opening import said as opening_said
from engine.site.water import said as water_said
from engine.units import parse, show_clock
from engine.words import Say, say


def answer(moment: Moment, line: str) -> tuple[Say, ...] | None:
    """The sentences of an answer; None where the line is no question. Raises `Refusal` where it lacks something."""
    word, _, rest = line.strip().partition(" ")
    asked = QUESTIONS.get(word.casefold())
    return asked(moment, rest.strip()) if asked else None


def _want(moment: Moment, text: str) -> tuple[Say, ...]:
    """The water for a wanted mix temperature, of the mix that is mixed next."""
    unit = "degC" if moment.job.units == "metric" else "degF"
    try:
        wanted_c = parse(f"{text} {unit}" if text.replace(".", "").isdigit() else text, "temperature")
    except ValueError as refused:
        raise Refusal(say("refusal.entry", why=str(refused))) from None
    card = moment.card(moment.day.pours[0].id)
    return (water_said(water_plan(moment, card, wanted_c), moment.job.units),)


def _night(moment: Moment, text: str) -> tuple[Say, ...]:
    after = aftercare(moment, pour_named(moment, text))
    if after is None:
        raise Refusal(say("refusal.not_tipped", which=text))
    return night_said(after.night), say("answer.wheels_rest_on"), opening_said(after.wheels)


def _wet(moment: Moment, _: str) -> tuple[Say, ...]:
    """Pours kept wet, and when each is wetted next, the first of them first."""
    zone = moment.job.zone
    kept = (cure for pour in moment.day.pours if (cure := cure_of(moment, pour)))
    cures = cure_list(kept, moment.at)
    if not cures:
        return (say("answer.no_cure"),)
    return tuple(
        say(
            "answer.wet",
            pour=one.pour,
            next=show_clock(one.next_at or one.until, zone),
            until=_until(one.until, zone),
        )
        for one in cures
    )


def _until(at: float, zone: str) -> str:
    return "-" if at == float("inf") else show_clock(at, zone)


def _left(moment: Moment, text: str) -> tuple[Say, ...]:
    """What is not ticked before a pour, or not checked after it."""
    pour = pour_named(moment, text)
    begun = bool(moment.day.batches_of(pour.id))
    missing = hand_over(moment, pour).missing if begun else readiness(moment, pour).missing
    if not missing:
        return (say("answer.nothing_left", pour=pour.id),)
    key = "answer.not_checked" if begun else "answer.not_ticked"
    return (say(key, pour=pour.id, missing=", ".join(missing)),)


def _signs(moment: Moment, _: str) -> tuple[Say, ...]:
    """How fast the mix sets today, and the signs of the day by their numbers."""
    return signs_said(moment)


QUESTIONS: dict[str, Callable[[Moment, str], tuple[Say, ...]]] = {
    "want": _want,
    "night": _night,
    "wet": _wet,
    "left": _left,
    "signs": _signs,
}
