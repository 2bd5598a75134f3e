"""What a foreman could change before the day: one thing at a time, each a job of its own."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace

from engine.job.model import Job, OpenTo, Person, Pour, Station
from engine.job.takeoff import job_takeoff

HOURS = (-2, -1, 1, 2)
FINISHER, MIXER, STATION = "+F", "+M", "+S"
COOL_K, WARM_K = -10.0, 10.0
TO_LIFT = 2  # people to a vessel of more than one bag; common practice, no source
COLDEST_C = 2.0  # of water without ice in it


@dataclass(frozen=True)
class Choice:
    """A change by name, how much of it, and the job that it makes. `as_planned` changes nothing."""

    kind: str
    amount: float
    job: Job


def choices_of(job: Job) -> tuple[Choice, ...]:
    """The job as it is, then every single change that can be made to it."""
    return (
        Choice("as_planned", 0.0, job),
        *_people(job),
        *_stations(job),
        *_doses(job),
        *_water(job),
        *_hours(job),
        *_order(job),
    )


def _people(job: Job) -> Iterator[Choice]:
    finisher = replace(job, people=(*job.people, Person(FINISHER, ("place", "finish"))))
    yield Choice("finisher", 1.0, finisher)
    mixer = replace(job, people=(*job.people, Person(MIXER, ("mix",))))
    yield Choice("mixer", 1.0, _with_station(mixer))
    for person in job.people:
        without = replace(job, people=tuple(one for one in job.people if one is not person))
        if all(any(skill in one.does for one in without.people) for skill in ("mix", "place", "finish")):
            yield Choice(f"without {person.id}", -1.0, without)


def _stations(job: Job) -> Iterator[Choice]:
    mixers = sum("mix" in person.does for person in job.people)
    if len(job.stations) < mixers:
        yield Choice("station", 1.0, _with_station(job))
    if len(job.stations) > 1:
        for station in job.stations:
            left = tuple(one for one in job.stations if one is not station)
            yield Choice(f"without {station.id}", -1.0, replace(job, stations=left))
    if mixers > 1:
        larger = tuple(
            replace(one, bags_per_batch=one.bags_per_batch + 1.0, hands=max(TO_LIFT, one.hands))
            for one in job.stations
        )
        yield Choice("vessels", 1.0, replace(job, stations=larger))


def _with_station(job: Job) -> Job:
    """One more place to mix, like the first, with a vessel of its own."""
    stations = (*job.stations, Station(STATION, job.stations[0].vessel, job.stations[0].bags_per_batch))
    return replace(job, stations=stations, stock=replace(job.stock, vessels=job.stock.vessels + 1))


def _doses(job: Job) -> Iterator[Choice]:
    """Every bag with the same packets, as far as every card allows it."""
    common = set.intersection(*(set(card.retarder.packets) for card in job.mixes))
    for packets in sorted(common):
        pours = tuple(replace(pour, packets=packets) for pour in job.pours)
        if pours != job.pours:
            yield Choice("packets", packets, replace(job, pours=pours))


def _water(job: Job) -> Iterator[Choice]:
    now_c = job.materials.water_c if job.materials.water_c is not None else job.conditions[0].air_c
    for by_k in (COOL_K, WARM_K):
        water_c = now_c + by_k
        if COLDEST_C <= water_c <= job.practice["temperature.water_most"]:
            yield Choice("water", by_k, replace(job, materials=replace(job.materials, water_c=water_c)))


def _hours(job: Job) -> Iterator[Choice]:
    for hours in HOURS:
        yield Choice("start", float(hours), replace(job, start=job.start + hours * 3600.0))


def _order(job: Job) -> Iterator[Choice]:
    """Promised pours first, or those of most bags, if the job's own orders let them."""
    if any(pour.shares for pour in job.pours):
        return
    wanted: dict[str, OpenTo] = {pour: target.open_to for target in job.targets for pour in target.pours}
    bags = {take.id: take.bags for take in job_takeoff(job).pours}
    promised = tuple(sorted(job.pours, key=lambda pour: pour.id not in wanted))
    biggest = tuple(sorted(job.pours, key=lambda pour: -bags.get(pour.id, 0)))
    tried = {job.pours}
    for kind, order in (("promised first", promised), ("biggest first", biggest)):
        if order not in tried and _keeps(order):
            yield Choice(kind, 0.0, replace(job, pours=order))
        tried.add(order)


def _keeps(order: tuple[Pour, ...]) -> bool:
    place = {pour.id: n for n, pour in enumerate(order)}
    return all(place[first] < place[pour.id] for pour in order for first in pour.after if first in place)
