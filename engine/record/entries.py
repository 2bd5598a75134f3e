"""Short entries of what is measured, ticked and agreed, as they are typed: `slope P4 after run 7.6 cross 1.4`.

An entry is its word, the pour or batch it speaks of, and parts behind keys of its own. Plain numbers are in the job's
units, slopes in per cent; anything else names its unit.
"""

from __future__ import annotations

import datetime
import re
from collections.abc import Callable
from dataclasses import dataclass, field
from typing import TypeVar, get_args

from engine.job.handover import Sounding, WetFeel
from engine.job.model import Practice, UnitSystem
from engine.job.returns import Kind as Look
from engine.job.slopes import Slope, read_slope
from engine.pour import measured as m
from engine.pour.body import Body
from engine.site.coating import Coat
from engine.units import Dimension, parse

LONGEST_TEXT = 200
LONGEST_LENGTH_M, DEEPEST_M, MOST_WATER_L, MOST_PRICE = 30.0, 1.0, 200.0, 1e6
PLAIN: dict[Dimension, tuple[str, str]] = {  # what a plain number is in, US and metric
    "length": ("in", "mm"),
    "water": ("qt", "L"),
    "mass": ("lb", "kg"),
    "temperature": ("degF", "degC"),
    "share": ("%", "%"),
}
Word = TypeVar("Word", bound=str)
_NUMBER = re.compile(r"[+-]?(?:\d+[ -]\d+/\d+|\d+/\d+|\d+(?:[.,]\d+)?)")
_SIZES = re.compile(rf"({_NUMBER.pattern})\s*(in|mm|cm)?(?:[\s,]+|$)")


@dataclass(frozen=True)
class Place:
    """Where an entry is typed: how numbers are meant, the pours and mixes there are, and the pour it stands for if it names none."""

    units: UnitSystem
    pours: tuple[str, ...]
    practice: Practice
    pour: str = ""
    mixes: tuple[str, ...] = ()  # by key


@dataclass(frozen=True)
class Parts:
    """What follows the entry's word: the pour or batch, before or after, the text, and the texts behind keys."""

    place: Place
    which: str = ""
    when: m.When = "after"
    rest: str = ""
    keyed: dict[str, str] = field(default_factory=dict)

    @property
    def pour(self) -> str:
        """The pour named. Raises `ValueError` where none is."""
        if self.which not in self.place.pours:
            raise ValueError("name the pour: " + ", ".join(self.place.pours))
        return self.which

    @property
    def batch(self) -> str:
        """The batch named. Raises `ValueError` where none is."""
        if not self.which.rpartition(".")[0]:
            raise ValueError("name the batch, such as P2.1")
        return self.which

    def text(self, key: str) -> str:
        """The text behind a key. Raises `ValueError` where it is missing."""
        if not self.keyed.get(key):
            raise ValueError(f"{key} is missing")
        return self.keyed[key]

    def of(self, text: str, dimension: Dimension, low: float, high: float) -> float:
        """A quantity within limits, in the unit of `units.KINDS`. Raises `ValueError`."""
        value = parse(self._with_unit(text, dimension), dimension)
        if not low <= value <= high:
            raise ValueError(f"{text} is out of reach; look at the number and its unit")
        return value

    def _with_unit(self, text: str, dimension: Dimension) -> str:
        if dimension not in PLAIN or not _NUMBER.fullmatch(text):
            return text
        return f"{text.replace(',', '.')} {PLAIN[dimension][self.place.units == 'metric']}"

    def length_m(self, text: str) -> float:
        return self.of(text, "length", 0.0, LONGEST_LENGTH_M)

    def optional(self, key: str, dimension: Dimension, low: float, high: float) -> float | None:
        """A quantity behind a key, None where it is left out."""
        return self.of(self.keyed[key], dimension, low, high) if self.keyed.get(key) else None

    def number(self, key: str, low: float, high: float) -> float | None:
        """A plain number behind a key, None where it is left out."""
        text = self.keyed.get(key, "")
        if not text:
            return None
        if not re.fullmatch(r"-?\d+(?:\.\d+)?", text) or not low <= float(text) <= high:
            raise ValueError(f"{key} is a number from {low:g} to {high:g}")
        return float(text)

    def sizes_m(self, text: str) -> tuple[float, ...]:
        """Lengths one after the other: `7 7 1/16 6 15/16`."""
        found = list(_SIZES.finditer(text))
        if not found or "".join(match.group(0) for match in found) != text:
            raise ValueError("lengths are needed, such as 2 1 3/4 2.25")
        return tuple(self.of(f"{one[1]} {one[2] or ''}".strip(), "length", 0.001, DEEPEST_M) for one in found)


@dataclass(frozen=True)
class Entry:
    """A kind of entry: an example to show, the keys that cut it, what it becomes."""

    example: str
    keys: tuple[str, ...]
    build: Callable[[Parts], Body]


def first_word(line: str) -> str:
    """The word that says which entry a line is; empty where it is none."""
    word = line.strip().partition(" ")[0].casefold()
    return word if word in ENTRIES else ""


