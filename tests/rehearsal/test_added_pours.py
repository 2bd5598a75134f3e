"""Pours added, divided and given to people on a rehearsed day whose every task takes as long as planned: it comes to its end.

The days are made up; what is held is that an edited queue is called, laid and finished like the one of the job file.
"""

from __future__ import annotations

import pytest

from engine.job.patch_line import read_patch
from engine.pour import intents as i
from tests.rehearsal.test_ways_out import Site

PATCH = "24x18 2.0 1.75 2.25"


@pytest.mark.parametrize("line", [PATCH, f"{PATCH} packets 0 before R2", f"{PATCH} before R2"])
def test_a_patch_added_in_the_morning_is_poured_without_a_miss(line: str) -> None:
    site = Site("community-hall")
    site.do(i.AddPour(read_patch(line, "us")))
    assert site.missed_to_the_end() == []
    batches = site.log.journal.day.batches_of("A1")
    assert len(batches) == 2
    assert len({batch.packets for batch in batches}) == 1


def test_halves_and_people_named_beforehand_are_kept_to() -> None:
    site = Site("community-hall")
    site.do(i.SplitPour("L1"))
    site.do(i.Assign("F", "R2", "finish"))
    site.do(i.Assign("MB", "L1b", "mix"))
    assert site.missed_to_the_end() == []
    day = site.log.journal.day
    assert day.batches_of("R2")[0].stroke("float").who == "F"  # type: ignore[union-attr]
    assert day.batches_of("L1b")[0].mixer == "MB"
    assert day.batches_of("L1")


def test_a_patch_found_while_others_set_comes_last() -> None:
    site = Site("community-hall")
    site.work_until(900.0)
    site.do(i.AddPour(read_patch("Z9 20x18 2 packets 0", "us")))
    assert site.missed_to_the_end() == []
    assert site.log.journal.day.batches[-1].pour == "Z9"
