"""A report as Markdown: headings, tables and lists; drawings are left to the page."""

from __future__ import annotations

from collections.abc import Iterator

from engine.record.report.document import Block, ByHand, Document, Drawing, Grid, Points
from engine.record.report.harmless import in_markdown


def markdown(report: Document) -> str:
    """Every text of the log is escaped: no mark of it acts."""
    return "\n".join(_lines(report)) + "\n"


def _lines(report: Document) -> Iterator[str]:
    if report.mark:
        yield from (f"**{in_markdown(report.mark)}**", "")
    yield from (f"# {in_markdown(report.title)}", "")
    for text in report.under:
        yield from (in_markdown(text), "")
    for section in report.sections:
        yield from (f"## {in_markdown(section.title)}", "")
        for block in section.blocks:
            yield from _block(block)


def _block(block: Block) -> Iterator[str]:
    if isinstance(block, Drawing):
        return
    if isinstance(block, Grid):
        yield from _grid(block)
    elif isinstance(block, Points):
        yield from (f"- {in_markdown(item)}" for item in block.items)
    elif isinstance(block, ByHand):
        yield f"{in_markdown(block.label)} {'.' * 40}"
    else:
        yield in_markdown(block.text)
    yield ""


def _grid(grid: Grid) -> Iterator[str]:
    if grid.caption:
        yield from (f"**{in_markdown(grid.caption)}**", "")
    yield _row(grid.head)
    yield _row(("---",) * len(grid.head), raw=True)
    yield from (_row(row) for row in grid.rows)


def _row(cells: tuple[str, ...], raw: bool = False) -> str:
    return f"| {' | '.join(cell if raw else in_markdown(cell) for cell in cells)} |"
