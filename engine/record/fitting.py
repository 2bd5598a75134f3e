"""Whether a line of a log can be of its day: what it names is there, and its figures are of this world.

The chain of a log proves nothing against somebody who writes it anew, and figures from nowhere would be reckoned with.
"""

from __future__ import annotations

import dataclasses
import datetime
import math
from collections.abc import Callable, Iterator
from typing import Any
from zoneinfo import ZoneInfo

from engine.job.agreement import whole
from engine.job.model import Job
from engine.mix.reader import card_faults
from engine.pour.body import Body
from engine.pour.events import (
    DayOpened,
    Event,
    FactorFrozen,
    PacketsCorrected,
    PartTipped,
    PourSplit,
    SignSeen,
    StampShifted,
    TrialStarted,
    Undone,
    WaterAdded,
)
from engine.pour.measured import ChangeOrdered, DepthsRead
from engine.pour.reckoning import limit_of
from engine.pour.replanned import DoseSet, FinishSet, PourAdded, PourDivided
from engine.pour.state import Day, Sign
from engine.tables import Page, shown

FIRST_AT, LAST_AT = 0.0, 2.0**33  # 1970 to 2242, UTC: clocks of a dead battery begin in 1970
LONGEST_TEXT = 1000
LARGEST = LAST_AT  # of any figure, in SI units: moments are the largest there are
MOST_PACKETS, MOST_BAGS = 20.0, 100.0  # of a batch
DEEPEST_M, LARGEST_M2 = 1.0, 500.0  # as a job file may say
LONGEST_SHIFT_S = 400 * 86400.0
MOST_LINES, MOST_OF_A_KIND, MOST_SIGNS = 10_000, 1500, 300  # of a day: each is kept with every line after it


def check_event(event: Event, day: Day) -> None:
    """Raises `ValueError` for a line that does not fit the day before it."""
    if not FIRST_AT <= event.at <= LAST_AT:
        raise ValueError("its time is none of a working day")
    _check_figures(event.body)
    _check_room(event, day)
    check = _CHECKS.get(type(event.body))
    if check is not None:
        check(event.body, event, day)


def _check_room(event: Event, day: Day) -> None:
    """No day of a crew comes near these numbers; one that does could not be looked at while somebody waits."""
    if isinstance(event.body, Undone):
        return
    kept = max(len(rows) for rows in vars(day).values() if isinstance(rows, tuple))
    if event.seq > MOST_LINES or kept > MOST_OF_A_KIND or len(day.signs) > MOST_SIGNS:
        most = f"{MOST_LINES} lines, {MOST_OF_A_KIND} of a kind, {MOST_SIGNS} signs"
        raise ValueError(f"more than a day holds ({most}): begin a new log")


def check_job(job: Job) -> None:
    """Raises `ValueError` for a job that no job file could have been."""
    ZoneInfo(job.zone)
    datetime.date.fromisoformat(job.date)
    if not (job.pours and job.mixes and job.people and job.stations and job.conditions):
        raise ValueError("a job has pours, mixes, people, stations and weather")
    page = Page("its job")
    whole(job, page)
    if page.problems:
        raise ValueError(page.problems[0].sentence())
    for pour in job.pours:
        _check_pour(pour.id, pour.area_m2, pour.depths_m)
    if wrong := [f"{card.key}: {key}: {says}" for card in job.mixes for key, says in card_faults(card)]:
        raise ValueError(wrong[0])


def check_texts(*texts: Any) -> None:
    """Raises `ValueError` for a text, in a tree of frozen values, that a terminal would obey rather than show."""
    for leaf in _leaves(texts):
        if isinstance(leaf, str) and not (leaf.isprintable() and len(leaf) <= LONGEST_TEXT):
            raise ValueError(f"its text {shown(leaf)} is not one line of at most {LONGEST_TEXT} characters")


def _check_figures(tree: Any) -> None:
    if not all(isinstance(leaf, str) or abs(leaf) <= LARGEST for leaf in _leaves(tree)):
        raise ValueError("one of its figures is none of this world")


def _leaves(tree: Any) -> Iterator[float | str]:
    """Every number and text of a tree of frozen values."""
    if isinstance(tree, int | float | str):
        yield tree
    elif isinstance(tree, tuple):
        for item in tree:
            yield from _leaves(item)
    elif dataclasses.is_dataclass(tree):
        for field in dataclasses.fields(tree):
            yield from _leaves(getattr(tree, field.name))