def read_entry(line: str, place: Place) -> Body:
    """What a line says. Raises `ValueError` with what is wrong and an example."""
    word = first_word(line)
    entry = ENTRIES[word]
    try:
        return entry.build(_parts(" ".join(line.split())[len(word) :].strip(), entry.keys, place))
    except ValueError as wrong:
        raise ValueError(f"{wrong}; such as: {entry.example}") from None


def _parts(text: str, keys: tuple[str, ...], place: Place) -> Parts:
    if len(text) > LONGEST_TEXT:
        raise ValueError(f"an entry has at most {LONGEST_TEXT} characters")
    text, because, reason = text.partition(" because ") if "because" in keys else (text, "", "")
    pieces = re.split(rf"(?<!\S)({'|'.join(keys)})(?!\S)", text) if keys else [text]
    keyed = {key: value.strip() for key, value in zip(pieces[1::2], pieces[2::2], strict=True)}
    keyed |= {"because": reason.strip()} if because else {}
    which, when = place.pour, "after"
    rest: list[str] = []
    for word in pieces[0].split():
        named = _named(word, place)
        if named and (not rest or not which):
            which = named
        elif word.casefold() in get_args(m.When):
            when = word.casefold()
        else:
            rest.append(word)
    return Parts(place, which, "before" if when == "before" else "after", " ".join(rest), keyed)


def _named(word: str, place: Place) -> str:
    """The pour or batch that a word names, in any case."""
    pour, dot, number = word.rpartition(".")
    known = {one.casefold(): one for one in place.pours}
    if word.casefold() in known:
        return known[word.casefold()]
    return (
        f"{known[pour.casefold()]}.{number}" if dot and number.isdigit() and pour.casefold() in known else ""
    )


def _slope(parts: Parts) -> Body:
    run, cross = (_one_slope(parts, key) for key in ("run", "cross"))
    if run is None and cross is None:
        raise ValueError("run or cross is missing")
    return m.SlopeRead(
        parts.pour,
        parts.when,
        run.ratio if run else None,
        cross.ratio if cross else None,
        run.accuracy if run else 0.0,
        cross.accuracy if cross else 0.0,
        parts.keyed.get("at", ""),
    )


def _one_slope(parts: Parts, key: str) -> Slope | None:
    text = parts.keyed.get(key, "")
    if not text:
        return None
    return read_slope(f"{text} %" if _NUMBER.fullmatch(text) else text, parts.place.practice)


def _lip(parts: Parts) -> Body:
    height = parts.length_m(parts.rest)
    upright = parts.length_m(parts.keyed["upright"]) if parts.keyed.get("upright") else height
    bevel = parts.length_m(parts.keyed["bevel"]) if parts.keyed.get("bevel") else 0.0
    if upright > height or (upright < height and not bevel):
        raise ValueError("a lip that is not all upright needs the level length of its bevel")
    return m.LipRead(parts.pour, parts.when, height, upright, bevel, parts.keyed.get("at", ""))


def _gap(parts: Parts) -> Body:
    return m.GapRead(parts.pour, parts.when, parts.length_m(parts.rest), parts.keyed.get("at", ""))


def _risers(parts: Parts) -> Body:
    return m.StepsRead(parts.pour, parts.when, "risers", parts.sizes_m(parts.rest))


def _treads(parts: Parts) -> Body:
    return m.StepsRead(parts.pour, parts.when, "treads", parts.sizes_m(parts.rest))


def _nosing(parts: Parts) -> Body:
    return m.NosingRead(parts.pour, *(parts.length_m(parts.text(key)) for key in ("radius", "out")))


def _ramp(parts: Parts) -> Body:
    return m.RampMeasured(
        parts.pour, *(parts.length_m(parts.text(key)) for key in ("rise", "width", "landing"))
    )


def _sound(parts: Parts) -> Body:
    heard: tuple[Sounding, ...] = get_args(Sounding)
    return m.Sounded(parts.pour, _one_of(parts.rest, heard))


def _feel(parts: Parts) -> Body:
    felt: tuple[WetFeel, ...] = get_args(WetFeel)
    return m.WetFelt(parts.pour, _one_of(parts.rest, felt))


def _one_of(text: str, known: tuple[Word, ...]) -> Word:
    for word in known:
        if word == text.casefold():
            return word
    raise ValueError("one of " + ", ".join(known))


def _depths(parts: Parts) -> Body:
    return m.DepthsRead(parts.pour, parts.sizes_m(parts.rest))


def _tick(parts: Parts) -> Body:
    text, _, _ = parts.rest.partition(" ago")
    words = text.split()
    done = [word for word in words if word in get_args(m.Tick)]
    ago = " ".join(word for word in words if word not in done)
    if not done:
        raise ValueError("one or more of " + ", ".join(get_args(m.Tick)))
    ticks = tuple(_one_of(word, get_args(m.Tick)) for word in done)
    return m.Ticked(parts.pour, ticks, parts.of(ago, "duration", 0.0, 30 * 86400.0) if ago else 0.0)


