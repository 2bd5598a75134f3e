"""Every practice value can be a job's own; one of the wrong kind is refused by its name. And every value says what it is."""

from __future__ import annotations

import re
import tomllib

import pytest

from engine.job.files import configs_folder, shipped_practice
from engine.job.model import Practice
from engine.job.practice import Value, take_changes
from engine.tables import BAD, Page
from engine.units import KINDS

VALUES = shipped_practice()
CHANGES = take_changes(VALUES)
TEXT = (configs_folder() / "practice.toml").read_text(encoding="utf-8")
TABLE = tomllib.loads(TEXT)


def kind_of(value: Value) -> str:
    group, _, name = value.key.partition(".")
    return str(TABLE[group][name]["kind"])


def entry_of(value: Value) -> object:
    group, _, name = value.key.partition(".")
    return TABLE[group][name]["value"]


def written(number: float, kind: str) -> object:
    """A number as a job file would hold it."""
    if kind == "count":
        return int(number)
    if kind == "number":
        return number
    return f"{number:.12f}" if kind == "share" else f"{number:.12f} {KINDS[kind].unit}"  # type: ignore[index]


def changed(value: Value) -> float:
    """Another number that the value's own reader takes."""
    kind, page = kind_of(value), Page("job.toml")
    step = 1.0 if kind in ("count", "temperature") else max(abs(value.number), 0.01) * 0.1
    for number in (value.number + step, value.number - step):
        if value.reader.take(written(number, kind), value.key, page) is not BAD:
            return number
    raise AssertionError(f"{value.key} cannot be changed at all")


def taken(key: str, given: object) -> tuple[Practice | object, list[str]]:
    """What a job's [practice] with one key becomes, and the places of its problems."""
    page = Page("job.toml")
    found = CHANGES.take({key: given}, "practice", page)
    return found, [problem.where for problem in page.all()]


@pytest.mark.parametrize("value", VALUES, ids=lambda value: value.key)
def test_a_job_may_have_its_own_and_changes_nothing_else(value: Value) -> None:
    number = changed(value)
    practice, problems = taken(value.key, written(number, kind_of(value)))
    assert problems == []
    assert isinstance(practice, Practice)
    assert practice[value.key] == pytest.approx(number, rel=1e-9, abs=1e-9)
    others = [other for other in VALUES if other.key != value.key]
    assert all(practice[other.key] == other.number for other in others)


@pytest.mark.parametrize("value", VALUES, ids=lambda value: value.key)
def test_the_shipped_text_itself_is_taken_as_it_stands(value: Value) -> None:
    practice, problems = taken(value.key, entry_of(value))
    assert problems == []
    assert isinstance(practice, Practice)
    assert practice[value.key] == value.number


def wrong(value: Value) -> list[object]:
    """Values of another kind, and none at all."""
    kind = kind_of(value)
    other = "3 in" if kind == "pressure" else "3 psi"
    given: list[object] = [other, [1], True, "a good deal"]
    return [*given, 2.5] if kind == "count" else given if kind == "number" else [*given, 1e9]


@pytest.mark.parametrize("value", VALUES, ids=lambda value: value.key)
def test_a_wrong_kind_is_refused_by_name(value: Value) -> None:
    for given in wrong(value):
        practice, problems = taken(value.key, given)
        assert practice is BAD, given
        assert problems == [f'practice."{value.key}"'], given


@pytest.mark.parametrize("value", VALUES, ids=lambda value: value.key)
def test_a_slip_of_the_pen_is_refused_with_the_nearest_key(value: Value) -> None:
    page = Page("job.toml")
    CHANGES.take({f"{value.key}x": 1}, "practice", page)
    (problem,) = page.all()
    assert problem.nearest == value.key


LINES = TEXT.splitlines()


@pytest.mark.parametrize("value", VALUES, ids=lambda value: value.key)
def test_each_value_has_its_words_in_the_line_above_and_a_unit_behind_it(value: Value) -> None:
    group, _, name = value.key.partition(".")
    start = LINES.index(f"[{group}]")
    here = next(n for n in range(start, len(LINES)) if LINES[n].startswith(f"{name} = "))
    comment = LINES[here - 1]
    assert comment.startswith("# ")
    assert re.search(r"[a-z]{3}", comment)
    assert isinstance(entry_of(value), str) is (kind_of(value) not in ("number", "count"))
