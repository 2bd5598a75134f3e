"""A card beside what its signs tell: each value claimed with its 10 and 90 per cent, or refused with the reason."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

from engine.mix.card import MixCard
from engine.mix.learned import Learned, card_value, learned_faults
from engine.record.learning.findings import TENTH, Finding
from engine.record.learning.fit import Estimate, Fit, doses_near, fit
from engine.record.learning.seen import Seen
from engine.record.learning.tangent import ENERGY, ENERGY_UNIT
from engine.units import System, show_difference, show_temperature
from engine.words import Say, say

LEAST_DAYS = 3
APART_K = 10.0  # two days so much colder than two others, or the energy is not told
WIDEST = 0.25  # of the value, between it and its 10 or 90 per cent


@dataclass(frozen=True)
class MixFindings:
    """One card's findings; `days` and `signs` speak of it, `day_sd` is the spread of its days in ln rate, where they tell it."""

    card: MixCard
    signs: int
    days: int
    findings: tuple[Finding, ...]
    day_sd: float | None = None
    apart: tuple[Seen, ...] = ()


def mix_findings(
    card: MixCard,
    signs: Sequence[Seen],
    days: int,
    day_sd: float,
    units: System,
    mixing: Finding | None = None,
) -> MixFindings:
    """What the signs of a card and its stamped mixing tell.

    `days` is the number of logs, `day_sd` the practice's spread of ln rate.
    """
    stamped = () if mixing is None else (mixing,)
    if not signs:
        return MixFindings(card, 0, 0, tuple(_fitting(card, stamped)))
    free = fit(signs, days, day_sd)
    kept = [seen for seen in signs if seen not in free.apart]
    energy = _energy(card, kept, free, units)
    used = free if energy.why is None else fit(kept, days, day_sd, held=True)
    others = [_other(card, name, kept, used, free) for name in free.estimates if name != ENERGY]
    findings = tuple(_fitting(card, [energy, *others, *stamped]))
    seen_on = len({seen.day for seen in signs})
    told_sd = used.day_sd if seen_on >= LEAST_DAYS else None
    return MixFindings(card, len(signs), seen_on, findings, told_sd, free.apart)


def _energy(card: MixCard, signs: Sequence[Seen], found: Fit, units: System) -> Finding:
    exact = [seen for seen in signs if seen.exact]
    days = _days(exact)
    bare = Finding(card.key, ENERGY, card.setting.activation_j_mol, len(exact), days)
    estimate = found.estimates[ENERGY]
    value, off = estimate.mean * ENERGY_UNIT, TENTH * estimate.sd * ENERGY_UNIT
    whole = replace(bare, value=value, low=value - off, high=value + off)
    warmths = sorted(_mean([seen.mean_c for seen in exact if seen.day == day]) for day in _day_set(exact))
    if len(warmths) < 4 or warmths[-2] - warmths[1] < APART_K:
        return replace(bare, why=_too_alike(warmths, units))
    if value <= 0.0 or off > WIDEST * value:
        return replace(whole, why=say("learned.too_wide"))
    return whole


def _too_alike(warmths: Sequence[float], units: System) -> Say:
    if not warmths:
        return say("learned.no_signs")
    coldest, warmest = (show_temperature(warmths[n], units) for n in (0, -1))
    return say("learned.alike", cold=coldest, warm=warmest, apart=show_difference(APART_K, units))


def _other(card: MixCard, name: str, signs: Sequence[Seen], used: Fit, free: Fit) -> Finding:
    """A limit or a stretch; where the energy is the card's own, the spread still knows that it is not sure."""
    about = [seen for seen in signs if _speaks(seen, name)]
    exact = [seen for seen in about if seen.exact]
    was = card_value(card, name)
    assert was is not None
    estimate = Estimate(used.estimates[name].mean, max(used.estimates[name].sd, free.estimates[name].sd))
    ends = (estimate.mean + turn * TENTH * estimate.sd for turn in (0.0, -1.0, 1.0))
    value, low, high = (_in_units(card, name, was, end) for end in ends)
    found = Finding(card.key, name, was, len(about), _days(exact), value, low, high)
    if found.days < LEAST_DAYS:
        why = say("learned.few_days", days=found.days, least=LEAST_DAYS)
        return replace(found, value=None, low=None, high=None, why=why)
    if TENTH * estimate.sd > WIDEST:
        return replace(found, why=say("learned.too_wide"))
    return found


def _in_units(card: MixCard, name: str, was: float, ln: float) -> float:
    """What the card would say: the working time as its label counts it."""
    if name.startswith("stretch_"):
        return math.exp(ln)
    if name == "working_time":
        return max(0.0, card.workable_s * math.exp(ln) - (card.workable_s - card.setting.working_s))
    return was * math.exp(ln)


def _speaks(seen: Seen, name: str) -> bool:
    if name.startswith("stretch_"):
        return name in doses_near(seen.clock.card, {seen.clock.packets})
    return seen.limit == name


def _fitting(card: MixCard, findings: Sequence[Finding]) -> Iterator[Finding]:
    """Findings one after the other; one that no card could hold beside those before it is not told."""
    taken: list[Learned] = []
    for found in findings:
        learned = found.learned
        fault = next(learned_faults(card, [*taken, learned]), None) if learned else None
        if fault is not None:
            yield replace(found, why=say("learned.misfit"))
            continue
        taken += [learned] if learned else []
        yield found


def _day_set(signs: Sequence[Seen]) -> set[int]:
    return {seen.day for seen in signs}


def _days(signs: Sequence[Seen]) -> int:
    return len(_day_set(signs))


def _mean(values: Sequence[float]) -> float:
    return sum(values) / len(values)
