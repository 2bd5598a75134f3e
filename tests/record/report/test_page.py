"""The page: well formed, whole in itself, every text of the log escaped, drawings that stand where the stamps are."""

from __future__ import annotations

import html
import re
from datetime import datetime
from typing import Any, get_args
from zoneinfo import ZoneInfo

import pytest

from engine.pour.events import StrokeName
from engine.record.report.apart import Kind
from engine.record.report.client import LEFT_OUT, for_client
from engine.record.report.harmless import clean
from engine.record.report.page import page
from engine.record.report.sheet import document
from tests.record.report.given import (
    EVIL,
    HEBREW,
    WORDS,
    crewed_table,
    hostile_table,
    library_table,
    made_up_table,
    mild_table,
)
from tests.record.report.read import Page, drawings, stamps_in

DAYS = {
    "library": library_table,
    "made up": made_up_table,
    "crewed": crewed_table,
    "hostile": hostile_table,
    "mild": mild_table,
}
OUTSIDE = re.compile(r"https?:|src=|href=|@import|url\(|<script|<link|<iframe|<img|<object", re.IGNORECASE)
ZONE = ZoneInfo("America/Chicago")


def page_of(day: str, client: bool = False) -> str:
    table = DAYS[day]()
    return page(document(for_client(table, WORDS) if client else table, WORDS))


@pytest.mark.parametrize("client", [False, True])
@pytest.mark.parametrize("day", DAYS)
def test_a_page_is_well_formed_and_needs_nothing_else(day: str, client: bool) -> None:
    text = page_of(day, client)
    read = Page(text)
    own = text.replace('xmlns="http://www.w3.org/2000/svg"', "").replace(html.escape(clean(EVIL)), "")
    assert not OUTSIDE.search(own)
    assert not {tag for tag, _ in read.tags} & {"script", "link", "img", "iframe", "object", "a", "b", "form"}
    assert not [name for _, attributes in read.tags for name in attributes if name.startswith("on")]


@pytest.mark.parametrize(
    "broken", ["<p>", "<p></b>", "<ul><li></ul></li>", "<p a='1' a='2'></p>", "<div/>", "</p>"]
)
def test_the_reader_of_these_tests_refuses_what_is_not_well_formed(broken: str) -> None:
    with pytest.raises(ValueError, match=r"closed|twice|itself"):
        Page(broken)


@pytest.mark.parametrize("day", DAYS)
def test_every_drawing_is_xml_with_a_title_of_its_own(day: str) -> None:
    for drawing in drawings(page_of(day)):
        title = drawing.find("{http://www.w3.org/2000/svg}title")
        assert title is not None
        assert title.text


def test_hostile_text_stands_on_the_page_as_text_in_every_field() -> None:
    text, shown = page_of("hostile"), clean(EVIL)
    assert text.count(html.escape(shown)) >= 14
    assert EVIL not in text
    cells = [cell for table in Page(text).tables for row in table for cell in row]
    assert any(cell == shown for cell in cells)


def test_no_mark_turns_the_direction_of_the_page_and_right_to_left_text_keeps_to_itself() -> None:
    text = page_of("hostile")
    assert not re.search("[\u0000-\u0008\u000b-\u001f\u007f\u200e\u200f\u202a-\u202e\u2066-\u2069]", text)
    assert f"<bdi>{HEBREW} " in text
    at = [found.start() for found in re.finditer(HEBREW, text)]
    assert at
    assert all(text.rfind("<bdi>", 0, place) > text.rfind("</bdi>", 0, place) for place in at)


def local(iso: str | None, form: str = "%H:%M") -> str:
    return "–" if iso is None else datetime.fromisoformat(iso).astimezone(ZONE).strftime(form)


def test_openings_on_the_page_are_those_of_status() -> None:
    rows = Page(page_of("library")).table("pour", "where", "feet from")
    expected = [
        [pour["id"], *(local(pour[key]) for key in ("feet", "wheels", "initial_set", "final_set"))]
        for pour in library_table()["pours"]
    ]
    assert [[row[0], *row[2:6]] for row in rows] == expected


def test_passes_on_the_page_are_those_of_the_table() -> None:
    rows = Page(page_of("library")).table("batch", "pass", "stamp")
    stamps = [
        (batch["id"], local(found["done"], "%H:%M:%S"))
        for batch in library_table()["batches"]
        for found in batch["passes"]
    ]
    assert [(row[0], row[2]) for row in rows] == stamps


def _seconds(iso: str) -> float:
    at = datetime.fromisoformat(iso).astimezone(ZONE)
    return at.hour * 3600.0 + at.minute * 60.0 + at.second


def test_stamps_are_drawn_where_the_axis_has_their_time() -> None:
    found = {one[0].text: one for one in drawings(page_of("library"))}
    for pour in ("P1", "P3", "P4"):
        drawn = stamps_in(found[f"{pour}: batches and passes"])
        batches: list[dict[str, Any]] = [
            one for one in library_table()["batches"] if one["pour"] == pour and one["passes"]
        ]
        given = [_seconds(one["tipped"]) for one in batches]
        given += [_seconds(done["done"]) for one in batches for done in one["passes"]]
        assert drawn == pytest.approx(sorted(given), abs=1.5)


def test_a_made_up_day_says_so_at_the_head_of_every_page() -> None:
    """What stands in the head of the outer table is repeated on every printed page."""
    text = page_of("made up")
    head = text[text.index("<thead>") : text.index("</thead>")]
    assert "REHEARSAL" in head
    assert "REHEARSAL" not in page_of("library")


def test_the_page_prints_on_either_paper() -> None:
    text = page_of("library")
    assert "@page" in text
    assert not re.search(r"[^-]size:", text)  # the printer's paper, A4 or letter
    assert "break-inside: avoid" in text


@pytest.mark.parametrize("day", DAYS)
def test_nothing_is_called_safe_approved_or_guaranteed(day: str) -> None:
    assert not re.search(r"\b(safe|safely|approved|guaranteed?)\b", page_of(day), re.IGNORECASE)


def test_both_versions_carry_cautions_and_the_care_sheet() -> None:
    for client in (False, True):
        text = html.unescape(page_of("library", client))
        assert all(caution in text for caution in library_table()["cautions"])
        assert "No de-icer in the first winter" in text


def test_every_kind_of_deviation_and_every_pass_has_its_words() -> None:
    assert not [kind for kind in get_args(Kind) if f"report.apart.{kind.replace(' ', '_')}" not in WORDS]
    assert not [name for name in ("tip", *get_args(StrokeName)) if f"report.pass.{name}" not in WORDS]
    assert not [name for name in LEFT_OUT if f"report.left_out.{name}" not in WORDS]


def test_the_clients_page_says_what_was_left_out() -> None:
    assert "Left out of this version: names of the crew; notes marked internal" in page_of(
        "crewed", client=True
    )
    assert "Left out" not in page_of("crewed")
