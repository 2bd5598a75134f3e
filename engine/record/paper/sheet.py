"""A day on paper as one HTML page that needs nothing else: no script, no network, black on white."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from engine.record.paper import room as r
from engine.record.paper.parts import (
    caution_text,
    line_part,
    queue_part,
    shown_reasons,
    stamp_part,
    text_part,
    title,
    window_parts,
)
from engine.record.paper.room import Paper, Part, Room
from engine.record.paper.style import style
from engine.record.report.markup import Markup, tag
from engine.record.report.shown import Shown, Table, shown
from engine.words import Words


def sheet(table: dict[str, Any], words: Words, paper: Paper, language: str = "en") -> str:
    """The whole page, every text of the job escaped; the same table gives the same bytes."""
    spoken = shown(table, words)
    laid = laid_out(table, spoken, paper)
    body = (
        tag("section", title(table, spoken, n, len(laid)), *side, class_="side")
        for n, side in enumerate(laid, 1)
    )
    head = tag(
        "head",
        tag("meta", charset="utf-8"),
        tag("meta", name="viewport", content="width=device-width, initial-scale=1"),
        tag("title", table["job"]),
        tag("style", Markup(style(paper))),
    )
    return f"<!DOCTYPE html>\n{tag('html', head, tag('body', *body), lang=language)}\n"


def laid_out(table: Table, spoken: Shown, paper: Paper) -> tuple[tuple[Markup, ...], ...]:
    """What stands on each side: one, unless crew and queue are too long for it."""
    around_mm = r.TITLE_MM + sum(_height_mm(part) for part in _parts(table, spoken, Room(0.0, 0)))
    room = r.room_on(paper, around_mm, len(table["batches"]))
    return r.sides(_parts(table, spoken, room), paper)


def _height_mm(part: Part) -> float:
    return part.head_mm + sum(row_mm for row_mm, _ in part.rows)


def _parts(table: Table, spoken: Shown, room: Room) -> Iterator[Part]:
    yield from text_part(shown_reasons(table, spoken), "warning")
    yield queue_part(table, spoken)
    yield stamp_part(table, spoken, room.stamp_mm)
    yield from window_parts(table, spoken)
    yield line_part(table, spoken, room.lines)
    yield from text_part(caution_text(table, spoken), "cautions")
