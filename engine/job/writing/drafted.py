"""Answers to the draft of a job file, held to the very reader that `check` uses; its problems stand at their lines."""

from __future__ import annotations

import datetime
import re
from collections.abc import Sequence

from engine.errors import Problem
from engine.job.model import Job
from engine.job.practice import Value
from engine.job.reader import read_job_table
from engine.job.writing.answers import Filled, read_answers
from engine.job.writing.questions import Answers, Draft, Fault
from engine.job.writing.table import Ground, job_table
from engine.tables import nearest

OF_TABLE = {
    "conditions": "weather",
    "people": "people",
    "stations": "stations",
    "times": "times",
    "pours": "patches",
    "targets": "promises",
}
OF_KEY = {
    "materials.bags": "bags_temperature",
    "materials.water": "water_temperature",
    "stock.bags": "bags",
    "stock.packets": "packets",
    "stock.vessels": "vessels",
}
BEHIND = {"promises": "patches", "patches": "mixes", "bags": "mixes"}  # what a problem may only follow from


def draft_job(
    answers: Answers, ground: Ground, values: Sequence[Value], today: datetime.date
) -> tuple[Draft, Job | None]:
    """The draft of a job file, and the job that it will be read as; no job where there is a fault."""
    filled = read_answers(answers, [offer.key for offer in ground.offers])
    table, assumed = job_table(filled.form, ground)
    cards = {offer.key: offer.card for offer in ground.offered(filled.form.mixes)}
    job, problems = read_job_table(table, "", cards, values, today)
    faults = _faults(filled, _unoffered(filled, ground), problems)
    return Draft(table, assumed, faults), None if faults else job


def _unoffered(filled: Filled, ground: Ground) -> tuple[Fault, ...]:
    """The first mix named that is none within reach, or one whose card cannot be read."""
    known, broken = [offer.key for offer in ground.offers], dict(ground.broken)
    for key in filled.form.mixes:
        if key not in known:
            near = nearest(key, known)
            says = f'"{key}" is no mix within reach' + (f"; nearest: {near}" if near else "")
            return (Fault("mixes", 0, broken.get(key, f"{says}; known: {', '.join(known)}")),)
    return ()


def _faults(filled: Filled, more: tuple[Fault, ...], problems: Sequence[Problem]) -> tuple[Fault, ...]:
    """Those of the lines first; a problem of the whole only where no line behind it has one."""
    found = [*filled.faults, *more]
    bad = {fault.key for fault in found}
    for problem in problems:
        fault = _placed(problem, filled)
        if fault.key not in bad and BEHIND.get(fault.key, "") not in bad:
            found.append(fault)
    return tuple(found)


def _placed(problem: Problem, filled: Filled) -> Fault:
    """A problem of the table at the line it comes from."""
    found = re.match(r"([a-z]+)(?:\[([0-9]+)\])?(?:\.([a-z_]+))?(.*)", problem.where)
    name, number, key = (found[1], found[2], found[3] or "") if found else ("", None, "")
    question = OF_KEY.get(f"{name}.{key}") or OF_TABLE.get(name) or key or "name"
    index = _told_time(key, filled) if name == "times" else int(number or 0)
    return Fault(question, filled.places.get((question, index), 0), _sentence(problem))


def _told_time(key: str, filled: Filled) -> int:
    """Which line told a time of the crew."""
    told = [name for name, _ in filled.form.times]
    return told.index(key) if key in told else 0


def _sentence(problem: Problem) -> str:
    """What was given, what is accepted; which part of a line of several."""
    part = problem.where.rpartition("].")[2] if "]." in problem.where else ""
    given = f"{problem.given} given, " if problem.given else ""
    nearest_one = f"; nearest: {problem.nearest}" if problem.nearest else ""
    return f"{part + ': ' if part else ''}{given}{problem.accepted}{nearest_one}"
