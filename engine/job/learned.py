"""Learned files: values that logs taught, read complete with every fault, and put in place of a job's own.

[mixes.small-stone.activation_energy]
value = "46.1 kJ/mol"
low = "44.2 kJ/mol"            # 10 and
high = "48.0 kJ/mol"           # 90 per cent
observations = 212
was = "40 kJ/mol"              # what the card says

[[mixes.small-stone.stretch]]  # one a dose, with `packets`
[times.carry]                  # of the crew
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, replace
from functools import partial
from typing import Any

from engine import tables
from engine.errors import Problem
from engine.job.model import Job, Written
from engine.mix.learned import PASS_KEYS, SAME, Learned, learned_card, learned_faults, stretch_key
from engine.tables import BAD, Fault, Page, Reader, Schema, may, need, number, quantity, record, whole

DAY_S = 86400.0
CREW_TIMES = ("carry",)
STROKES = ("float", "first_trowel", "second_trowel", "broom")


@dataclass(frozen=True)
class LearnedFile:
    """The good values of one learned file by place, and the page its faults go to."""

    values: tuple[tuple[str, Learned], ...]
    page: Page


def read_learned(table: Mapping[str, Any], file: str) -> LearnedFile:
    """A learned file's table; every fault of it is on the page."""
    page = Page(file)
    read = tables.fields(FILE, table, "", page)
    return LearnedFile((*read.get("mixes", ()), *read.get("times", ())), page)


def with_learned(job: Job, files: Iterable[LearnedFile]) -> Job:
    """The job with all values in place of its own; faults go to each file's page, and then the job stays as it was."""
    files = tuple(files)
    taken: dict[tuple[str, str], str] = {}
    for one in files:
        _checked(job, one, taken)
    values = tuple(learned for one in files for _, learned in one.values if _speaks_of(job, learned))
    if not values or any(one.page.all() for one in files):
        return job
    mixes = tuple(learned_card(card, (v for v in values if v.of == card.key)) for card in job.mixes)
    times = {_field(v.key): v.value for v in values if not v.of}
    written = Written(job.mixes, job.times)
    return replace(job, mixes=mixes, times=replace(job.times, **times), learned=values, written=written)


def _speaks_of(job: Job, learned: Learned) -> bool:
    return not learned.of or any(card.key == learned.of for card in job.mixes)


def _checked(job: Job, file: LearnedFile, taken: dict[tuple[str, str], str]) -> None:
    """Faults that only job and cards show: another card, a value twice, no mix of the job at all."""
    for place, one in file.values:
        if (one.of, one.key) in taken:
            file.page.fault(place, "", f"learned once: it stands in {taken[one.of, one.key]} already")
        taken.setdefault((one.of, one.key), file.page.file)
        if not one.of:
            _check_time(job, place, one, file.page)
    for card in job.mixes:
        of_card = {one.key: place for place, one in file.values if one.of == card.key}
        values = [one for _, one in file.values if one.of == card.key]
        for key, accepted in learned_faults(card, values):
            file.page.fault(of_card.get(key, f"mixes.{card.key}"), "", accepted)
    if file.values and not any(_speaks_of(job, one) for _, one in file.values):
        keys = [card.key for card in job.mixes]
        named = file.values[0][1].of
        file.page.fault("mixes", tables.shown(named), "a mix of the job", keys, named)


def _check_time(job: Job, place: str, one: Learned, page: Page) -> None:
    if not math.isclose(getattr(job.times, _field(one.key)), one.was, rel_tol=SAME):
        page.fault(place, "", "learned from what the job says now; its time was changed since: learn anew")


def _field(key: str) -> str:
    """The field of the crew's times for a key of a learned file."""
    return f"{key}_s_m2" if key in STROKES else f"{key}_s"


def _in_order(values: dict[str, Any]) -> Iterator[Fault]:
    if not values["low"] <= values["value"] <= values["high"]:
        yield "value", "between low and high"


def _entry(reader: Reader, ends: Reader, more: Schema | None = None) -> Reader:
    """A table of one value; its ends may lie where no card's value does."""
    values = {"value": reader, "low": ends, "high": ends, "was": reader}
    stated = {key: need(key, one) for key, one in values.items()}
    seen = {"observations": need("observations", whole(1, 10_000_000))}
    return record(dict, {**(more or {}), **stated, **seen}, _in_order)


def _take_mixes(value: Any, where: str, page: Page) -> Any:
    """Tables of values by mix, each with its place."""
    if not isinstance(value, dict):
        return page.fault(where, tables.shown(value), "a table of mixes, by the names of their files")
    taken: list[tuple[str, Learned]] = []
    for key, table in value.items():
        place = tables.joined(where, key)
        taken += _placed(tables.fields(MIX, table, place, page), place, key)
    return tuple(taken)


def _take_times(value: Any, where: str, page: Page) -> Any:
    return tuple(_placed(tables.fields(TIMES, value, where, page), where, ""))


def _placed(values: dict[str, Any], where: str, of: str) -> Iterator[tuple[str, Learned]]:
    """The values that are there and good."""
    for n, dose in enumerate(values.pop("stretch", ())):
        if dose is not BAD:
            key = stretch_key(dose["packets"])
            yield (
                f"{where}.stretch[{n}]",
                Learned(of, key, **{k: v for k, v in dose.items() if k != "packets"}),
            )
    for key, one in values.items():
        if one is not None:
            yield f"{where}.{key}", Learned(of, key, **one)


duration = partial(quantity, "duration")
ANY_TIME, ANY_ENERGY = duration(0.0, 365 * DAY_S), quantity("energy", 0.0, 400e3)
ANY_STROKE, ANY_STRETCH = quantity("stroke", 0.0, 1e6), number(0, 1000)
DOSE = {"packets": need("packets", number(0.5, 20))}
age = _entry(duration(0.1, 90 * DAY_S), ANY_TIME)

MIX: Schema = {
    "activation_energy": may("activation_energy", _entry(quantity("energy", 0.0, 200e3), ANY_ENERGY)),
    "working_time": may("working_time", _entry(duration(10.0, DAY_S), ANY_TIME)),
    "mixing_time": may("mixing_time", _entry(duration(5.0, 1800.0), ANY_TIME)),
    **{f"{name}_due": may(f"{name}_due", age) for name in PASS_KEYS},
    "stretch": may(
        "stretch",
        tables.rows(_entry(number(1, 100), ANY_STRETCH, DOSE), 0, 20),
        (),
    ),
}
TIMES: Schema = {
    **{key: may(key, _entry(duration(0.0, 3600.0), ANY_TIME)) for key in CREW_TIMES},
    **{key: may(key, _entry(quantity("stroke", 1.0, 20_000.0), ANY_STROKE)) for key in STROKES},
}
ABOUT: Schema = {
    "logs": need("logs", whole(1, 100_000)),
    "first": need("first", tables.text(40)),
    "last": need("last", tables.text(40)),
    "made_up": may("made_up", tables.flag(), False),
}
FILE: Schema = {
    "about": may("about", record(dict, ABOUT)),
    "mixes": may("mixes", Reader("a table of mixes", _take_mixes), ()),
    "times": may("times", Reader("a table of " + ", ".join(TIMES), _take_times), ()),
}


def problems_of(files: Iterable[LearnedFile]) -> tuple[Problem, ...]:
    """Every fault of the files."""
    return tuple(problem for one in files for problem in one.page.all())
