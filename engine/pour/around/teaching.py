"""What the signs of the day taught the clock, in words: each sign with its number, what it moved, what to look at twice."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Any

from engine.pour.events import FactorFreed, FactorFrozen, SignForgotten, SignSeen
from engine.pour.posterior import Factor, shares, spreads_off
from engine.pour.posterior import Sign as Evidence
from engine.pour.reckoning import Moment
from engine.pour.state import Day, Sign
from engine.pour.times import iso
from engine.words import Say, Words, say

AS_THE_CARD = 0.005  # of the rate: nearer than half a per cent is as the card says
LOOK_FOR_S = 900.0  # so long a second look is asked for; common practice, no source


@dataclass(frozen=True)
class Lesson:
    """A sign of the day: its number, what it speaks of, the factor it alone would give, how far it was off.

    `factor` is the rate at which the limit would be reached just then (None: no age yet, nothing told); `reached` false
    says that today's rate is under it. `spreads` count from what the signs before it led to expect.
    """

    number: int
    sign: Sign
    factor: float | None
    reached: bool
    spreads: float
    second_look: bool
    forgotten: bool
    waits: bool  # seen while the factor is frozen: counts once it is freed


def numbered(day: Day) -> tuple[Sign, ...]:
    """All signs in the order in which they were pressed, forgotten ones too: the first has number 1, and keeps it."""
    return tuple(sorted((*day.signs, *day.forgotten), key=lambda sign: sign.seq))


def lessons(moment: Moment) -> tuple[Lesson, ...]:
    """Every sign of the day by its number; forgotten ones tell nothing."""
    told = {seen[2].seq: (n, seen[1]) for n, seen in enumerate(moment.evidences)}
    return tuple(
        _learned(moment, number, sign, *told[sign.seq])
        if sign.seq in told
        else Lesson(number, sign, None, True, 0.0, False, forgotten=True, waits=False)
        for number, sign in enumerate(numbered(moment.day), start=1)
    )


def _learned(moment: Moment, number: int, sign: Sign, place: int, evidence: Evidence) -> Lesson:
    """What the sign at a place in the order of the day told."""
    practice = moment.job.practice
    before = (one for _, one, _ in moment.evidences[:place])
    spreads = spreads_off(evidence, before, practice["learning.prior_sd"])
    return Lesson(
        number=number,
        sign=sign,
        factor=evidence.limit_s / evidence.age_s if evidence.age_s > 0.0 else None,
        reached=evidence.reached,
        spreads=spreads,
        second_look=spreads > practice["learning.second_look"],
        forgotten=False,
        waits=moment.frozen and sign.at > moment.day.freezes[-1][0],
    )


def spread(moment: Moment) -> tuple[float, ...]:
    """The picture of what the signs say: a share for each equal part of ln k between the limits of the factor."""
    prior, low, high = (
        moment.job.practice[f"learning.{key}"] for key in ("prior_sd", "factor_low", "factor_high")
    )
    return shares((evidence for _, evidence, _ in moment.evidences), prior, low, high)


def pace_said(value: float) -> Say:
    """`setting 11 % faster than the card`."""
    if abs(value - 1.0) < AS_THE_CARD:
        return say("teach.as_the_card")
    share = f"{abs(value - 1.0):.0%}".replace("%", " %")
    return say("teach.faster" if value > 1.0 else "teach.slower", share=share)


def factor_said(moment: Moment) -> Say:
    """Today's rate in words, the signs it rests on, and where it is frozen what they say since."""
    factor = moment.factor
    now, taught = _from(factor), _from(moment.taught)
    if not moment.frozen:
        return now
    return say("teach.frozen_so", now=now) if now == taught else say("teach.frozen", now=now, taught=taught)


def _from(factor: Factor) -> Say:
    key = "teach.from" if factor.observations else "teach.from_none"
    return say(key, pace=pace_said(factor.value), n=factor.observations)


