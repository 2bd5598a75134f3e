"""A job from its TOML table."""

from __future__ import annotations

import datetime
import tomllib
from typing import Any

import pytest
from bad_cases import LIBRARY, Case, case_name, cases

from engine.errors import Problem
from engine.job.files import shipped_practice
from engine.job.model import Job, Person, Station, Target
from engine.job.reader import read_job_table
from engine.mix.reader import read_mix
from engine.site.conditions import ForecastRow, Materials

GOOD = (LIBRARY / "job.toml").read_text(encoding="utf-8")
CARD = tomllib.loads((LIBRARY / "small-stone.toml").read_text(encoding="utf-8"))
PRACTICE = shipped_practice()
TODAY = datetime.date(2026, 7, 2)
IN, FT2 = 0.0254, 0.09290304


def _card(key: str = "small-stone", **changes: Any) -> Any:
    return read_mix(CARD | changes, key, f"{key}.toml")[0]


def _read(table: dict[str, Any], **cards: Any) -> tuple[Job | None, tuple[Problem, ...]]:
    known = {name.replace("_", "-"): card for name, card in cards.items()} or {"small-stone": _card()}
    return read_job_table(table, "job.toml", known, PRACTICE, TODAY)


def _good(text: str = GOOD, **cards: Any) -> Job:
    job, problems = _read(tomllib.loads(text), **cards)
    assert [p.sentence() for p in problems] == []
    assert job is not None
    return job


def _wheres(table: dict[str, Any], **cards: Any) -> list[str]:
    return [p.where for p in _read(table, **cards)[1]]


def _pour(**keys: Any) -> Any:
    """The library with its first pour replaced by one of these keys."""
    table = tomllib.loads(GOOD)
    table["pours"][0] = {"id": "P1", "depths": ["2 in"], "finish": "float"} | keys
    return table


def _utc(*when: int) -> float:
    return datetime.datetime(*when, tzinfo=datetime.UTC).timestamp()  # type: ignore[arg-type]


def test_the_job_of_the_library_is_read_in_si_units() -> None:
    job = _good()
    assert (job.date, job.zone, job.units, job.currency) == ("2026-11-05", "America/Chicago", "us", "USD")
    assert job.conditions[1] == ForecastRow(
        _utc(2026, 11, 5, 14), pytest.approx(5), 0.8, pytest.approx(0.89408), False
    )
    assert job.materials == Materials(pytest.approx(130 / 9), pytest.approx(190 / 9), 0.0)
    assert job.people[2] == Person("MA", ("mix", "place"))
    assert job.stations[0] == Station("S1", "5 gal bucket", 1.0, 1)
    assert (job.times.load_s, job.times.edge_s) == (40, 30)
    assert job.times.float_s_m2 == pytest.approx(10 / FT2)
    assert (job.stock.bags, job.stock.packets, job.stock.vessels) == ((("small-stone", 16.0),), 12, 4)
    assert job.targets == (Target(("P4", "P5"), "wheels", _utc(2026, 11, 5, 21, 30)),)
    assert job.practice["takeoff.waste_sawn"] == 0.08


# Table of the library's README, measured by hand: area in ft², mean depth in inches
@pytest.mark.parametrize(
    ("pour", "area_ft2", "depth_in"),
    [
        ("P1", 320 / 144, 1.75),
        ("P2", 4, 2.1),
        ("P3", 300 / 144, 2.25),
        ("P4", 960 / 144, 2),
        ("P7", 210 / 144, 2.25),
    ],
)
def test_areas_and_depths_of_the_library_are_as_taken_by_hand(
    pour: str, area_ft2: float, depth_in: float
) -> None:
    read = _good().pour(pour)
    assert read.area_m2 == pytest.approx(area_ft2 * FT2)
    assert read.mean_depth_m == pytest.approx(depth_in * IN)


def test_a_start_left_out_is_the_first_row_and_a_date_left_out_is_today() -> None:
    assert _good().start == _utc(2026, 11, 5, 13)
    job = _good(GOOD.replace("date = 2026-11-05", 'start = "09:30"'))
    assert (job.date, job.start) == ("2026-07-02", _utc(2026, 7, 2, 14, 30))