def _lot(parts: Parts) -> Body:
    lot, _, mix = parts.rest.partition(" ")
    if not lot:
        raise ValueError("the lot printed on the bag is missing")
    batch = parts.which if "." in parts.which else ""
    return m.LotNoted(lot, batch, "" if batch else mix)


def _used(parts: Parts) -> Body:
    return m.WaterMeasured(parts.batch, parts.of(parts.rest, "water", 0.0, MOST_WATER_L))


def _weighed(parts: Parts) -> Body:
    number, _, rest = parts.rest.partition(" ")
    unit, _, mix = rest.partition(" ") if rest.partition(" ")[0] in ("lb", "kg") else ("", "", rest)
    return m.BagWeighed(parts.of(f"{number} {unit}".strip(), "mass", 1.0, 100.0), mix)


def _change(parts: Parts) -> Body:
    return m.ChangeOrdered(
        pour=parts.pour,
        reason=parts.text("because"),
        depths_before_m=(),
        depths_m=parts.sizes_m(parts.text("depths")),
        price=parts.number("price", -MOST_PRICE, MOST_PRICE) or 0.0,
        initials=parts.keyed.get("by", ""),
    )


def _coat(parts: Parts) -> Body:
    coat: Coat = _one_of(parts.rest or "film", get_args(Coat))
    sheet = parts.keyed.get("sheet", "")
    word, _, hours = sheet.partition(" ")
    if sheet and word not in ("dry", "damp"):
        raise ValueError("sheet dry 18 h, or sheet damp")
    day = 86400.0
    return m.CoatingRead(
        pour=parts.pour,
        coat=coat,
        label_age_s=parts.optional("label", "duration", 0.0, 400 * day),
        sheet_s=(parts.of(hours, "duration", 0.0, 30 * day) if hours else 0.0) if sheet else None,
        sheet_damp=word == "damp",
        surface_c=parts.optional("surface", "temperature", -50.0, 90.0),
        air_c=parts.optional("air", "temperature", -50.0, 60.0),
        humidity=parts.optional("humidity", "share", 0.0, 1.0),
        dry_for_s=parts.optional("since", "duration", 0.0, 400 * day),
        dry_ahead_s=parts.optional("ahead", "duration", 0.0, 30 * day),
        grit=None if "grit" not in parts.keyed else _one_of(parts.keyed["grit"], ("yes", "no")) == "yes",
        ph=parts.number("ph", 0.0, 14.0),
    )


def _visit(parts: Parts) -> Body:
    if not parts.rest.isdigit():
        raise ValueError("the number of the visit is missing")
    try:
        day = datetime.date.fromisoformat(parts.text("on"))
    except ValueError:
        raise ValueError("the day as 2026-12-03") from None
    return m.VisitAgreed(int(parts.rest), day.isoformat())


def _looked(parts: Parts) -> Body:
    looks: tuple[Look, ...] = get_args(Look)
    return m.LookMade(_one_of(parts.rest, looks))


ENTRIES: dict[str, Entry] = {
    "slope": Entry("slope P4 after run 7.6 cross 1.4 at top", ("run", "cross", "at"), _slope),
    "lip": Entry("lip P4 after 3/8 upright 1/4 bevel 1/4", ("upright", "bevel", "at"), _lip),
    "gap": Entry("gap P4 after 3/16", ("at",), _gap),
    "risers": Entry("risers P5 after 7 7 1/16 6 15/16", (), _risers),
    "treads": Entry("treads P5 after 11 11 1/4 11", (), _treads),
    "nosing": Entry("nosing P5 radius 1/2 out 1", ("radius", "out"), _nosing),
    "ramp": Entry("ramp P4 rise 24 width 38 landing 60", ("rise", "width", "landing"), _ramp),
    "sound": Entry("sound P4 clear", (), _sound),
    "feel": Entry("feel P4 grips", (), _feel),
    "depths": Entry("depths P3 2.0 1.75 2 1/4", (), _depths),
    "tick": Entry("tick P3 sound square clean, or tick P3 clean 20 h ago", (), _tick),
    "lot": Entry("lot A123 for all bags from now on, lot A123 P2.1 for one batch", (), _lot),
    "used": Entry("used P2.1 4.5", (), _used),
    "weighed": Entry("weighed 49.2", (), _weighed),
    "change": Entry(
        "change P3 depths 2.5 2.75 price 85 by AB because bad concrete went deeper",
        ("depths", "price", "by", "because"),
        _change,
    ),
    "coat": Entry(
        "coat P4 film sheet dry 18 h surface 58 air 60 humidity 55 since 30 h ahead 26 h grit yes",
        ("label", "sheet", "surface", "air", "humidity", "since", "ahead", "grit", "ph"),
        _coat,
    ),
    "visit": Entry("visit 2 on 2026-12-03", ("on",), _visit),
    "looked": Entry("looked 7 day", (), _looked),
}
