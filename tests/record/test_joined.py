"""Logs of one day joined: nothing lost, spans kept, clashes renamed, the gap shown. Expected: each log folded by itself."""

from __future__ import annotations

import dataclasses
import io
from collections.abc import Callable
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from engine.job.patch_line import read_patch
from engine.pour import intents as i
from engine.pour.events import KINDS
from engine.pour.journal import Journal, fold
from engine.pour.state import Batch
from engine.record.interleaved import blocks, interleaved
from engine.record.joined import Joined, joined
from engine.record.renamed import NAMES, NUMBERS
from engine.record.same_day import Part
from engine.record.store import MemoryStore
from engine.record.verified import verify
from engine.record.written import events_of
from tests.record.machines import (
    START,
    Machine,
    first_machine,
    lines_of,
    second_machine,
)


def day_of(found: Joined) -> Journal:
    job, events, _ = events_of(MemoryStore(found.whole).contents.lines, "joined")
    return fold(job, events)


def keys(found: Joined) -> list[str]:
    return [said.key for said in found.told]


@pytest.fixture
def first() -> Machine:
    return first_machine()


@pytest.fixture
def second() -> Machine:
    return second_machine()


def test_a_second_machine_goes_on_with_the_next_numbers_and_the_gap_is_a_line(
    first: Machine, second: Machine
) -> None:
    found = joined([second.part, first.part])
    day = day_of(found).day
    assert [batch.id for batch in day.batches] == ["P2.1", "P2.2", "P2.3"]
    assert [sign.subject for sign in day.signs] == ["P2.3"]
    assert found.renamed == (("second.jsonl", "P2.1", "P2.3"),)
    marker = lines_of(found)[len(first.lines)]
    assert marker.kind == "log joined"
    assert marker.data["first_at"] - marker.data["last_at"] == pytest.approx(900 - 130)
    assert marker.data["runs"] == [[len(first.lines) + 1, 1, len(second.lines)]]
    assert found.gaps[0].overlaps is False
    assert keys(found) == ["joined.wet"]


def test_who_how_and_stamps_stay_as_they_were_written(first: Machine, second: Machine) -> None:
    lines = lines_of(joined([first.part, second.part]))
    was = [*first.lines, *second.lines]
    assert [(one.stamp, one.who, one.how, one.assumed, one.at) for one in lines] == [
        (one.stamp, one.who, one.how, one.assumed, one.at) for one in was
    ]
    assert [one.seq for one in lines] == list(range(1, len(was) + 1))


def test_a_joined_log_is_whole_and_odd_in_nothing(first: Machine, second: Machine) -> None:
    verified = verify(io.BytesIO(joined([first.part, second.part]).whole), "joined")
    assert verified.whole
    assert verified.remarks == ()


def test_an_undo_and_a_shift_speak_of_the_same_lines_as_before(first: Machine, second: Machine) -> None:
    second.do(i.StampStroke("float", "P2.1", "F"), i.Undo(), after_s=20)
    second.do(i.StampStroke("float", "P2.1", "F"), i.Shift(-5.0), after_s=20)
    floated = day_of(joined([first.part, second.part])).day.batch("P2.3").strokes
    assert [stroke.at for stroke in floated] == [second.clock.stamp().wall - 5.0]


def test_bags_called_on_a_machine_that_died_are_called_no_more(first: Machine, second: Machine) -> None:
    first.do(i.CallBag("P3"), after_s=5)
    found = joined([first.part, second.part])
    assert "joined.still_called" in keys(found)
    assert day_of(found).day.called == ()


def test_batches_wet_at_one_time_in_both_are_told_since_they_may_be_one(first: Machine) -> None:
    beside = Machine("beside.jsonl", START + 30.0)
    beside.batch("P2", 1)
    found = joined([first.part, beside.part])
    assert {"joined.twice", "joined.both_at_once"} <= set(keys(found))


def test_a_split_on_both_machines_makes_two_rests(first: Machine, second: Machine) -> None:
    for machine in (first, second):
        machine.do(i.SplitPour("P2", 0.5), after_s=5)
        machine.do(i.AddWater("P2b", "MA"), after_s=5)
    found = joined([first.part, second.part])
    day = day_of(found).day
    assert [pour.id for pour in day.pours if pour.id.startswith("P2")] == ["P2", "P2c", "P2b"]
    assert [batch.id for batch in day.batches][-1] == "P2c.1"
    assert "joined.split_twice" in keys(found)


def test_a_patch_added_on_both_machines_is_two_pours(first: Machine, second: Machine) -> None:
    for machine, size in ((first, "24x18 2"), (second, "30x10 2")):
        machine.do(i.AddPour(read_patch(size, "us")), after_s=5)
        machine.do(i.AddWater("A1", "MA"), after_s=5)
    day = day_of(joined([first.part, second.part])).day
    added = [pour for pour in day.pours if pour.id.startswith("A")]
    assert sorted(pour.id for pour in added) == ["A1", "A2"]
    assert sorted(pour.length_m or 0.0 for pour in added) == pytest.approx([24 * 0.0254, 30 * 0.0254])
    assert {batch.id for batch in day.batches} >= {"A1.1", "A2.1"}


