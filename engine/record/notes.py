"""A day written down by hand: the rows of a notes CSV, checked against the job, every fault with its line."""

from __future__ import annotations

import csv
import datetime
import io
import re
import string
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from typing import Any, Literal

from engine import tables, units
from engine.errors import Problem
from engine.job.model import Job
from engine.job.reader import MEASURED, PACKETS
from engine.pour.body import Body
from engine.record.entries import ENTRIES, Place, read_entry
from engine.tables import BAD, Page, Reader, choice, simple, text

COLUMNS = ("time", "what", "which", "who", "value")
LONGEST_TEXT = 500
MOST_ROWS = 2000  # of a day: each is judged against all before it
LETTERS = string.ascii_lowercase[1:]  # of what a split leaves: P2b, P2c and so on

Named = Literal["pour", "batch", "mix", "station"]
Value = dict[str, float | bool] | float | str | Body | None


@dataclass(frozen=True)
class NoteRow:
    """One line. `at` is seconds since 1970 UTC; `value` is what was read of it:

    of `reading` the values by field of `Reading`, in SI; of `trial`, `water` and `packets` packets per bag, None
    where left empty; of `split` the share filled, 0 to 1, None where left empty; of `tipped` into a second pour
    the batch it came from; of an entry what it says; else the text, which may be empty.
    """

    line: int
    at: float
    what: str
    which: str
    who: str
    value: Value


@dataclass(frozen=True)
class Form:
    """What the cells of one `what` hold: ids of these kinds, a value, and which of them must be there."""

    which: tuple[Named, ...] = ()
    value: Reader | None = None
    needs_which: bool = True
    needs_value: bool = False
    needs_who: bool = False
    empty: Value = ""
    entry: str = ""  # the word it would begin with when typed on the screen


class _Known:
    """What a row may name, and when the last one was."""

    def __init__(self, job: Job) -> None:
        self.date, self.zone = datetime.date.fromisoformat(job.date), job.zone
        self.people = tuple(person.id for person in job.people)
        self.units, self.practice = job.units, job.practice
        self.last: float | None = None
        self.ids: dict[Named, tuple[str, ...]] = {
            "pour": tuple(pour.id for pour in job.pours),
            "mix": tuple(card.key for card in job.mixes),
            "station": tuple(station.id for station in job.stations),
        }
        self._rests: set[str] = set()

    def names(self, kind: Named, name: str) -> bool:
        """Whether a name is one of a kind."""
        if kind == "batch":
            pour, _, number = name.rpartition(".")
            return self.names("pour", pour) and re.fullmatch("[1-9][0-9]{0,2}", number) is not None
        return name in self.ids[kind] or (kind == "pour" and name in self._rests)

    def place(self) -> Place:
        """Where an entry of the notes stands: it may speak of any pour known so far."""
        return Place(self.units, (*self.ids["pour"], *sorted(self._rests)), self.practice)

    def near(self, kinds: tuple[Named, ...]) -> list[str]:
        """Ids that may have been meant."""
        return [name for kind in kinds for name in self.ids["pour" if kind == "batch" else kind]]

    def split(self, pour: str) -> None:
        """A pour was split; the rest of P2 is P2b, that of P2b is P2c."""
        self._rests |= {base + letter for base in (pour, pour[:-1]) for letter in LETTERS}


def parse_notes(text: str, job: Job, file: str) -> tuple[tuple[NoteRow, ...], tuple[Problem, ...]]:
    """The good rows of a notes CSV, and every problem of the others."""
    page, known = Page(file), _Known(job)
    rows = [_row(line, cells, known, page) for line, cells in _at_most(MOST_ROWS, _lines(text, page), page)]
    return tuple(row for row in rows if row is not None), page.all()


def _lines(text: str, page: Page) -> Iterator[tuple[int, list[str]]]:
    """Line number and cells of each line that says something, after the header."""
    reader = csv.reader(io.StringIO(text, newline=""), strict=True)
    try:
        header = tuple(cell.strip() for cell in next(reader, ()))
        if header != COLUMNS:
            page.fault("line 1", tables.shown(",".join(header)), f"the columns {','.join(COLUMNS)}")
            return
        before = reader.line_num
        for cells in reader:
            line, before = before + 1, reader.line_num
            if any(cell.strip() for cell in cells):
                yield line, [cell.strip() for cell in cells]
    except csv.Error as error:
        page.fault(f"line {reader.line_num}", "", f"cells between commas, every quote closed: {error}")


