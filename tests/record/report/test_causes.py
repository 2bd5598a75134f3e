"""The seconds of what was missed stand in the report as they were split, and not in the client's."""

from __future__ import annotations

from engine.record.causes import causes_of, missed_table
from engine.record.replaying.predicted import predicted_table
from engine.record.report.client import for_client
from engine.record.report.figures import figures
from engine.record.report.page import page
from engine.record.report.sheet import document
from tests.record.causes.made import as_planned, later, log, small
from tests.record.causes.test_one_cause import _stroke
from tests.record.report.given import WORDS

JOB = small("P1", "P4")
EVENTS = log(JOB, later(as_planned(JOB), 400.0, _stroke("P1.1", "second_trowel")))
AT = EVENTS[-1].at


def test_the_report_holds_what_was_missed_and_every_window_foretold() -> None:
    table = figures(JOB, EVENTS, AT, WORDS)
    assert table["causes"] == missed_table(causes_of(JOB, EVENTS, AT), WORDS)
    assert table["causes"]
    assert table["foretold"] == predicted_table(JOB, EVENTS)


def test_the_page_tells_the_seconds_and_the_clients_page_does_not() -> None:
    full = figures(JOB, EVENTS, AT, WORDS)
    text = full["causes"][0]["text"]
    assert text in page(document(full, WORDS))
    client = for_client(full, WORDS)
    assert "causes" not in client
    assert text not in page(document(client, WORDS))
