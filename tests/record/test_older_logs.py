"""Logs begun by an older program: practice values that came since stand as shipped, those written stay as written."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest

from engine import console
from engine.job.files import shipped_practice, with_later_practice
from engine.job.model import Practice
from engine.record.store import read_log
from engine.record.written import events_of
from tests.pour.driving import library
from tests.rehearsal.jobs import WORDS

OLDER = sorted((Path(__file__).parents[1] / "data" / "logs" / "older").glob("*.jsonl"))
CAME_LATER = {"learning.second_look", "learning.mix_off", "learning.slab_off"}


@pytest.mark.parametrize("log", OLDER, ids=lambda log: log.stem)
def test_an_older_log_is_still_understood(log: Path) -> None:
    job, events, _ = events_of(read_log(log).lines, str(log))
    assert not CAME_LATER & set(dict(events[0].body.job.practice.values))  # type: ignore[attr-defined]
    assert set(dict(job.practice.values)) >= CAME_LATER
    found = console.status(log, None, WORDS)
    assert found["rate_factor"]["observations"] > 0
    assert console.verify(log, WORDS)["whole"]
    assert len(console.replay_list(log, WORDS)) == len(events)


def test_what_a_log_wrote_stays_and_what_it_lacks_stands_as_shipped() -> None:
    own = tuple(
        (key, 0.5 if key == "call.slower_work" else number) for key, number in library().practice.values
    )
    older = replace(library(), practice=Practice(tuple(v for v in own if v[0] not in CAME_LATER)))
    found = dict(with_later_practice(older).practice.values)
    shipped = {value.key: value.number for value in shipped_practice()}
    assert found["call.slower_work"] == 0.5
    assert {key: found[key] for key in CAME_LATER} == {key: shipped[key] for key in CAME_LATER}


def test_a_log_that_has_every_value_is_taken_as_it_is() -> None:
    assert with_later_practice(library()) is library()