def changed_said(moment: Moment, before: Factor) -> tuple[Say, ...]:
    """What a line just written changed of the rate."""
    now = factor_said(moment)
    if moment.frozen or f"{before.value:.2f}" == f"{moment.factor.value:.2f}":
        return (now,)
    return (say("teach.changed", now=now, was=pace_said(before.value)),)


def sign_answers(moment: Moment, _: SignSeen) -> tuple[Say, ...]:
    """What the sign just pressed changed, and whether to look twice. `moment` already holds it."""
    latest = max(moment.day.signs, key=lambda sign: sign.seq)
    without = Moment(replace(moment.day, signs=tuple(s for s in moment.day.signs if s != latest)), moment.at)
    lesson = next(one for one in lessons(moment) if one.sign == latest)
    look = (look_said(lesson),) if lesson.second_look else ()
    return (*look, *changed_said(moment, without.factor))


def forgotten_answers(moment: Moment, body: SignForgotten) -> tuple[Say, ...]:
    """What the rate is without the sign, and what it was with it."""
    sign = next(one for one in moment.day.forgotten if one.seq == body.seq)
    with_it = replace(moment.day, signs=(*moment.day.signs, sign))
    return changed_said(moment, Moment(with_it, moment.at).factor)


def frozen_answers(moment: Moment, _: FactorFrozen | FactorFreed) -> tuple[Say, ...]:
    return (factor_said(moment),)


def look_said(lesson: Lesson) -> Say:
    """The ask for a second look; it never blocks anything."""
    return say(
        "teach.second_look",
        number=lesson.number,
        subject=lesson.sign.subject,
        word=lesson.sign.word,
        spreads=f"{lesson.spreads:.1f}",
    )


def second_looks(moment: Moment) -> tuple[Say, ...]:
    """Asks still open: of signs seen not long ago, until something is read after them."""
    read_at = max((reading.at for reading in moment.day.readings), default=float("-inf"))
    return tuple(
        say("teach.look_again", subject=one.sign.subject, word=one.sign.word, spreads=f"{one.spreads:.1f}")
        for one in lessons(moment)
        if one.second_look and read_at <= one.sign.at and moment.at - one.sign.at < LOOK_FOR_S
    )


def signs_said(moment: Moment) -> tuple[Say, ...]:
    """The rate, then every sign with the number to forget it by."""
    told = (factor_said(moment), *(lesson_said(one) for one in lessons(moment)))
    return tuple(say("teach.sentence", what=one) for one in told)


def lesson_said(lesson: Lesson) -> Say:
    """`2: P2.1 ready, first trowel`, and whether it counts."""
    sign = lesson.sign
    key = "teach.sign_of" if sign.name else "teach.sign"
    stroke = (sign.name or "").replace("_", " ")
    told = say(key, number=lesson.number, subject=sign.subject, word=sign.word, stroke=stroke)
    if lesson.forgotten:
        return say("teach.sign_forgotten", sign=told)
    return say("teach.sign_waits", sign=told) if lesson.waits else told


def teaching_table(moment: Moment, words: Words) -> dict[str, Any]:
    """What stands beside the rate factor in the status, as plain JSON values."""
    return {
        "frozen": moment.frozen,
        "taught": moment.taught.value,
        "text": words(factor_said(moment)),
        "signs": [_lesson(one) for one in lessons(moment)],
    }


def _lesson(lesson: Lesson) -> dict[str, Any]:
    sign = lesson.sign
    return {
        "number": lesson.number,
        "at": iso(sign.at),
        "subject": sign.subject,
        "word": sign.word,
        "pass": sign.name,
        "factor": lesson.factor,
        "reached": lesson.reached,
        "spreads": lesson.spreads,
        "second_look": lesson.second_look,
        "forgotten": lesson.forgotten,
        "counts": not (lesson.forgotten or lesson.waits),
    }