def test_a_wall_clock_that_jumped_on_the_first_machine_moves_the_second_with_it(first: Machine) -> None:
    first.clock.step_wall(40.0)
    first.do(i.WriteNote("late"), after_s=10)
    second = Machine("second.jsonl", first.clock.stamp().wall + 600.0)
    second.batch("P2", 1)
    found = joined([first.part, second.part])
    waters = {batch.id: batch.water_at for batch in day_of(found).day.batches}
    assert waters["P2.3"] == pytest.approx(second.lines[0].stamp.wall - 40.0)
    assert "joined.clock" in keys(found)


def test_a_joined_log_can_be_joined_again(first: Machine, second: Machine) -> None:
    third = Machine("third.jsonl", START + 3000.0)
    third.batch("P2", 1)
    once = joined([first.part, second.part])
    twice = joined([third.part, Part("once.jsonl", lines_of(once))])
    at_once = joined([third.part, second.part, first.part])
    assert lines_of(twice) == lines_of(at_once)


ACTIONS: list[Callable[[Machine], None]] = [
    lambda m: m.do(i.AddWater("P2", "MA"), after_s=7),
    lambda m: m.do(i.AddWater("P1", "MB"), after_s=40),
    lambda m: m.do(i.CallBag("P2"), after_s=3),
    lambda m: m.do(i.Undo(), after_s=4),
    lambda m: m.do(i.Undo(), i.Undo()),
    lambda m: m.do(i.Shift(-5.0), after_s=9),
    lambda m: [m.do(i.StampMixed(b.id), after_s=20) for b in _last(m)],
    lambda m: [m.do(i.StampTipped(b.id), after_s=20) for b in _last(m)],
    lambda m: [m.do(i.StampStroke("float", b.id, "F"), after_s=30) for b in _last(m)],
    lambda m: [m.do(i.SeeStillMoves(b.id), after_s=5) for b in _last(m)],
    lambda m: [m.do(i.LoseBatch(b.id, "stiff"), after_s=5) for b in _last(m)],
    lambda m: m.do(i.StampTipped("P3", source="P2.1"), after_s=5),
    lambda m: m.do(i.StartTrial(), after_s=5),
]  # fmt: skip


def _last(machine: Machine) -> tuple[Batch, ...]:
    return machine.day.journal.day.batches[-1:]


def spans(batch: Batch) -> list[Any]:
    """What a batch went through, counted from its water."""
    marks = [batch.mixed_at, batch.tipped_at, batch.lost_at, *(stroke.at for stroke in batch.strokes)]
    return [batch.pour, batch.mixer, *(mark and round(mark - batch.water_at, 6) for mark in marks)]


@settings(max_examples=25)
@given(
    script=st.lists(st.tuples(st.integers(0, 1), st.integers(0, len(ACTIONS) - 1)), min_size=4, max_size=40),
    late_s=st.sampled_from([0.0, 30.0, 30.0, 5000.0]),
)
def test_every_batch_of_every_log_is_in_the_joined_one_with_its_spans(
    script: list[tuple[int, int]], late_s: float
) -> None:
    machines = [Machine("a", START), Machine("b", START + late_s)]
    for number, action in script:
        if late_s < 5000.0:
            machines[number].wait_for(machines[1 - number])
        ACTIONS[action](machines[number])
    found = joined([machine.part for machine in machines])
    day = day_of(found).day
    apart = [machine.day.journal.day for machine in machines]
    assert sorted(map(repr, map(spans, day.batches))) == sorted(
        repr(spans(batch)) for one in apart for batch in one.batches
    )
    ids = [batch.id for batch in day.batches]
    assert len(set(ids)) == len(ids)
    assert len({trial.id for trial in day.trials}) == sum(len(one.trials) for one in apart)
    assert len(day.signs) == sum(len(one.signs) for one in apart)
    assert verify(io.BytesIO(found.whole), "joined").whole


def test_nothing_comes_between_a_line_and_the_undo_of_it(first: Machine) -> None:
    beside = Machine("beside.jsonl", START + 125.0)
    beside.do(i.AddWater("P1", "MA"), after_s=2)
    first.do(i.Undo(), after_s=60)
    order = interleaved([first.lines, beside.lines])
    held = [place for place, (log, _) in enumerate(order) if log == 0][-2:]
    assert held[1] == held[0] + 1
    assert [block.last - block.first for block in blocks(first.lines)][-1] == 1


AS_IT_IS = """
    ago_s air_c area_m2 bags bags_c bevel_run_m by_s clear_width_m coat cover cross cross_off day
    depths_before_m depths_m dry_ahead_s dry_for_s edges felt finish first_at gap_m grit heard height_m
    high humidity ice_kg initials job label_age_s landing_m last_at length_m lines log look lot low made_up
    mass_kg mix mix_c name observations of outline_m overlaps packets person ph price program projection_m
    radius_m reason rise_m running running_off runs share sheet_damp sheet_s sizes_m skill slab_c
    spot station station_ms sun surface_c text ticks to upright_m use value visit water_c water_l when
    why width_m wind_ms word
"""  # fields that joining leaves alone


def test_every_field_that_names_a_batch_or_counts_a_line_is_known_to_the_joining() -> None:
    """A new field must be put into `NAMES` or `NUMBERS` of engine/record/renamed.py, or here, where it stays as it is."""
    fields = {field.name for kind in KINDS.values() for field in dataclasses.fields(kind)}
    unknown = sorted(fields - NAMES - NUMBERS - set(AS_IT_IS.split()))
    assert not unknown, (
        f"say of {unknown} whether `join` must rename it: engine/record/renamed.py, or this test"
    )
