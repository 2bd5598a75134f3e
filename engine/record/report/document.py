"""A report as sections of plain blocks, the same for a page and for Markdown."""

from __future__ import annotations

from dataclasses import dataclass

from engine.record.report.markup import Markup


@dataclass(frozen=True)
class Grid:
    """A table; every cell is a text. `caption` empty: none."""

    head: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]
    caption: str = ""


@dataclass(frozen=True)
class Points:
    items: tuple[str, ...]


@dataclass(frozen=True)
class Line:
    """A paragraph."""

    text: str


@dataclass(frozen=True)
class Drawing:
    """An inline drawing, and what it shows in words."""

    svg: Markup
    told: str


@dataclass(frozen=True)
class ByHand:
    """A line to be filled in by hand."""

    label: str


Block = Grid | Points | Line | Drawing | ByHand


@dataclass(frozen=True)
class Section:
    title: str
    blocks: tuple[Block, ...]
    new_page: bool = False


@dataclass(frozen=True)
class Document:
    """`running` stands at the head of every printed page, `mark` there too where the day is made up."""

    title: str
    under: tuple[str, ...]
    running: str
    mark: str
    sections: tuple[Section, ...]