def _check_pour(name: str, area_m2: float, depths_m: tuple[float, ...]) -> None:
    if not 0.0 < area_m2 <= LARGEST_M2:
        raise ValueError(f"{name!r:.40} has an area of {area_m2:g} m²")
    if not depths_m or not all(0.0 < depth_m <= DEEPEST_M for depth_m in depths_m):
        raise ValueError(f"{name!r:.40} has no depths that a pour can have")


def _within(what: str, number: float, low: float, high: float) -> None:
    if not low <= number <= high or math.isnan(number):
        raise ValueError(f"{number:g} {what}, where {low:g} to {high:g} can be")


def _opened(body: DayOpened, _: Event, __: Day) -> None:
    check_job(body.job)


def _water(body: WaterAdded, _: Event, day: Day) -> None:
    _within("packets a bag", body.packets, 0.0, MOST_PACKETS)
    _within("bags of a batch", body.bags, 0.0, MOST_BAGS)
    _new_batch(body.batch, body.pour, day)


def _portion(body: PartTipped, _: Event, day: Day) -> None:
    _new_batch(body.batch, body.pour, day)


def _new_batch(batch: str, pour: str, day: Day) -> None:
    day.pour(pour)
    if day.has_batch(batch):
        raise ValueError(f"a batch {batch!r:.40} is there already")


def _trial(body: TrialStarted, _: Event, day: Day) -> None:
    day.job.mix(body.mix)
    _within("packets a bag", body.packets, 0.0, MOST_PACKETS)


def _sign(body: SignSeen, event: Event, day: Day) -> None:
    """Of a trial or a batch, and of a limit that its card has."""
    trial = next((trial for trial in day.trials if trial.id == body.subject), None)
    batch = None if trial else day.batch(body.subject)
    water_at = trial.water_at if trial else batch.water_at if batch else 0.0
    if body.word in ("stiff", "ready") and event.at <= water_at:
        raise ValueError(f"{body.subject!r:.40} cannot have shown {body.word} before its water")
    key = trial.mix if trial else day.pour(batch.pour).mix if batch else ""
    cards = [day.job.mix(key)] if key else day.job.mixes
    for card in cards:
        limit_of(card, Sign(body.word, body.subject, body.name, event.at, event.seq))


def _packets(body: PacketsCorrected, _: Event, __: Day) -> None:
    _within("packets a bag", body.packets, 0.0, MOST_PACKETS)


def _dose(body: DoseSet, _: Event, __: Day) -> None:
    _within("packets a bag", body.packets or 0.0, 0.0, MOST_PACKETS)


def _frozen(body: FactorFrozen, _: Event, __: Day) -> None:
    _within("as the rate factor", body.low, 0.01, body.value)
    _within("as the rate factor", body.high, body.value, 100.0)


def _shift(body: StampShifted, _: Event, __: Day) -> None:
    _within("seconds later", body.by_s, -LONGEST_SHIFT_S, LONGEST_SHIFT_S)


def _deep(body: DepthsRead | ChangeOrdered, _: Event, day: Day) -> None:
    _check_pour(body.pour, day.pour(body.pour).area_m2, body.depths_m)


def _added(body: PourAdded, _: Event, day: Day) -> None:
    _check_pour(body.pour, body.area_m2, body.depths_m)
    _within("packets a bag", body.packets or 0.0, 0.0, MOST_PACKETS)
    if body.mix:
        day.job.mix(body.mix)
    if day.has_pour(body.pour):
        raise ValueError(f"a pour {body.pour!r:.40} is there already")


def _parted(body: PourSplit | PourDivided, _: Event, day: Day) -> None:
    _within("as the share that stays", body.share, 0.0, 1.0)
    day.pour(body.pour)
    if day.has_pour(body.rest):
        raise ValueError(f"a pour {body.rest!r:.40} is there already")


def _finish(body: FinishSet, _: Event, day: Day) -> None:
    day.pour(body.pour)


_CHECKS: dict[type[Body], Callable[[Any, Event, Day], None]] = {
    DayOpened: _opened,
    WaterAdded: _water,
    PartTipped: _portion,
    TrialStarted: _trial,
    SignSeen: _sign,
    PacketsCorrected: _packets,
    DoseSet: _dose,
    FactorFrozen: _frozen,
    StampShifted: _shift,
    DepthsRead: _deep,
    ChangeOrdered: _deep,
    PourAdded: _added,
    PourSplit: _parted,
    PourDivided: _parted,
    FinishSet: _finish,
}
