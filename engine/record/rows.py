"""The raw lines of a log put to the chain: which of them do not follow, and what each of those looks like."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import BinaryIO, Literal

from engine.record.lines import FIRST_HASH, HASH_DIGITS, LONGEST_LINE, Line, chained, line_in, unsealed
from engine.record.store import FILLING

ChainFault = Literal["half", "too_long", "hash", "again", "moved", "missing", "changed", "number"]
_BEGINS = b'{"seq":'
_AFTER = len(b'"}\n')
_HASH_ENDS = (
    HASH_DIGITS + _AFTER
)  # where a hash stands from the end of a line, whatever became of the marks around it


@dataclass(frozen=True)
class Row:
    """One line as it stands in the file, counted from 1.

    `body` is what its hash was taken of, None for half a line, whose `written` is what stands where a hash would.
    `line` is None where it cannot be read; `why` then says why.
    """

    number: int
    raw: bytes
    body: bytes | None
    written: str
    line: Line | None
    why: str = ""

    @property
    def claims(self) -> int:
        """The number it gives itself; 0 where it cannot be read."""
        return self.line.seq if self.line else 0


def rows_of(stream: BinaryIO) -> tuple[list[Row], bytes]:
    """All lines, and the torn tail: half a line with nothing but filling behind it, or that filling alone."""
    raws = list(_raws(stream))
    tail = b""
    while raws and not raws[-1].strip(FILLING):
        tail = raws.pop() + tail
    rows = [_row(number, raw) for number, raw in enumerate(raws, start=1)]
    if rows and rows[-1].body is None and len(rows[-1].raw) <= LONGEST_LINE:
        tail = rows.pop().raw + tail
    return rows, tail


def _raws(stream: BinaryIO) -> Iterator[bytes]:
    """Lines, no longer than one byte more than a line may be; the rest of such a one is passed over."""
    while raw := stream.readline(LONGEST_LINE + 1):
        yield raw
        while len(raw) > LONGEST_LINE and not raw.endswith(b"\n"):
            raw = stream.readline(LONGEST_LINE + 1)


def _row(number: int, raw: bytes) -> Row:
    try:
        body, written = unsealed(raw)
    except ValueError as why:
        return Row(number, raw, None, raw[-_HASH_ENDS:-_AFTER].decode("latin-1"), None, str(why))
    if not raw.startswith(_BEGINS):
        return Row(number, raw, body, written, None, "it does not begin as one")
    try:
        return Row(number, raw, body, written, line_in(body))
    except ValueError as why:
        return Row(number, raw, body, written, None, str(why))


def chain_faults(rows: Sequence[Row]) -> dict[int, ChainFault]:
    """Rows that do not follow, by their number in the file.

    Behind a row that does not follow, the next may follow on its hash as written or as it should have been: the
    chain is taken up again there, so that every fault is named where it stands and only there.
    """
    links = list(_links(rows))
    judge = _Judge(rows, links)
    return {row.number: fault for row in rows if (fault := judge.fault(row))}


_Link = Literal[
    "", "written", "reckoned", "unknown"
]  # what a row follows on: the hash before it as written, or as due


def _links(rows: Sequence[Row]) -> Iterator[_Link]:
    written, reckoned, known = FIRST_HASH, FIRST_HASH, True
    for row in rows:
        if row.body is None:
            written, reckoned, known = row.written, row.written, False
            yield ""
            continue
        link = _link(row, row.body, written, reckoned, known)
        before = reckoned if link == "reckoned" else written
        written, reckoned, known = row.written, chained(before, row.body), True
        yield link


def _link(row: Row, body: bytes, written: str, reckoned: str, known: bool) -> _Link:
    """Behind half a line whose hash is gone nobody can tell what follows."""
    if chained(written, body) == row.written:
        return "written"
    if chained(reckoned, body) == row.written:
        return "reckoned"
    return "" if known else "unknown"


class _Judge:
    """What is wrong with each row, asked in the order of the rows."""

    def __init__(self, rows: Sequence[Row], links: Sequence[_Link]) -> None:
        self._rows, self._links = rows, links
        self._hashes = {0: FIRST_HASH} | {row.claims: row.written for row in reversed(rows) if row.line}
        self._seen: set[bytes] = set()
        self._expected, self._sure = 1, True

    def fault(self, row: Row) -> ChainFault | None:
        fault = self._fault(row)
        known = row.line is not None and fault not in ("changed", "again")
        self._expected = (row.claims if known else self._expected) + 1
        self._sure = fault is None and row.line is not None
        self._seen.add(row.raw)
        return fault

    def _fault(self, row: Row) -> ChainFault | None:
        if row.body is None:
            return "too_long" if len(row.raw) > LONGEST_LINE else "half"
        if not row.raw.startswith(_BEGINS):
            return "half"
        if self._links[row.number - 1]:
            wrong = self._sure and row.line is not None and row.claims != self._expected
            return "number" if wrong else None
        if self._link_after(row) == "reckoned":
            return "hash"
        if self._follows_elsewhere(row, row.body):
            return self._out_of_place(row)
        return "missing" if self._skips(row) else "changed"

    def _link_after(self, row: Row) -> _Link:
        return self._links[row.number] if row.number < len(self._links) else ""

    def _follows_elsewhere(self, row: Row, body: bytes) -> bool:
        """Whether it is whole and follows on the line whose number is one less than its own, wherever that stands."""
        before = self._hashes.get(row.claims - 1)
        return row.line is not None and before is not None and chained(before, body) == row.written

    def _out_of_place(self, row: Row) -> ChainFault | None:
        if row.raw in self._seen:
            return "again"
        return None if row.claims == row.number else "moved"

    def _skips(self, row: Row) -> bool:
        """Whether lines seem to be gone before it: its number is too high, and the next line's goes on from it."""
        after = self._rows[row.number] if row.number < len(self._rows) else None
        goes_on = after is None or (self._link_after(row) == "written" and after.claims == row.claims + 1)
        return row.claims > self._expected and goes_on
