"""Who of a job's crew is free from when, and which vessel."""

from __future__ import annotations

from collections.abc import Container
from math import inf

from engine.job.model import Job, Person, Skill


class Hands:
    """People and stations by id with the log time from which each is free."""

    def __init__(self, job: Job, at: float) -> None:
        self.people = sorted(
            job.people, key=lambda person: len(person.does)
        )  # whoever can do least goes first
        self.free_at = {person.id: at for person in job.people}
        self.station_at = {station.id: at for station in job.stations}
        self._stations = {station.id: station for station in job.stations}

    def free(self, skill: Skill, at: float, away: Container[str]) -> list[Person]:
        """Everybody here who can do it and is free."""
        return [
            person
            for person in self.people
            if skill in person.does and person.id not in away and self.free_at[person.id] <= at
        ]

    def pick(self, skill: Skill, at: float, away: Container[str], wanted: str = "") -> str:
        """The one wanted if free, else the first who is; empty for nobody."""
        able = [person.id for person in self.free(skill, at, away)]
        return wanted if wanted in able else next(iter(able), "")

    def station(self, at: float, wanted: str, lost: Container[str]) -> str:
        """The station wanted if free, else the first that is; empty for none."""
        able = [name for name, free in self.station_at.items() if free <= at and name not in lost]
        return wanted if wanted in able else next(iter(able), "")

    def needed(self, station: str) -> int:
        """How many hands a station takes."""
        return self._stations[station].hands

    def next_free(self, at: float) -> float:
        """When the next of those busy is free."""
        return min((free for free in self.free_at.values() if free > at), default=inf)