def _at_most(most: int, rows: Iterator[tuple[int, list[str]]], page: Page) -> Iterator[tuple[int, list[str]]]:
    """So many rows; one more is a fault, and nothing behind it is read."""
    for number, (line, cells) in enumerate(rows, start=1):
        if number > most:
            page.fault(f"line {line}", "", f"the notes of one day, at most {most} rows")
            return
        yield line, cells


def _row(line: int, cells: list[str], known: _Known, page: Page) -> NoteRow | None:
    where, before = f"line {line}", len(page.problems)
    if len(cells) > len(COLUMNS):
        page.fault(where, f"{len(cells)} cells", "at most five; a text with commas stands in quotes")
        return None
    time, what, which, who, value = cells + [""] * (len(COLUMNS) - len(cells))
    at = _at(time, where, known, page)
    if who and who not in known.people:
        page.fault(where, tables.shown(who), "a person of the job", known.people, who)
    form = FORMS.get(what)
    if form is None:
        page.fault(where, tables.shown(what), "one of " + ", ".join(FORMS), FORMS, what)
        return None
    read = _cells(form, (which, who, value), where, known, page)
    if what == "split":
        known.split(which)
    return None if len(page.problems) > before else NoteRow(line, at, what, which, who, read)


def _at(time: str, where: str, known: _Known, page: Page) -> float:
    """The moment of a row; times never fall, not even in the hour that comes twice."""
    try:
        at = units.moment(time, known.date, known.zone, known.last)
    except ValueError as refused:
        page.fault(where, tables.shown(time), str(refused))
        return 0.0
    if known.last is not None and at < known.last:
        page.fault(where, tables.shown(time), "a time not before that of the line above")
    known.last = max(at, known.last or at)
    return at


def _cells(form: Form, cells: tuple[str, str, str], where: str, known: _Known, page: Page) -> Value:
    which, who, value = cells
    if form.needs_who and not who:
        page.fault(where, "", "`who` is missing: the person's id")
    named = _which(form, which, where, known, page)
    if named == "pour" and form is FORMS["tipped"]:
        return _source(value, where, known, page)
    if form.entry:
        return _entry(form.entry, which, value, where, known, page)
    return _value(form, value, where, page)


def _which(form: Form, which: str, where: str, known: _Known, page: Page) -> str:
    """The kind of thing named; empty for none."""
    if not which:
        if form.needs_which and form.which:
            page.fault(where, "", "`which` is missing: " + _said(form.which))
        return ""
    for kind in form.which:
        if known.names(kind, which):
            return kind
    page.fault(where, tables.shown(which), _said(form.which), known.near(form.which), which)
    return ""


def _said(kinds: tuple[Named, ...]) -> str:
    if not kinds:
        return "an empty `which`"
    names = {"pour": "a pour of the job", "batch": "a batch such as P1.1", "mix": "a mix of the job"}
    return " or ".join(names.get(kind, "a station of the job") for kind in kinds)


def _value(form: Form, value: str, where: str, page: Page) -> Value:
    if not value:
        if form.needs_value and form.value:
            page.fault(where, "", f"`value` is missing: {form.value.accepts}")
        return form.empty
    if form.value is None:
        page.fault(where, tables.shown(value), "an empty `value`; words of your own go into a line `note`")
        return form.empty
    read = form.value.take(value, where, page)
    return form.empty if read is BAD else read


def _is_mix(which: str, known: _Known) -> bool:
    """A mix stands behind what is said of it."""
    return which in known.ids["mix"]


def _entry(word: str, which: str, value: str, where: str, known: _Known, page: Page) -> Body | None:
    """An entry as it would be typed on the screen."""
    try:
        text = f"{value} {which}" if _is_mix(which, known) else f"{which} {value}"
        return read_entry(f"{word} {text}", known.place())
    except ValueError as wrong:
        page.fault(where, tables.shown(value), str(wrong))
        return None


