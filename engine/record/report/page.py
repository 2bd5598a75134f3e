"""A report as one HTML page that needs nothing else: no script, no network, black on white, made to be printed."""

from __future__ import annotations

from collections.abc import Iterator

from engine.record.report.document import Block, ByHand, Document, Drawing, Grid, Points, Section
from engine.record.report.markup import Markup, joined, line_of, tag

SHORT, LONGEST_WORD = 14, 16  # letters
WHOLE = 16  # rows of a table that is kept on one page
STYLE = """
@page { margin: 14mm 13mm 16mm; @bottom-right { content: counter(page) " / " counter(pages); font: 8pt sans-serif; } }
* { box-sizing: border-box; }
html { color: #000; background: #fff; }
body { margin: 0 auto; padding: 0 1rem 2rem; max-width: 52rem; font: 10pt/1.38 sans-serif; overflow-wrap: anywhere; }
table.sheet { width: 100%; border-collapse: collapse; table-layout: fixed; }
table.sheet > thead > tr > td { padding: 0 0 .6rem; }
.running { font-size: 8pt; border-bottom: 1px solid #000; padding-bottom: .15rem; }
.mark { font-size: 11pt; font-weight: bold; text-align: center; border: 2px solid #000; padding: .15rem; margin-bottom: .3rem; }
h1 { font-size: 19pt; line-height: 1.15; margin: .2rem 0 .3rem; }
h2 { font-size: 13.5pt; margin: 1.5rem 0 .35rem; break-after: avoid; }
p { margin: .3rem 0 .5rem; break-inside: avoid; }
h2 + p { break-after: avoid; }
ul { margin: .3rem 0 .6rem; padding-left: 1.1rem; }
li { margin: .15rem 0; break-inside: avoid; }
table.grid { border-collapse: collapse; width: 100%; margin: .35rem 0 .8rem; font-size: 8.5pt; line-height: 1.25;
  font-variant-numeric: tabular-nums; }
table.grid caption { text-align: left; font-weight: bold; font-size: 9.5pt; padding: .2rem 0; break-after: avoid; }
table.grid th { text-align: left; vertical-align: bottom; border-bottom: 1.5px solid #000; padding: .15rem .35rem .15rem 0; }
table.grid td { vertical-align: top; border-bottom: 1px solid #bbb; padding: .15rem .35rem .15rem 0; }
table.grid tr { break-inside: avoid; }
table.grid thead { display: table-header-group; }
td, th { overflow-wrap: normal; word-break: normal; }
td.long { overflow-wrap: anywhere; }
td.short { white-space: nowrap; }
table.whole { break-inside: avoid; }
section:last-of-type { break-inside: avoid; }
figure { margin: .4rem 0 .8rem; break-inside: avoid; }
figcaption { font-size: 8.5pt; font-weight: bold; }
svg { display: block; width: 100%; height: auto; }
.by-hand { display: flex; gap: .5rem; margin: 1.3rem 0; break-inside: avoid; }
.by-hand span:last-child { flex: 1; border-bottom: 1px solid #000; }
table.grid tbody tr:nth-last-child(-n+2) { break-before: avoid; }
@media screen { body { padding-top: 1rem; } }
@media screen and (max-width: 44rem) { td.short { white-space: normal; } table.grid { font-size: 7.5pt; } }
@media print {
  body { max-width: none; padding: 0; }
  section.new-page { break-before: page; }
  section.new-page > h2 { margin-top: 0; }
}
"""


def page(report: Document, language: str = "en") -> str:
    """The whole page. Every text of the log is escaped, and kept to one direction of its own."""
    head = tag(
        "head",
        tag("meta", charset="utf-8"),
        tag("meta", name="viewport", content="width=device-width, initial-scale=1"),
        tag("title", report.title),
        tag("style", Markup(STYLE)),
    )
    inside = tag("tr", tag("td", *_body(report)))
    sheet = tag(
        "table",
        tag("thead", tag("tr", tag("td", *_running(report)))),
        tag("tbody", inside),
        class_="sheet",
        role="presentation",
    )
    return f"<!DOCTYPE html>\n{tag('html', head, tag('body', sheet), lang=language)}\n"


def _running(report: Document) -> Iterator[Markup]:
    """What a printed page repeats at its head."""
    if report.mark:
        yield tag("div", report.mark, class_="mark")
    yield tag("div", line_of(report.running), class_="running")


def _body(report: Document) -> Iterator[Markup]:
    yield tag("h1", line_of(report.title))
    for text in report.under:
        yield tag("p", line_of(text))
    for section in report.sections:
        yield _section(section)


def _section(section: Section) -> Markup:
    blocks = (_block(block) for block in section.blocks)
    return tag("section", tag("h2", section.title), *blocks, class_="new-page" if section.new_page else None)


def _block(block: Block) -> Markup:
    if isinstance(block, Grid):
        return _grid(block)
    if isinstance(block, Points):
        return tag("ul", *(tag("li", line_of(item)) for item in block.items))
    if isinstance(block, Drawing):
        return tag("figure", tag("figcaption", block.told), block.svg)
    if isinstance(block, ByHand):
        return tag("div", tag("span", block.label), tag("span"), class_="by-hand")
    return tag("p", line_of(block.text))


def _grid(grid: Grid) -> Markup:
    caption = [tag("caption", grid.caption)] if grid.caption else []
    head = tag("thead", tag("tr", *(tag("th", name, scope="col") for name in grid.head)))
    rows = (tag("tr", *(_cell(cell) for cell in row)) for row in grid.rows)
    kind = "grid whole" if len(grid.rows) <= WHOLE else "grid"
    return tag("table", joined(*caption, head, tag("tbody", *rows)), class_=kind)


def _cell(text: str) -> Markup:
    """Long words break; stamps, days and short words do not, nor does what is short altogether."""
    longest = max((len(word) for word in text.split()), default=0)
    kind = "short" if len(text) <= SHORT else "long" if longest > LONGEST_WORD else None
    return tag("td", line_of(text), class_=kind)
