"""The whole report in its order, ending with the care sheet and the cautions."""

from __future__ import annotations

from collections.abc import Iterator

from engine.record.report import beside, work
from engine.record.report.document import ByHand, Document, Line, Points, Section
from engine.record.report.shown import NOTHING, Shown, Table, shown
from engine.record.report.work import filled, grid, together
from engine.words import Words


def document(table: Table, words: Words) -> Document:
    """A table as sections of blocks, in the units and the zone of its job."""
    spoken = shown(table, words)
    version = spoken.word(f"version.{table['version']}")
    mark = spoken.word("mark") if table["rehearsal"] else ""
    return Document(
        title=table["job"],
        under=tuple(_under(table, version, spoken)),
        running=f"{table['job']}, {table['date']}, {version}",
        mark=mark,
        sections=tuple(section for section in _sections(table, spoken) if section.blocks),
    )


def _under(table: Table, version: str, spoken: Shown) -> Iterator[str]:
    clock = spoken.clock(table["at"])
    yield spoken.words(
        "report.under",
        date=table["date"],
        version=version,
        clock=clock,
        zone=table["time_zone"],
        program=table["program"],
    )
    if table["left_out"]:
        yield spoken.words("report.without", what="; ".join(table["left_out"]))
    if table.get("torn_tail"):
        yield spoken.word("torn_tail")


def _sections(table: Table, spoken: Shown) -> Iterator[Section]:
    yield work.poured(table, spoken)
    yield beside.opening(table, spoken)
    yield beside.deviations(table, spoken)
    yield beside.changes(table, spoken)
    yield work.time_lines(table, spoken)
    yield work.both_clocks(table, spoken)
    yield work.bags(table, spoken)
    yield beside.weather(table, spoken)
    yield beside.factor(table, spoken)
    yield beside.checks(table, spoken)
    yield beside.bags_used(table, spoken)
    yield from beside.notes(table, spoken)
    yield _care(table["care"], table["at"], spoken)
    yield Section(spoken.word("title.cautions"), (Points(tuple(table["cautions"])),))


def _care(care: Table, at: str, spoken: Shown) -> Section:
    """Plain words on a page of their own, to be handed over."""
    names = ("pour", "where", "wet_again", "wet_until", "cover", "feet", "wheels", "coating_from")
    rows = [_cared(one, at, spoken) for one in care["pours"]]
    nights = together((one["pour"], one["first_night"]) for one in care["pours"])
    visits = [(one["day"] or spoken.word("no_day"), one["title"]) for one in care["visits"]]
    hand = (ByHand(spoken.word(f"by_hand.{name}")) for name in ("call", "handed_over"))
    return Section(
        spoken.word("title.care"),
        (
            Line(spoken.word("text.care")),
            *filled(spoken, "", names, rows),
            Points(tuple(care["points"])),
            *(block for block in (Line(spoken.word("text.first_night")), Points(nights)) if nights),
            *grid(spoken, spoken.word("caption.visits"), ("day", "visit"), visits),
            *hand,
        ),
        new_page=True,
    )


def _cared(one: Table, at: str, spoken: Shown) -> tuple[str, ...]:
    again = one["wet_again"] if one["wet_again"] and one["wet_again"] > at else None
    times = {key: spoken.clock(one[key]) for key in ("wet_until", "feet", "wheels")}
    return (
        one["pour"],
        one["where"] or NOTHING,
        spoken.clock(again),
        times["wet_until"] if one["finished"] else spoken.word("not_finished"),
        spoken.says("choice", one["cover"]),
        times["feet"],
        times["wheels"],
        spoken.day(one["coating_from"]),
    )
