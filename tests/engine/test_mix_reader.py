"""A mix card from its TOML table."""

from __future__ import annotations

import tomllib
from typing import Any

import pytest
from bad_cases import LIBRARY, Case, case_name, cases

from engine.errors import Problem
from engine.mix.card import Heat, MixCard, Retarder, Strength, Window
from engine.mix.reader import read_mix

GOOD = (LIBRARY / "small-stone.toml").read_text(encoding="utf-8")


def _read(text: str) -> tuple[MixCard | None, tuple[Problem, ...]]:
    return read_mix(tomllib.loads(text), "small-stone", "small-stone.toml")


def _good(**changes: Any) -> MixCard:
    card, problems = read_mix(tomllib.loads(GOOD) | changes, "small-stone", "small-stone.toml")
    assert problems == ()
    assert card is not None
    return card


def test_the_card_of_the_library_is_read_in_si_units() -> None:
    card = _good()
    assert (card.key, card.name, card.kind) == (
        "small-stone",
        "Small-stone rapid mix (example)",
        "small stone",
    )
    assert (card.bag.mass_kg, card.bag.yield_m3, card.bag.price) == pytest.approx(
        (22.6796185, 0.0121762440, 19.5)
    )
    assert card.water.target_l == pytest.approx(4.25 * 0.946352946)
    assert (card.depth.min_m, card.depth.max_m) == pytest.approx((0.0381, 0.1016))
    assert card.depth.largest_stone_m == pytest.approx(0.009525)
    assert (card.setting.reference_c, card.setting.activation_j_mol) == pytest.approx((190 / 9, 40e3))
    assert card.passes.broom == Window(360, 420, 510, 600)
    assert card.passes.float is None
    assert card.retarder == Retarder((0, 1, 2), (1, 2, 2.8))
    assert (card.heat.rise_k, card.heat.age_s) == (18, 1500)
    assert card.strength.age_s == (3600, 10800, 86400, 604800, 2419200)
    assert (card.opening.feet_s, card.opening.wheels_s) == (3600, 7200)
    assert card.sources == (("clock.activation_energy", "assumed"),)


def test_working_time_counts_from_the_end_of_mixing_or_from_the_water() -> None:
    assert _good().workable_s == 270
    clock = tomllib.loads(GOOD)["clock"] | {"working_time_from": "water contact"}
    assert _good(clock=clock).workable_s == 180


@pytest.mark.parametrize("key", ["retarder", "heat", "strength", "sources"])
def test_a_card_may_be_silent_about(key: str) -> None:
    table = tomllib.loads(GOOD)
    del table[key]
    card, problems = read_mix(table, "small-stone", "small-stone.toml")
    assert problems == ()
    assert card is not None
    silent = {"retarder": Retarder(), "heat": Heat(), "strength": Strength(), "sources": ()}
    assert getattr(card, key) == silent[key]


@pytest.mark.parametrize("key", ["second_trowel", "broom"])
def test_a_card_may_lack_a_pass_that_its_jobs_do_not_use(key: str) -> None:
    passes = tomllib.loads(GOOD)["passes"]
    del passes[key]
    assert getattr(_good(passes=passes).passes, key) is None


def test_a_card_may_state_a_window_for_the_float() -> None:
    stated = {"open": "2 min", "due": "2 min 30 s", "late": "4 min", "lost": "5 min"}
    passes = tomllib.loads(GOOD)["passes"] | {"float": stated}
    assert _good(passes=passes).passes.float == Window(120, 150, 240, 300)


def test_marks_of_sources_may_be_nested_or_dotted_and_stand_for_whole_tables() -> None:
    card = _good(sources={"clock": {"working_time": "label"}, "heat": "assumed"})
    assert card.sources == (("clock.working_time", "label"), ("heat", "assumed"))


@pytest.mark.parametrize("case", cases("mix.toml"), ids=case_name)
def test_a_fault_of_a_card_is_named_with_its_place(case: Case) -> None:
    card, problems = _read(case.spoil(GOOD))
    assert card is None
    assert case.is_among(problems), [p.sentence() for p in problems]


def test_all_faults_of_a_card_are_found_in_one_go() -> None:
    text = GOOD.replace('mass = "50 lb"', "mass = 50").replace('final_set = "20 min"', 'final_set = "1 min"')
    card, problems = _read(text.replace('feet = "1 h"', 'foot = "1 h"'))
    assert card is None
    assert [p.where for p in problems] == ["bag.mass", "clock.final_set", "opening.foot", "opening.feet"]


@pytest.mark.parametrize(
    "table", [{}, {"bag": []}, {"passes": {"first_trowel": 3}}, {"sources": {"a": {"b": {}}}}]
)
def test_any_table_is_answered_with_problems(table: dict[str, Any]) -> None:
    card, problems = read_mix(table, "x", "x.toml")
    assert card is None
    assert problems
