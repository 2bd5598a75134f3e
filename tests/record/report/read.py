"""A strict reader of the report's pages, on the standard library's parsers alone."""

from __future__ import annotations

import re
from html.parser import HTMLParser
from xml.etree import ElementTree

VOID = {"meta", "br"}
SVG = "{http://www.w3.org/2000/svg}"


class Page(HTMLParser):
    """Every tag closed in order, every table as rows of cell texts. Raises `ValueError` where tags do not match."""

    def __init__(self, text: str) -> None:
        super().__init__(convert_charrefs=True)
        self.open: list[str] = []
        self.tags: list[tuple[str, dict[str, str | None]]] = []
        self.tables: list[list[list[str]]] = []
        self._depth: list[list[list[str]]] = []
        self.feed(text)
        self.close()
        if self.open:
            raise ValueError(f"never closed: {self.open}")

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        if len(attrs) != len(dict(attrs)):
            raise ValueError(f"an attribute twice on {tag}")
        self.tags.append((tag, dict(attrs)))
        if tag not in VOID:
            self.open.append(tag)
        if tag == "table":
            self._depth.append([])
        elif tag == "tr":
            self._depth[-1].append([])
        elif tag in ("td", "th"):
            self._depth[-1][-1].append("")

    def handle_startendtag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        if tag not in VOID:
            raise ValueError(f"{tag} closes itself")
        self.tags.append((tag, dict(attrs)))

    def handle_endtag(self, tag: str) -> None:
        if not self.open or self.open[-1] != tag:
            raise ValueError(f"{tag} closed while {self.open[-1:]} is open")
        self.open.pop()
        if tag == "table":
            self.tables.append(self._depth.pop())

    def handle_data(self, data: str) -> None:
        if {"td", "th"} & set(self.open) and self._depth and self._depth[-1] and self._depth[-1][-1]:
            self._depth[-1][-1][-1] += data

    def table(self, *head: str) -> list[list[str]]:
        """The rows below a head that begins with these cells."""
        for table in self.tables:
            if table and table[0][: len(head)] == list(head):
                return table[1:]
        raise KeyError(head)


def drawings(text: str) -> list[ElementTree.Element]:
    """Each inline drawing, read as XML."""
    return [ElementTree.fromstring(found) for found in re.findall(r"<svg.*?</svg>", text, re.DOTALL)]


def stamps_in(drawing: ElementTree.Element) -> list[float]:
    """Seconds since midnight of every dot and cross, by the drawing's own axis: a second way to where they stand."""
    texts = [(float(t.attrib["x"]), t.text or "") for t in drawing.iter(f"{SVG}text")]
    ticks = [(x, _seconds(text)) for x, text in texts if re.fullmatch(r"\d\d:\d\d", text) and x < 655.0]
    (x_1, t_1), (x_2, t_2) = ticks[0], ticks[-1]
    per_x = (t_2 - t_1) / (x_2 - x_1)
    dots = [float(dot.attrib["cx"]) for dot in drawing.iter(f"{SVG}circle")]
    arms = [line.attrib for line in drawing.iter(f"{SVG}line") if line.attrib["stroke-width"] == "2"]
    crosses = {(float(arm["x1"]) + float(arm["x2"])) / 2.0 for arm in arms}
    return sorted(t_1 + (x - x_1) * per_x for x in [*dots, *crosses])


def _seconds(clock: str) -> float:
    hours, minutes = clock.split(":")
    return int(hours) * 3600.0 + int(minutes) * 60.0
