"""The checks of a pour as a screen lists them: what is read with its limit, what nobody has read, and how it is typed."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from engine.job.handover import SLOPE_KEYS, checks_for
from engine.job.limits import LIMITS
from engine.job.model import Pour
from engine.job.practice import Value, source_of
from engine.pour.after_view import CheckRow
from engine.pour.around.answers import verdict_said
from engine.pour.around.handing_over import HandOver, hand_over
from engine.pour.around.readiness import readiness
from engine.pour.reckoning import Moment
from engine.sources import Source

KEYS: dict[str, str] = {  # the limit named first where nothing is read yet
    "lip": "surface.upright_change",
    "straightedge": "surface.straightedge_gap",
    "risers": "surface.greatest_riser",
    "treads": "surface.least_tread",
    "nosing": "surface.nosing_radius",
    "size of the run": "surface.run_rise",
}
WANTED = {"sounding": "clear", "wet feel": "grips"}
MORE: dict[str, tuple[str, ...]] = {
    "ramp": ("size of the run",),
    "step": ("nosing",),
}  # by use, if it applies
SPOTTED = ("running slope", "cross slope", "lip", "straightedge")  # read again at the spot they name
ENTRIES = {
    "running slope": "slope {pour} run ",
    "cross slope": "slope {pour} cross ",
    "lip": "lip {pour} ",
    "straightedge": "gap {pour} ",
    "sounding": "sound {pour} ",
    "wet feel": "feel {pour} ",
    "risers": "risers {pour} ",
    "treads": "treads {pour} ",
    "nosing": "nosing {pour} radius ",
    "size of the run": "ramp {pour} rise ",
}


def check_rows(moment: Moment, pour: Pour, shipped: Mapping[str, Value]) -> Iterator[CheckRow]:
    """Of a hole its points of readiness; of a pour with something in it its checks, those not made in their places."""
    batches = moment.day.batches_of(pour.id)
    if any(batch.tipped_at is not None for batch in batches):
        checks = hand_over(moment, pour)
        names = (*checks_for(pour), *MORE.get(pour.use, ()))
        others = tuple(dict.fromkeys(line.name for line in checks.lines if line.name not in names))
        for name in (*names, *others):
            yield from _of_name(moment, pour, name, checks, shipped)
    yield _ready(moment, pour, bool(batches))


def _ready(moment: Moment, pour: Pour, begun: bool) -> CheckRow:
    """What was ticked up to the first bag, after which nothing can be ticked any more."""
    ready = readiness(moment, pour)
    return CheckRow(
        pour=pour.id,
        name="readiness",
        spot="",
        word="not ticked" if ready.missing else "ticked",
        done=tuple(tick for tick, _ in ready.ticked),
        missing=ready.missing,
        entry="" if begun or not ready.missing else f"tick {pour.id} ",
    )


def _of_name(
    moment: Moment, pour: Pour, name: str, checks: HandOver, shipped: Mapping[str, Value]
) -> Iterator[CheckRow]:
    lines = [line for line in checks.lines if line.name == name]
    asked = name in checks_for(pour)
    if not lines:
        yield _unread(moment, pour, name, asked, shipped)
    for line in lines:
        notes = checks.notes if name == "running slope" and line.word == "over" else ()
        verdict = line.verdict
        yield CheckRow(
            pour=pour.id,
            name=name,
            spot=line.spot,
            word=line.word,
            value=verdict.value if verdict else None,
            limit=verdict.limit if verdict else None,
            sense=LIMITS[verdict.key] if verdict else None,
            wanted=WANTED.get(name, ""),
            before=line.before,
            said=verdict_said(line, moment) if verdict else None,
            source=_source(moment, verdict.key, shipped) if verdict else None,
            notes=notes,
            asked=asked,
            entry=ENTRIES[name].format(pour=pour.id),
            tail=f" at {line.spot}" if line.spot and name in SPOTTED else "",
        )


def _unread(moment: Moment, pour: Pour, name: str, asked: bool, shipped: Mapping[str, Value]) -> CheckRow:
    key = _key(name, pour)
    limit = None
    if key:
        limit = 1.0 / moment.job.practice[key] if LIMITS[key] == "one in" else moment.job.practice[key]
    return CheckRow(
        pour=pour.id,
        name=name,
        spot="",
        word="not read",
        limit=limit,
        sense=LIMITS[key] if key else None,
        wanted=WANTED.get(name, ""),
        source=_source(moment, key, shipped) if key else None,
        asked=asked,
        entry=ENTRIES[name].format(pour=pour.id),
    )


def _key(name: str, pour: Pour) -> str:
    """The practice value a check is first held against; empty for what is heard or felt."""
    slopes: dict[str, str] = {
        "running slope": SLOPE_KEYS[pour.use, "running"],
        "cross slope": SLOPE_KEYS[pour.use, "cross"],
    }
    return slopes.get(name) or KEYS.get(name, "")


def _source(moment: Moment, key: str, shipped: Mapping[str, Value]) -> Source | None:
    return source_of(key, moment.job.practice, shipped)