def _source(value: str, where: str, known: _Known, page: Page) -> str:
    """The batch that is shared out, of `from P1.1`."""
    word, _, batch = value.partition(" ")
    if word != "from" or not known.names("batch", batch.strip()):
        page.fault(where, tables.shown(value), "a batch, or a pour and the value `from P1.1`")
    return batch.strip()


def _take_reading(value: Any, where: str, page: Page) -> Any:
    """`air=43 degF; sun=yes` as the fields of `Reading`."""
    read: dict[str, float | bool] = {}
    for part in str(value).split(";"):
        name, _, given = (word.strip() for word in part.partition("="))
        if name not in FIELDS:
            page.fault(
                where, tables.shown(part.strip()), "readings such as `air=43 degF; sun=yes`", FIELDS, name
            )
        elif FIELDS[name] in read:
            page.fault(where, tables.shown(part.strip()), f"{name} once")
        else:
            read[FIELDS[name]] = MEASURED[name].take(_plain(name, given), where, page)
    return read


def _plain(name: str, given: str) -> Any:
    """The value as a job file would hold it."""
    if name == "sun":
        return {"yes": True, "no": False}.get(given, given)
    return _number(given.removesuffix("%")) if name == "humidity" else given


def _number(given: Any) -> Any:
    """A plain number where the text is one."""
    try:
        return float(given) if "_" not in given else given
    except ValueError:
        return given


def _from_text(reader: Reader, read: Callable[[Any], Any]) -> Reader:
    return Reader(reader.accepts, lambda value, where, page: reader.take(read(value), where, page))


def _read_share(value: Any) -> float:
    share = units.parse(value, "share")
    if not 0 < share < 1:
        raise ValueError
    return share


def _read_number(value: Any) -> float:
    if not isinstance(value, float) or not value.is_integer() or value < 1:
        raise ValueError
    return value


FIELDS = {"humidity": "humidity", "wind": "wind_ms", "station": "station_ms", "ice": "ice_kg", "sun": "sun"}
FIELDS |= {name: f"{name}_c" for name in MEASURED if name not in FIELDS}

_packets = _from_text(PACKETS, _number)
_words = text(LONGEST_TEXT)
_share = simple(
    "the share that is filled, such as 0.73 or 73 %, more than none and less than all", _read_share
)
_sign = _from_text(simple("the number of a sign, such as 2", _read_number), _number)
_stroke = Form(("pour", "batch"))
_batch = Form(("batch",))

_NAMED = ("lot", "used", "weighed")  # entries that name something else than a pour
FORMS: dict[str, Form] = {
    "reading": Form(("pour",), Reader("readings", _take_reading), needs_which=False, needs_value=True),
    "trial": Form(("mix",), _packets, needs_which=False, empty=None),
    "trial stiff": Form(("mix",), needs_which=False),
    "water": Form(("pour",), _packets, empty=None),
    "mixed": _batch,
    "tipped": Form(("batch", "pour")),
    "floated": _stroke,
    "first trowel": _stroke,
    "second trowel": _stroke,
    "broomed": _stroke,
    "edged": _stroke,
    "ready": _stroke,
    "not yet": _stroke,
    "stiff": _batch,
    "still moves": _batch,
    "lost": Form(("batch",), _words),
    "rejected": Form(("pour",), _words, needs_which=False),
    "vessel lost": Form(("station",), _words, needs_which=False),
    "soaked": Form(("pour",)),
    "uncovered": Form(("pour",)),
    "covered": Form(("pour",), choice("sheet", "blanket"), needs_value=True),
    "opened": Form(("pour",), choice("feet", "wheels"), needs_value=True),
    "packets": Form(("batch",), _packets, needs_value=True, empty=None),
    "away": Form(needs_who=True),
    "back": Form(needs_who=True),
    "skip": _stroke,
    "split": Form(("pour",), _share, empty=None),
    "half bag": Form(("pour",)),
    "note": Form(("pour", "batch"), _words, needs_which=False, needs_value=True),
    "undo": Form(),
    "freeze": Form(),
    "free": Form(),
    "forget": Form((), _sign, needs_value=True),
    **{word: Form(("pour",), needs_which=False, entry=word) for word in ENTRIES if word not in _NAMED},
    "lot": Form(("batch", "mix"), needs_which=False, entry="lot"),
    "weighed": Form(("mix",), needs_which=False, entry="weighed"),
    "water used": Form(("batch",), entry="used"),
}
