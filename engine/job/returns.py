"""What to come back for: pours left for a later visit, and the looks at the work after a day, a week, a month, in spring.

Days are calendar days at the site. Intervals and the day of spring are practice values under `returns.`.
"""

from __future__ import annotations

import datetime
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from typing import Literal

from engine.job.model import Job, Practice
from engine.words import Say, say

Kind = Literal["next day", "7 day", "28 day", "spring", "later pours"]

AFTER: dict[Kind, str] = {"next day": "returns.next_day", "7 day": "returns.week", "28 day": "returns.month"}
LOOKS: dict[Kind, tuple[str, ...]] = {
    "next day": ("blankets", "sound", "hairlines", "rub", "edges", "photo"),
    "7 day": ("sound", "hairlines", "photo"),
    "28 day": ("sound", "hairlines", "coating", "photo"),
    "spring": ("sound", "hairlines", "slopes", "lips", "photo"),
    "later pours": ("measure", "pour"),
}
DAY_S = 86400.0


@dataclass(frozen=True)
class Return:
    """One visit. `day` None: not yet agreed, as for pours left for a later visit. `visit` numbers those, else 0."""

    kind: Kind
    day: datetime.date | None
    pours: tuple[str, ...]
    visit: int = 0

    @property
    def tasks(self) -> tuple[Say, ...]:
        """What to do there."""
        return tuple(say(f"return.{name}") for name in LOOKS[self.kind])

    @property
    def title(self) -> Say:
        return say(f"return.title.{self.kind.replace(' ', '_')}", pours=", ".join(self.pours))

    def overdue(self, today: datetime.date) -> bool:
        return self.day is not None and self.day < today


def returns(
    job: Job, poured: Mapping[str, datetime.date], agreed: Mapping[int, datetime.date] | None = None
) -> tuple[Return, ...]:
    """All visits due: by day, those without a day last. `poured` is the day by pour id, `agreed` the day by visit.

    Pours of a later visit that are poured already are looked at like the others.
    """
    found = [*_looks(poured, job.practice), *_later(job, poured, agreed or {})]
    return tuple(sorted(found, key=lambda visit: (visit.day or datetime.date.max, visit.pours)))


def _looks(poured: Mapping[str, datetime.date], practice: Practice) -> Iterator[Return]:
    for day in sorted(set(poured.values())):
        pours = tuple(pour for pour, on in poured.items() if on == day)
        for kind, key in AFTER.items():
            yield Return(kind, day + datetime.timedelta(days=round(practice[key] / DAY_S)), pours)
        yield Return("spring", first_spring(day, practice), pours)


def first_spring(poured: datetime.date, practice: Practice) -> datetime.date:
    """The spring day after the first winter: the next one that lies behind the 28-day look."""
    month, day = int(practice["returns.spring_month"]), int(practice["returns.spring_day"])
    settled = poured + datetime.timedelta(days=round(practice["returns.month"] / DAY_S))
    this_year = datetime.date(settled.year, month, day)
    return this_year if this_year > settled else datetime.date(settled.year + 1, month, day)


def _later(
    job: Job, poured: Mapping[str, datetime.date], agreed: Mapping[int, datetime.date]
) -> Iterator[Return]:
    left = [pour for pour in job.pours if pour.visit > 1 and pour.id not in poured]
    for visit in sorted({pour.visit for pour in left}):
        pours = tuple(pour.id for pour in left if pour.visit == visit)
        yield Return("later pours", agreed.get(visit), pours, visit)


def still_due(visits: Iterable[Return], done: Iterable[Return]) -> tuple[Return, ...]:
    """The visits not yet made, in their order."""
    made = set(done)
    return tuple(visit for visit in visits if visit not in made)