def test_hours_from_24_on_are_the_next_day() -> None:
    job = _good(GOOD.replace('by = "15:30"', 'by = "27:30"'))
    assert job.targets[0].by == _utc(2026, 11, 6, 9, 30)


# Surveyor's formula by hand: an L of 22 x 12 in and 10 x 8 in is 344 in²
CORNERS = [(0, 0), (22, 0), (22, 12), (10, 12), (10, 20), (0, 20)]


@pytest.mark.parametrize("corners", [CORNERS, CORNERS[::-1], [*CORNERS, (0, 0)]])
def test_an_outline_has_the_area_inside_it_however_it_is_drawn(corners: list[tuple[int, int]]) -> None:
    job, problems = _read(_pour(outline=[[f"{x} in", f"{y} in"] for x, y in corners]))
    assert problems == ()
    assert job is not None
    assert job.pours[0].area_m2 == pytest.approx(344 * IN * IN)
    assert len(job.pours[0].outline_m) == 6


def test_an_area_with_depths_is_enough() -> None:
    job, problems = _read(_pour(area="3.2 ft^2"))
    assert problems == ()
    assert job is not None
    assert job.pours[0].area_m2 == pytest.approx(3.2 * FT2)
    assert job.pours[0].length_m is None


@pytest.mark.parametrize(
    "corners",
    [
        [(0, 0), (10, 10), (10, 0), (0, 10)],  # bow tie
        [(0, 0), (10, 0), (20, 0)],  # a line
        [(0, 0), (10, 0), (10, 10), (10, 0), (20, 0), (20, 20), (0, 20)],  # out and back
        [(0, 0), (10, 0), (10, 10), (5, 0), (0, 10)],  # a corner on another side
        [(0, 0), (10, 0), (10, 0), (10, 10)],  # a corner twice
        [(0, 0), (10, 0), (5, 5), (10, 10), (0, 10), (5, 5)],  # two corners in one place
    ],
)
def test_an_outline_that_meets_itself_is_refused(corners: list[tuple[int, int]]) -> None:
    assert _wheres(_pour(outline=[[f"{x} in", f"{y} in"] for x, y in corners])) == ["pours[0].outline"]


def test_bags_in_stock_stand_by_mix_where_there_are_several() -> None:
    text = GOOD.replace('"small-stone.toml"', '"small-stone.toml", "fine.toml"')
    cards = {"small_stone": _card(), "fine": _card("fine")}
    job, problems = _read(tomllib.loads(text), **cards)
    assert job is None
    assert [(p.where, p.accepted) for p in problems] == [
        ("stock.bags", "a table by mix: the job has small-stone, fine")
    ]
    job = _good(text.replace("bags = 16", "bags = { fine = 2, small-stone = 14 }"), **cards)
    assert job.stock.bags == (("fine", 2.0), ("small-stone", 14.0))


def test_practice_is_changed_dotted_or_nested() -> None:
    dotted = _good(GOOD + '\n[practice]\n"takeoff.waste_sawn" = "10 %"\nheat.sun = "400 W/m^2"\n')
    nested = _good(GOOD + '\n[practice.takeoff]\nwaste_sawn = "10 %"\n[practice.heat]\nsun = "400 W/m^2"\n')
    assert dotted.practice == nested.practice
    assert (dotted.practice["takeoff.waste_sawn"], dotted.practice["heat.sun"]) == (0.1, 400)
    assert dotted.practice["takeoff.waste_chipped"] == 0.15


@pytest.mark.parametrize(
    ("finish", "passes"), [("trowel", "passes.second_trowel"), ("broom", "passes.broom")]
)
def test_a_finish_without_a_window_on_the_card_names_both(finish: str, passes: str) -> None:
    windows = dict(CARD["passes"])
    del windows[passes.removeprefix("passes.")]
    problems = _read(_pour(finish=finish, area="3 ft^2"), small_stone=_card(passes=windows))[1]
    first = problems[0]
    assert (first.where, first.given) == ("pours[0].finish", f'"{finish}"')
    assert "small-stone" in first.accepted
    assert passes in first.accepted


