"""Two pours or two days side by side: conditions, packets, windows, stamps, openings, misses, and why they differ.

Everything is counted from a batch's own water contact, so that days of different hours can be laid beside each other.
Batches are paired in the order of their water, pours of two days by their ids.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

from engine.errors import BadInput, Problem
from engine.job.model import Job
from engine.pour.events import Event
from engine.pour.reckoning import Moment
from engine.pour.state import Batch
from engine.pour.times import iso
from engine.record.causes import causes_of, missed_table
from engine.record.causes.between import Limit, PartShare, between, from_water
from engine.record.folded import folded
from engine.site.trajectory import BatchClock, trajectory
from engine.site.windows import opening, pass_times, workable_until
from engine.units import show_duration
from engine.words import Say, Words, say

LEAST_TOLD_S, LEAST_TOLD = 0.5, 0.02  # as of a miss: in seconds and of the whole


@dataclass(frozen=True)
class Side:
    """A log at its end, all of it or (`pour` named) one pour of it."""

    log: str
    job: Job
    events: tuple[Event, ...]
    moment: Moment
    pour: str = ""

    @property
    def pours(self) -> tuple[str, ...]:
        day = self.moment.day
        return (self.pour,) if self.pour else tuple(pour.id for pour in day.pours if self.batches(pour.id))

    def batches(self, pour: str) -> tuple[Batch, ...]:
        """Batches that are in the pour, in the order of their water."""
        found = (batch for batch in self.moment.day.batches_of(pour) if batch.tipped_at is not None)
        return tuple(sorted(found, key=lambda batch: (batch.water_at, batch.seq)))


def side_of(log: str, job: Job, events: tuple[Event, ...], pour: str = "") -> Side:
    """One side. Raises `BadInput` for a pour that the log has nothing of."""
    at = max(event.at for event in events)
    side = Side(log, job, events, Moment(folded(job, events, log).day, at), pour)
    if pour and not (side.moment.day.has_pour(pour) and side.batches(pour)):
        poured = ", ".join(Side(log, job, events, side.moment).pours) or "none yet"
        raise BadInput([Problem(log, "pour", pour, f"a pour with a batch tipped into it: {poured}")])
    return side


def compared_table(first: Side, second: Side, said: Words) -> dict[str, Any]:
    """Both sides and what lies between them as plain JSON values: SI units, seconds from water contact, ISO times.

    Raises `BadInput` where a pour stands beside a whole day.
    """
    if bool(first.pour) != bool(second.pour):
        named = first if first.pour else second
        why = "a pour on both sides, or whole days on both"
        raise BadInput([Problem(named.log, "pour", named.pour, why)])
    return {
        "units": first.job.units,
        "sides": [_side(side, said) for side in (first, second)],
        "pairs": [_pair(first, second, a, b, last, said) for a, b, last in _pairs(first, second)],
        "notes": [said(note) for note in _notes(first, second)],
    }


def _notes(first: Side, second: Side) -> Iterator[Say]:
    if first.job.name != second.job.name and not first.pour:
        yield say("compared.two_jobs")
    for side, other in ((first, second), (second, first)):
        alone = [] if side.pour else [pour for pour in side.pours if pour not in other.pours]
        if alone:
            yield say("compared.alone", log=side.log, pours=", ".join(alone))


def _pairs(first: Side, second: Side) -> Iterator[tuple[Batch, Batch, bool]]:
    """Batches beside each other, and whether they are the last of their pours that are."""
    both = [(one, one) for one in first.pours if one in second.pours]
    for one, other in [(first.pour, second.pour)] if first.pour else both:
        found = list(zip(first.batches(one), second.batches(other), strict=False))
        yield from ((a, b, n == len(found)) for n, (a, b) in enumerate(found, 1))


# one side


def _side(side: Side, said: Words) -> dict[str, Any]:
    moment = side.moment
    batches = [batch for pour in side.pours for batch in side.batches(pour)]
    missed = causes_of(side.job, side.events, moment.at)
    bags = sum(batch.bags for batch in batches)
    strokes = [stroke.at for batch in batches for stroke in batch.strokes]
    first = min((batch.water_at for batch in batches), default=None)
    return {
        "log": side.log,
        "job": side.job.name,
        "date": side.job.date,
        "time_zone": side.job.zone,
        "pour": side.pour or None,
        "first_water": iso(first),
        "last_stroke": iso(max(strokes, default=None)),
        "length_s": max(strokes) - first if strokes and first is not None else None,
        "bags": bags,
        "bags_lost": sum(b.bags for b in moment.day.batches if not b.live and side.pour in ("", b.pour)),
        "packets_per_bag": sum(b.packets * b.bags for b in batches) / bags if bags else None,
        "rate_factor": moment.factor.value,
        "conditions": _conditions(moment, batches),
        "batches": [_batch(moment, batch) for batch in batches],
        "missed": missed_table((one for one in missed if side.pour in ("", one.pour)), said),
    }


def _conditions(moment: Moment, batches: list[Batch]) -> dict[str, float | None]:
    """Means over the batches: weather and slab at their tips, bags and water and the mix at their water."""
    site = moment.site
    asked = {
        "air_c": [site.air_c(b.pour, b.tipped_at or b.water_at) for b in batches],
        "slab_c": [site.slab_c(b.pour, b.tipped_at or b.water_at) for b in batches],
        "humidity": [site.weather(b.pour, b.tipped_at or b.water_at).humidity for b in batches],
        "wind_m_s": [site.weather(b.pour, b.tipped_at or b.water_at).wind_ms for b in batches],
        "sun_part": [float(site.weather(b.pour, b.tipped_at or b.water_at).sun) for b in batches],
        "bags_c": [site.bags_c(b.pour, b.water_at) for b in batches],
        "water_c": [site.water_c(b.pour, b.water_at) for b in batches],
        "mix_c": [moment.vessel_c(moment.card(b.pour), b.pour, b.water_at) for b in batches],
    }
    return {name: sum(values) / len(values) if values else None for name, values in asked.items()}


def _batch(moment: Moment, batch: Batch) -> dict[str, Any]:
    water, path, windows = batch.water_at, moment.trajectory(batch), moment.windows(batch)
    clock = from_water(moment.clock(batch))
    return {
        "id": batch.id,
        "pour": batch.pour,
        "mix": moment.card(batch.pour).key,
        "bags": batch.bags,
        "packets": batch.packets,
        "tipped_after_water_s": None if batch.tipped_at is None else batch.tipped_at - water,
        "working_time_s": _finite(moment.workable_until(batch) - water),
        "feet_after_water_s": _finite(_opens(clock, "feet")),
        "wheels_after_water_s": _finite(_opens(clock, "wheels")),
        "passes": [
            {
                "pass": name,
                "open_after_water_s": _finite(window.open - water),
                "due_after_water_s": _finite(window.due - water),
                "late_after_water_s": _finite(window.late - water),
                "done_after_water_s": stroke.at - water if stroke else None,
                "set_age_min": path.age_at(stroke.at) / 60.0 if stroke else None,
            }
            for name, window in windows.items()
            for stroke in [batch.stroke(name)]  # type: ignore[arg-type]
        ],
    }


def _finite(seconds: float) -> float | None:
    return seconds if abs(seconds) < float("inf") else None


def _opens(clock: BatchClock, to: str) -> float:
    label_s = clock.card.opening.feet_s if to == "feet" else clock.card.opening.wheels_s
    at = opening(trajectory(clock), clock.tip_at or 0.0, label_s)
    return float("inf") if at is None else at


# two batches


def _pair(first: Side, second: Side, a: Batch, b: Batch, last: bool, said: Words) -> dict[str, Any]:
    one, other = from_water(first.moment.clock(a)), from_water(second.moment.clock(b))
    limits = _limits(first, second, a, b, last)
    return {
        "first": a.id,
        "second": b.id,
        "differences": [
            *(_difference(what, one, other, limit, said) for what, limit in limits.items()),
            *(_stamps(a, b, said)),
        ],
    }


def _limits(first: Side, second: Side, a: Batch, b: Batch, last: bool) -> dict[str, Limit]:
    """What is laid side by side: working time, `due` of every pass that both get, on the last batch the openings."""

    def due(name: str, strike_off_s: float) -> Limit:
        return lambda clock: (
            pass_times(clock.card, (name,), trajectory(clock), clock.tip_at or 0.0, strike_off_s)[0][1].due
        )

    found: dict[str, Limit] = {"workable": lambda clock: workable_until(trajectory(clock), clock.card)}
    passes = second.moment.passes(b)
    strike_off_s = first.job.times.strike_off_s
    found |= {name: due(name, strike_off_s) for name in first.moment.passes(a) if name in passes}
    if last:
        found |= {
            "feet": lambda clock: _opens(clock, "feet"),
            "wheels": lambda clock: _opens(clock, "wheels"),
        }
    return found


def _difference(what: str, one: BatchClock, other: BatchClock, limit: Limit, said: Words) -> dict[str, Any]:
    apart_s, shares = between(one, other, limit)
    return {
        "what": what,
        "kind": "limit",
        "difference_s": _finite(round(apart_s, 3)),
        "shares": [{"cause": share.part, "share_s": round(share.seconds, 3)} for share in shares],
        "text": said(difference_said(what, apart_s, shares)),
    }


def _stamps(a: Batch, b: Batch, said: Words) -> Iterator[dict[str, Any]]:
    """The tip and every pass that both have stamped, from the water of each."""
    pairs = [("tip", a.tipped_at, b.tipped_at)]
    for stroke in a.strokes:
        other = b.stroke(stroke.name)
        pairs.append((stroke.name, stroke.at, other.at if other else None))
    for name, at, beside in pairs:
        if at is not None and beside is not None:
            apart_s = (beside - b.water_at) - (at - a.water_at)
            text = said(_apart("stamped", f"compared.stamp.{name}", apart_s))
            yield {
                "what": name,
                "kind": "stamp",
                "difference_s": round(apart_s, 3),
                "shares": [],
                "text": text,
            }


def _apart(key: str, what: str, apart_s: float, **more: object) -> Say:
    way = "same" if abs(apart_s) < LEAST_TOLD_S else "later" if apart_s > 0.0 else "earlier"
    return say(f"compared.{key}_{way}", what=say(what), time=show_duration(abs(apart_s)), **more)


def difference_said(what: str, apart_s: float, shares: tuple[PartShare, ...]) -> Say:
    """Such as: second trowel due 6:10 later, 5:20 of it from slab and air temperature, 0:50 from packets."""
    if not shares:
        return say("compared.never", what=say(f"compared.what.{what}"))
    least_s = max(LEAST_TOLD_S, LEAST_TOLD * abs(apart_s))
    told = [share for share in shares if abs(share.seconds) >= least_s]
    sign = -1.0 if apart_s < 0.0 else 1.0
    told.sort(key=lambda share: (share.part == "rest", -sign * share.seconds))
    parts = [_part(share, sign) for share in told]
    if not parts:
        return _apart("limit", f"compared.what.{what}", apart_s, parts=say("compared.nothing"))
    whole = parts[-1]
    for part in reversed(parts[:-1]):
        whole = say("why.and", first=part, rest=whole)
    return _apart("limit", f"compared.what.{what}", apart_s, parts=whole)


def _part(share: PartShare, sign: float) -> Say:
    time, cause = show_duration(abs(share.seconds)), say(f"compared.cause.{share.part}")
    key = "compared.from" if share.seconds * sign > 0.0 else "compared.against"
    return say(key, time=time, cause=cause)
