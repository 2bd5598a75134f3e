"""The table of a report: what `status` says, word for word, and what stands beside it reckoned a second way."""

from __future__ import annotations

import json
from typing import Any

import pytest

from engine.pour.journal import fold
from engine.pour.planning import quick_plan
from engine.pour.reckoning import Moment
from engine.pour.status import status
from engine.record.report.client import DROPPED, for_client
from tests.pour.driving import library
from tests.record.report.given import CREW, WORDS, crewed_table, library_events, library_table, mild_table


def holds(part: Any, whole: Any) -> bool:
    """Whether everything of a part stands in the whole, at the same place with the same value."""
    if isinstance(part, dict):
        return isinstance(whole, dict) and all(
            key in whole and holds(value, whole[key]) for key, value in part.items()
        )
    if isinstance(part, list):
        return len(part) == len(whole) and all(map(holds, part, whole))
    return bool(part == whole)


def passes_of(table: dict[str, Any], batch: str) -> dict[str, dict[str, Any]]:
    found = next(one for one in table["batches"] if one["id"] == batch)
    return {one["pass"]: one for one in found["passes"]}


def test_the_figures_are_those_of_status() -> None:
    events = library_events()
    moment = Moment(fold(library(), events).day, events[-1].at)
    assert holds(status(moment, quick_plan(moment), WORDS), library_table())


def test_the_table_is_plain_json_that_comes_back_as_it_was() -> None:
    table = library_table()
    assert json.loads(json.dumps(table, allow_nan=False)) == table


# By hand from the notes of the day: stamps less water contact, and less the stamp before.
BOTH_CLOCKS = [
    ("P1.1", "float", 175.0, "tip", 50.0),
    ("P1.1", "first_trowel", 320.0, "float", 145.0),
    ("P1.1", "second_trowel", 695.0, "first_trowel", 375.0),
    ("P1.1", "edge", 725.0, "second_trowel", 30.0),
    ("P2.2", "first_trowel", 340.0, "float", 150.0),
    ("P4.4", "broom", 610.0, "first_trowel", 220.0),
    ("P4.4", "edge", 430.0, "first_trowel", 40.0),
]


@pytest.mark.parametrize(("batch", "name", "age_s", "before", "gap_s"), BOTH_CLOCKS)
def test_a_pass_stands_on_both_clocks(batch: str, name: str, age_s: float, before: str, gap_s: float) -> None:
    found = passes_of(library_table(), batch)[name]
    assert (found["age_from_water_s"], found["gap_from"], found["gap_s"]) == (age_s, before, gap_s)


@pytest.mark.parametrize(("batch", "stretch"), [("N0.1", 1.0), ("N1.1", 2.0)])
def test_set_age_is_the_watch_at_the_reference_temperature_over_the_stretch(
    batch: str, stretch: float
) -> None:
    """ASTM C1074: at the reference temperature equivalent age is age; the card's packet doubles the time."""
    for found in passes_of(mild_table(), batch).values():
        if found["done"]:
            assert found["set_age_min"] * 60.0 * stretch == pytest.approx(found["age_from_water_s"], rel=1e-3)


def test_due_stands_on_both_clocks_as_far_from_the_stamp_as_the_window_says() -> None:
    for batch in library_table()["batches"]:
        for found in batch["passes"]:
            if found["window"] and found["done"]:
                ahead = found["due_age_from_water_s"] - found["age_from_water_s"]
                assert found["due_gap_s"] - found["gap_s"] == pytest.approx(ahead)


def test_a_stamp_is_outside_exactly_where_status_says_so() -> None:
    for batch in library_table()["batches"]:
        for found in batch["passes"]:
            if found["done"] and found["window"]:
                assert (found["outside_s"] == 0.0) is (found["state"] in ("open", "due"))
                assert found["state"] == batch["windows"][found["pass"]]["state"]


def test_every_pass_outside_its_window_is_a_deviation() -> None:
    table = library_table()
    outside = {one["id"] for one in table["batches"] for found in one["passes"] if found["outside_s"]}
    assert outside == {row["batch"] for row in table["deviations"] if row["kind"] in ("early", "late")}
    assert "P3.1" in outside  # by the notes a first trowel six minutes after the tip
    assert {row["batch"] for row in table["deviations"] if row["kind"] == "lost batch"} == {"P4.2", "P7.1"}


def test_the_factor_ends_where_status_has_it_and_each_sign_is_told() -> None:
    table = library_table()
    last = table["rate_factor_through"][-1]
    assert {key: last[key] for key in ("value", "low", "high")} == {
        key: table["rate_factor"][key] for key in ("value", "low", "high")
    }
    assert [row["word"] for row in table["rate_factor_through"]] == [
        None,
        "stiff",
        "ready",
        "not yet",
        "ready",
    ]


def test_the_weather_is_what_was_read_last() -> None:
    """By hand from the notes: slab 52 °F at 12:05, humidity 95 % from 13:01:30 on until the next forecast row."""
    rows = {row["at"]: row for row in library_table()["weather"]}
    assert rows["2026-11-05T18:05:00Z"]["slab_c"] == pytest.approx((52 - 32) / 1.8)
    assert rows["2026-11-05T19:01:30Z"]["humidity"] == pytest.approx(0.95)


def _keys(value: Any) -> set[str]:
    if isinstance(value, dict):
        return set(value).union(*map(_keys, value.values()))
    return set().union(*map(_keys, value)) if isinstance(value, list) else set()


def test_the_clients_version_holds_nothing_of_the_crews_own() -> None:
    full, client = crewed_table(), for_client(crewed_table(), WORDS)
    told = json.dumps(client, ensure_ascii=False)
    own = (*CREW.values(), "drill is worn", "friend", "lumpy", "worn handle", "85.5")
    assert all(text in json.dumps(full, ensure_ascii=False) for text in own if text != CREW["MB"])
    assert not [text for text in own if text in told]
    assert not DROPPED & _keys(client)
    assert "washed the walk" in told
    assert len(client["left_out"]) == 7
    assert full["left_out"] == []


def test_the_clients_version_keeps_what_was_done_and_what_went_wrong_in_it() -> None:
    client = for_client(crewed_table(), WORDS)
    kinds = [row["kind"] for row in client["deviations"]]
    assert {"water", "opened early"} <= set(kinds)
    assert [one["id"] for one in client["batches"]] == ["P1.1"]
    assert client["changes"][0]["agreed_by"] == "KL"


def test_the_care_sheet_names_no_time_for_a_pour_that_is_not_finished() -> None:
    for one in mild_table()["care"]["pours"]:
        assert (one["finished"], one["feet"], one["wheels"]) == (False, None, None)
    assert all(one["feet"] and one["wet_until"] for one in library_table()["care"]["pours"])
