"""The same job, card and practice values written in inches and in metres are the same job.

Texts are turned into metric here by exact definitions (1 in = 25.4 mm, 1 lb = 0.45359237 kg, 1 US gal = 3.785411784 L,
1 mph = 1.609344 km/h, 1 lbf = 4.4482216152605 N), not by the program's own units.
"""

from __future__ import annotations

import dataclasses
import datetime
import re
import tomllib
from collections.abc import Iterator
from fractions import Fraction
from typing import Any

import pytest
from bad_cases import LIBRARY

from engine.job.buying import buy_list
from engine.job.files import configs_folder, shipped_practice
from engine.job.loadout import load_list
from engine.job.model import Job
from engine.job.practice import read_practice
from engine.job.reader import read_job_table
from engine.job.takeoff import job_takeoff
from engine.mix.card import MixCard
from engine.mix.reader import read_mix

FT2 = 0.3048**2
METRIC: dict[str, tuple[float, str]] = {
    "in": (25.4, "mm"),
    "ft^2": (FT2, "m^2"),
    "ft^3": (28.316846592, "L"),
    "lb": (0.45359237, "kg"),
    "oz": (0.45359237 / 16, "kg"),
    "pt": (0.473176473, "L"),
    "qt": (0.946352946, "L"),
    "gal": (3.785411784, "L"),
    "gal/ft^2": (3.785411784 / FT2, "L/m^2"),
    "mph": (1.609344, "km/h"),
    "psi": (4.4482216152605 / 0.0254**2 / 1000, "kPa"),
    "s/ft^2": (1 / FT2, "s/m^2"),
    "lb/ft^3": (0.45359237 / 0.3048**3, "kg/m^3"),
    "delta_degF": (1 / 1.8, "delta_degC"),
}
ONE = re.compile(r"(-?)(?:(\d+(?:\.\d+)?)(?:[ -](\d+/\d+))?|(\d+/\d+)) (\S+)")
FEET = re.compile(r"(\d+) ft(?: (.+ in))?")
TODAY = datetime.date(2026, 11, 5)


def metric(text: str) -> str:
    """The text in metric units; what is in none of ours stays."""
    if feet := FEET.fullmatch(text):
        rest = float(metric(feet[2]).split(" ")[0]) if feet[2] else 0.0
        return f"{float(feet[1]) * 304.8 + rest:.9f} mm"
    match = ONE.fullmatch(text)
    if match is None or (match[5] not in METRIC and match[5] != "degF"):
        return text
    number = float(match[2] or 0) + float(Fraction(match[3] or match[4] or 0))
    number = -number if match[1] else number
    if match[5] == "degF":
        return f"{(number - 32) / 1.8:.12f} degC"
    factor, unit = METRIC[match[5]]
    return f"{number * factor:.12f} {unit}"


def in_metric(value: Any) -> Any:
    """A table with every text in it in metric units."""
    if isinstance(value, dict):
        return {key: in_metric(item) for key, item in value.items()}
    if isinstance(value, list):
        return [in_metric(item) for item in value]
    return metric(value) if isinstance(value, str) else value


def toml(path: Any) -> dict[str, Any]:
    return tomllib.loads(path.read_text(encoding="utf-8"))


def card_of(table: dict[str, Any]) -> MixCard:
    card, problems = read_mix(table, "small-stone", "small-stone.toml")
    assert card is not None, problems
    return card


def job_of(table: dict[str, Any], card: MixCard) -> Job:
    job, problems = read_job_table(table, "job.toml", {"small-stone": card}, shipped_practice(), TODAY)
    assert job is not None, problems
    return job


@pytest.fixture(scope="module")
def both() -> tuple[Job, Job]:
    """The library day, and the same written in metric."""
    day, mix = toml(LIBRARY / "job.toml"), toml(LIBRARY / "small-stone.toml")
    there = in_metric(day)
    there["job"]["units"] = "metric"
    assert there["pours"] != day["pours"]
    return job_of(day, card_of(mix)), job_of(there, card_of(in_metric(mix)))


def leaves(value: Any, where: str = "") -> Iterator[tuple[str, Any]]:
    """Every value of a tree of dataclasses with its place."""
    if dataclasses.is_dataclass(value) and not isinstance(value, type):
        for field in dataclasses.fields(value):
            yield from leaves(getattr(value, field.name), f"{where}.{field.name}")
    elif isinstance(value, tuple | list):
        for n, item in enumerate(value):
            yield from leaves(item, f"{where}[{n}]")
    else:
        yield where, value


def alike(one: Any, other: Any) -> list[str]:
    """Places at which two trees differ by more than rounding."""
    here, there = list(leaves(one)), list(leaves(other))
    assert [where for where, _ in here] == [where for where, _ in there]
    return [
        f"{where}: {a!r} {b!r}" for (where, a), (_, b) in zip(here, there, strict=True) if not _same(a, b)
    ]


def _same(a: Any, b: Any) -> bool:
    if isinstance(a, float) and isinstance(b, float):
        return a == pytest.approx(b, rel=1e-9, abs=1e-9)
    return bool(a == b)


def test_a_job_written_in_metric_units_is_the_same_job(both: tuple[Job, Job]) -> None:
    us, there = both
    assert (us.units, there.units) == ("us", "metric")
    assert alike(us, dataclasses.replace(there, units="us")) == []


def test_its_take_off_and_its_lists_are_the_same(both: tuple[Job, Job]) -> None:
    taken = [job_takeoff(day) for day in both]
    assert alike(*taken) == []
    bought = [buy_list(day, take, {"P4": 1.0}) for day, take in zip(both, taken, strict=True)]
    assert alike(*bought) == []
    loads = [
        [(item.what.key, item.count, item.have) for item in load_list(day, buy)]
        for day, buy in zip(both, bought, strict=True)
    ]
    assert alike(*loads) == []


def test_practice_values_written_in_metric_units_are_the_same() -> None:
    table = toml(configs_folder() / "practice.toml")
    shipped, there = read_practice(table, "practice.toml"), read_practice(in_metric(table), "practice.toml")
    assert there[1] == ()
    numbers = [[(value.key, value.number) for value in values] for values, _ in (shipped, there)]
    assert alike(*numbers) == []


@pytest.mark.parametrize(
    ("us", "expected"),
    [
        ("2 1/4 in", "57.150000000000 mm"),
        ("6 ft 3 1/2 in", "1917.700000000 mm"),
        ("4 ft", "1219.200000000 mm"),
        ("-40 degF", "-40.000000000000 degC"),
        ("walk", "walk"),
        ("09:00", "09:00"),
        ("40 s", "40 s"),
    ],
)
def test_texts_are_turned_as_by_hand(us: str, expected: str) -> None:
    assert metric(us) == expected
