"""A job before its day: the plan of it, choices weighed, days rehearsed."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import Any

from engine import units
from engine.clock import Clock
from engine.console.ground import at_start, date_on_site
from engine.errors import BadInput, Problem
from engine.job.files import demo_job_path, read_job
from engine.job.model import Job
from engine.pour.around.hourly import hourly_table
from engine.pour.around.mixing_water import water_table
from engine.pour.planned import planned
from engine.pour.planning import day_plan
from engine.record.learning.table import used_table
from engine.rehearsal.days import days_table, rehearse_day
from engine.rehearsal.weighed import Weighed, choices_table, weighed
from engine.words import Words

SEARCHED = 300  # plans tried for a day before it begins


def check(
    job_path: Path,
    said: Words,
    clock: Clock | None = None,
    *,
    hours: bool = False,
    mix_temperature: str | None = None,
) -> dict[str, Any]:
    """The plan of a job file, as plain JSON values. Raises `BadInput` with every problem of its files.

    `hours` adds the day hour by hour; `mix_temperature`, such as "65 degF", the water that brings the mix to it.
    """
    wanted_c = None if mix_temperature is None else _temperature(mix_temperature)
    job = read_job(job_path, date_on_site(clock))
    moment, found = at_start(job), plan_table(job, said)
    if hours:
        found["hours"] = hourly_table(moment, said)
    if wanted_c is not None:
        found["water_for_mix"] = water_table(moment, wanted_c, said)
    return found


def plan_table(job: Job, said: Words) -> dict[str, Any]:
    """The plan of a job that was read, as plain JSON values."""
    moment = at_start(job)
    plan = day_plan(moment, rounds=3, search=SEARCHED)
    return planned(moment, plan, said) | {"learned": used_table(job, said)}


def _temperature(text: str) -> float:
    """Of an option. Raises `BadInput`."""
    try:
        return units.parse(text, "temperature")
    except ValueError as refused:
        raise BadInput([Problem("", "--mix-temperature", text, str(refused))]) from None


def choices(
    job_path: Path,
    said: Words,
    days: int,
    told: Callable[[int, int], object] = lambda _done, _all: None,
    clock: Clock | None = None,
) -> dict[str, Any]:
    """What single changes would do to a job, each rehearsed on the same days, as plain JSON values.

    `told` hears how many days of how many are done. Interrupted (`KeyboardInterrupt`), the answer so far is given.
    Raises `BadInput`.
    """
    job = read_job(job_path, date_on_site(clock))
    rows: tuple[Weighed, ...] = ()
    try:
        for rows in weighed(job, days):
            told(rows[0].days, days)
    except KeyboardInterrupt:
        if not rows:
            raise
    head = {"job": job.name, "time_zone": job.zone, "units": job.units, "currency": job.currency}
    return {**head, **choices_table(rows, said)}


def rehearse(
    job_path: Path | None, said: Words, days: int, seed: int, clock: Clock | None = None
) -> dict[str, Any]:
    """Days of a job without a screen, one a seed from `seed` on, as plain JSON values. Raises `BadInput`."""
    job = read_job(job_path or demo_job_path(), date_on_site(clock))
    found = [rehearse_day(job, seed + number, said) for number in range(days)]
    return {"job": job.name, "time_zone": job.zone, "units": job.units, **days_table(job, found)}
