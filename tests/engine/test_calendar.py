"""Calendar text against RFC 5545, read by a small reader of the test's own."""

from __future__ import annotations

import datetime
import re

import pytest
from hypothesis import given
from hypothesis import strategies as st

from engine.record.calendar import AllDay, calendar

STAMP = datetime.datetime(2026, 11, 5, 9, 30, tzinfo=datetime.timezone(datetime.timedelta(hours=-6)))
DAY = datetime.date(2026, 12, 31)
PRODUCT = "-//repair crew//console//EN"
TEXTS = st.text(st.characters(exclude_categories=["Cs", "Cc"], include_characters="\n\t"), max_size=200)
NAMES = st.text(st.characters(exclude_categories=["Cs", "Cc"]), min_size=1, max_size=60)


def unfolded(text: str) -> list[str]:
    """RFC 5545, 3.1: a line end followed by one blank is taken out; lines end with CR LF."""
    raw = text.encode("utf-8")
    assert raw.endswith(b"\r\n")
    return [line.decode("utf-8") for line in raw.replace(b"\r\n ", b"").split(b"\r\n")[:-1]]


def plain(value: str) -> str:
    """RFC 5545, 3.3.11: a backslash escapes itself, comma, semicolon and a line end."""
    return re.sub(r"\\(.)", lambda m: "\n" if m[1] in "nN" else m[1], value, flags=re.DOTALL)


def events(text: str) -> list[dict[str, str]]:
    """Properties of each event by name; parameters stay with the name."""
    found: list[dict[str, str]] = []
    inside = False
    for line in unfolded(text):
        name, value = line.split(":", 1)
        if (name, value) == ("BEGIN", "VEVENT"):
            found.append({})
            inside = True
        elif (name, value) == ("END", "VEVENT"):
            inside = False
        elif inside:
            assert name not in found[-1], "once for each event"
            found[-1][name] = value
    return found


def written(*given_events: AllDay) -> str:
    return calendar(given_events or (AllDay("a@b", DAY, "Look at P1"),), STAMP, PRODUCT)


def test_a_calendar_holds_what_the_format_asks_for() -> None:
    """RFC 5545: 3.6 and 3.7 for the calendar, 3.6.1 for the event (UID and DTSTAMP once each), 3.8.7.2 for UTC."""
    lines = unfolded(written())
    assert lines[0] == "BEGIN:VCALENDAR"
    assert lines[-1] == "END:VCALENDAR"
    assert lines.count("VERSION:2.0") == 1
    assert f"PRODID:{PRODUCT}" in lines
    (event,) = events(written())
    assert event["UID"] == "a@b"
    assert event["DTSTAMP"] == "20261105T153000Z"
    assert event["SUMMARY"] == "Look at P1"
    assert "DESCRIPTION" not in event


def test_an_event_is_one_whole_day() -> None:
    """RFC 5545, 3.6.1 and 3.8.2.2: DATE values, the end not included; over the end of a year."""
    (event,) = events(written())
    assert event["DTSTART;VALUE=DATE"] == "20261231"
    assert event["DTEND;VALUE=DATE"] == "20270101"


def test_signs_of_the_format_are_escaped() -> None:
    """RFC 5545, 3.3.11, its own example of a text with commas and line ends."""
    (event,) = events(written(AllDay("u", DAY, "a,b;c\\d", 'Sound it\r\nMap hairlines\nphoto: "same" angle')))
    assert event["SUMMARY"] == r"a\,b\;c\\d"
    assert event["DESCRIPTION"] == r'Sound it\nMap hairlines\nphoto: "same" angle'


@pytest.mark.parametrize("length", [66, 67, 68, 140, 141, 142, 300])
def test_lines_are_folded_at_seventy_five_octets(length: int) -> None:
    """RFC 5545, 3.1; `SUMMARY:` takes eight."""
    text = written(AllDay("u", DAY, "x" * length))
    physical = text.encode().split(b"\r\n")
    assert max(map(len, physical)) <= 75
    assert events(text)[0]["SUMMARY"] == "x" * length
    summary = [line for line in physical if line.lstrip(b" ").startswith((b"SUMMARY", b"x"))]
    assert len(summary) == 1 + max(0, -(-(length + 8 - 75) // 74))


@given(NAMES, TEXTS, TEXTS)
def test_any_text_comes_back_as_it_was(uid: str, summary: str, description: str) -> None:
    """Folding never cuts a character in two, and every line stays short."""
    text = written(AllDay(uid, DAY, summary, description))
    for line in text.encode("utf-8").split(b"\r\n"):
        assert len(line) <= 75
        line.decode("utf-8")
    (event,) = events(text)
    assert plain(event["UID"]) == uid
    assert plain(event["SUMMARY"]) == summary
    assert plain(event.get("DESCRIPTION", "")) == description
    assert "\n" not in text.replace("\r\n", "")


def test_events_keep_their_order() -> None:
    uids = [f"u{n}@here" for n in range(5)]
    text = written(*(AllDay(uid, DAY, "x") for uid in uids))
    assert [event["UID"] for event in events(text)] == uids


def test_the_same_visits_at_the_same_moment_give_the_same_text() -> None:
    assert written() == written()


@pytest.mark.parametrize(
    ("given_events", "stamp", "match"),
    [
        ([], STAMP, "at least one"),
        ([AllDay("u", DAY, "a"), AllDay("u", DAY, "b")], STAMP, "uid of its own"),
        ([AllDay("u", DAY, "a")], datetime.datetime(2026, 11, 5), "time zone"),
        ([AllDay("u", DAY, "bell \x07")], STAMP, "control"),
        ([AllDay("u\x00", DAY, "a")], STAMP, "control"),
    ],
)
def test_what_cannot_be_written_is_refused(
    given_events: list[AllDay], stamp: datetime.datetime, match: str
) -> None:
    with pytest.raises(ValueError, match=match):
        calendar(given_events, stamp, PRODUCT)