def test_a_pour_that_leaves_its_mix_open_is_held_to_every_card() -> None:
    table = _pour(area="3 ft^2", packets=2)
    table["job"]["mixes"].append("fine.toml")
    table["stock"]["bags"] = {"fine": 3}
    weak = _card("fine", retarder={"packets": [0, 1], "stretch": [1.0, 2.0]})
    assert _wheres(table, small_stone=_card(), fine=weak) == ["pours[0].packets"]


@pytest.mark.parametrize("skill", ["mix", "place", "finish"])
def test_a_job_needs_somebody_for_every_kind_of_work(skill: str) -> None:
    table = tomllib.loads(GOOD)
    table["people"] = [{"id": "A", "does": [one for one in ("mix", "place", "finish") if one != skill]}]
    problems = _read(table)[1]
    assert [(p.where, f'"{skill}"' in p.accepted) for p in problems] == [("people", True)]


@pytest.mark.parametrize("key", ["stations", "people", "pours", "conditions"])
def test_a_job_needs_at_least_one_row_of(key: str) -> None:
    table = tomllib.loads(GOOD)
    table[key] = []
    assert key in _wheres(table)
    del table[key]
    assert key in _wheres(table)


def test_pours_that_wait_for_one_another_are_told_once_with_the_whole_circle() -> None:
    table = tomllib.loads(GOOD)
    for n, first in ((1, "P4"), (2, "P2"), (3, "P3"), (4, "P2")):
        table["pours"][n]["after"] = [first]
    problems = _read(table)[1]
    assert [(p.where, p.given) for p in problems] == [("pours[1].after", "P2 after P4 after P3 after P2")]


def test_a_pour_cannot_wait_for_one_that_is_left_for_a_later_visit() -> None:
    table = tomllib.loads(GOOD)
    table["pours"][1]["visit"] = 2
    table["pours"][2]["after"] = ["P2"]
    assert _wheres(table) == ["pours[2].after[0]"]


def test_a_day_without_a_pour_of_this_visit_is_refused() -> None:
    table = tomllib.loads(GOOD)
    for pour in table["pours"]:
        pour["visit"] = 2
    assert _wheres(table) == ["pours"]


def test_a_pour_may_say_what_carries_it_and_what_steel_was_seen() -> None:
    known = _read(_pour(area="2 ft^2", slab="6 in", carried="suspended", steel_bare="30 %"))[0]
    silent = _read(_pour(area="2 ft^2"))[0]
    assert known is not None
    assert silent is not None
    found = [(job.pours[0].slab_m, job.pours[0].carried, job.pours[0].steel_bare) for job in (known, silent)]
    assert found == [(pytest.approx(6 * IN), "suspended", 0.3), (None, "ground", None)]


@pytest.mark.parametrize(
    ("key", "given"), [("slab", "0 in"), ("slab", "6"), ("carried", "air"), ("steel_bare", "120 %")]
)
def test_what_cannot_lie_under_a_pour_is_refused(key: str, given: str) -> None:
    assert _wheres(_pour(area="2 ft^2", **{key: given})) == [f"pours[0].{key}"]


def test_one_bad_row_neither_hides_nor_makes_faults_elsewhere() -> None:
    table = tomllib.loads(GOOD)
    table["pours"][1]["depths"] = ["2"]
    table["pours"][2]["after"] = ["P2", "P22"]
    table["pours"][4]["packets"] = 3
    table["people"][0]["does"] = ["plaster"]
    assert _wheres(table) == [
        "people[0].does[0]",
        "pours[1].depths[0]",
        "pours[4].packets",
        "pours[2].after[1]",
    ]


def test_a_card_with_problems_of_its_own_adds_none_to_the_job() -> None:
    job, problems = _read(tomllib.loads(GOOD), small_stone=None)
    assert job is None
    assert problems == ()


@pytest.mark.parametrize("case", cases("job.toml"), ids=case_name)
def test_a_fault_of_a_job_is_named_with_its_place(case: Case) -> None:
    job, problems = _read(tomllib.loads(case.spoil(GOOD)))
    assert job is None
    assert case.is_among(problems), [p.sentence() for p in problems]
