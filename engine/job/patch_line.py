"""A patch measured on site, typed in one line: `24x18 2.0 1.75 2 1/4 broom at side step`.

Size first: length by width, an area (`3.2 ft2`), or `outline 0,0 24,0 24,18 0,18`; then every depth reading. Plain numbers
are inches or millimetres as the job writes them; `2 ft 6 in` is one length. Words in any order: an id before the size;
finish, edges, use, the key of a mix; `packets 1`; `before P3`; and last `at` with where it is.
"""

from __future__ import annotations

import difflib
import re
from collections.abc import Sequence
from dataclasses import dataclass, field, replace
from typing import get_args

from engine.job.drawn import is_simple, without_return
from engine.job.model import Edges, Finish, UnitSystem, Use
from engine.job.outline import Outline, area_m2
from engine.job.reader import LARGEST_M2, LONGEST_ID, MOST_POINTS, SMALLEST_M2
from engine.units import FOOT_M, FT2_M2, INCH_M, between

EXAMPLE = "24x18 2.0 1.75 2.25 broom at side step"
LONGEST_LINE, LONGEST_WHERE = 200, 80
SHORTEST_M, LONGEST_M = 0.01, 100.0
SHALLOWEST_M, DEEPEST_M = 0.001, 1.0
LENGTHS_M = {"in": INCH_M, '"': INCH_M, "ft": FOOT_M, "'": FOOT_M, "mm": 1e-3, "cm": 1e-2, "m": 1.0}
AREAS_M2 = {"ft2": FT2_M2, "in2": INCH_M**2, "m2": 1.0}

_NUMBER = r"\d+[ -]\d+/\d+|\d+/\d+|\d+(?:[.,]\d+)?|[.,]\d+"
_LENGTH = rf"({_NUMBER}) ?(in|ft|mm|cm|m|\"|')?(?![\w./])"
_BY = re.compile(rf"({_NUMBER}) ?(in|ft|mm|cm|m|\"|')? ?[x×*] ?{_LENGTH}", re.IGNORECASE)
_FEET_INCHES = re.compile(rf"(?<![\w./,])(\d+) ?(?:ft|') ?({_NUMBER}) ?(?:in(?!\w)|\")", re.IGNORECASE)
_AREA = re.compile(rf"({_NUMBER}) ?(ft|in|m)\^?2(?!\w)|({_NUMBER}) ?sq\.? ?(ft|in|m)(?!\w)", re.IGNORECASE)
_CORNER = re.compile(r"(-?\d+(?:\.\d+)?),(-?\d+(?:\.\d+)?)(?: |$)")
_DEPTH = re.compile(rf"[ ,]*{_LENGTH}", re.IGNORECASE)


@dataclass(frozen=True)
class Patch:
    """What was typed, in metres. Empty or None: left open."""

    area_m2: float
    depths_m: tuple[float, ...]
    id: str = ""
    length_m: float | None = None
    width_m: float | None = None
    outline_m: tuple[tuple[float, float], ...] = field(default=())
    finish: Finish | None = None
    edges: Edges = "sawn"
    use: Use = "walk"
    mix: str = ""  # the key of a card; empty: chosen by depth
    packets: float | None = None
    where: str = ""
    before: str = ""  # the pour it goes before; empty: last


def read_patch(line: str, units: UnitSystem, mixes: Sequence[str] = ()) -> Patch:
    """The patch of a line; `mixes` are keys that are meant wherever they stand.

    Raises `ValueError` with what is wrong, what fits and an example.
    """
    try:
        return _read(" ".join(line.split()), units, mixes)
    except ValueError as wrong:
        raise ValueError(f"{wrong}; such as: {EXAMPLE}") from None


def _read(line: str, units: UnitSystem, mixes: Sequence[str]) -> Patch:
    if len(line) > LONGEST_LINE:
        raise ValueError(f"a patch is told in at most {LONGEST_LINE} characters")
    told, _, where = line.partition(" at ")
    if len(where) > LONGEST_WHERE:
        raise ValueError(f"where it is takes at most {LONGEST_WHERE} characters")
    head, size, rest = _sized(_FEET_INCHES.sub(_inches, told), units)
    depths_m, rest = _depths(rest, units)
    return _worded(replace(size, depths_m=depths_m, where=where.strip()), head, rest.split(), mixes)


def _inches(found: re.Match[str]) -> str:
    """Feet and inches as one number of inches."""
    return f"{12 * int(found[1]) + _number(found[2])} in"


def _sized(told: str, units: UnitSystem) -> tuple[str, Patch, str]:
    """What stands before the size, a patch of that size without depths, what follows."""
    head, outline, rest = told.partition("outline ")
    if outline:
        corners, rest = _corners(rest, units)
        return head, Patch(_fitting_m2(area_m2(corners)), (), outline_m=corners), rest
    if by := _first(_BY, told):
        length_m, width_m = (
            _metres(by[n], by[n + 1] or by[4] or "", units, SHORTEST_M, LONGEST_M) for n in (1, 3)
        )
        sized = Patch(_fitting_m2(length_m * width_m), (), length_m=length_m, width_m=width_m)
        return told[: by.start()], sized, told[by.end() :]
    if found := _first(_AREA, told):
        number, unit = found[1] or found[3], (found[2] or found[4]).lower()
        return (
            told[: found.start()],
            Patch(_fitting_m2(_number(number) * AREAS_M2[f"{unit}2"]), ()),
            told[found.end() :],
        )
    raise ValueError("the size is missing: length x width, an area, or outline with its corners")


def _first(pattern: re.Pattern[str], text: str) -> re.Match[str] | None:
    """The first place where it begins a word."""
    return next(
        (one for one in pattern.finditer(text) if one.start() == 0 or text[one.start() - 1] == " "), None
    )


def _fitting_m2(area: float) -> float:
    if not SMALLEST_M2 <= area <= LARGEST_M2:
        raise ValueError(between("area", SMALLEST_M2, LARGEST_M2))
    return area


def _corners(rest: str, units: UnitSystem) -> tuple[tuple[tuple[float, float], ...], str]:
    """Corners one after the other along the edge, and what follows them."""
    scale, found, place = LENGTHS_M[_plain(units)], [], 0
    while corner := _CORNER.match(rest, place):
        found.append((float(corner[1]) * scale, float(corner[2]) * scale))
        place = corner.end()
    outline: Outline = without_return(found)
    if (
        len(outline) < 3
        or not is_simple(outline)
        or any(abs(edge) > LONGEST_M for corner_ in outline for edge in corner_)
    ):
        raise ValueError("an outline has at least three corners in order along the edge, as 0,0 24,0 24,18")
    return tuple(outline), rest[place:]


def _depths(rest: str, units: UnitSystem) -> tuple[tuple[float, ...], str]:
    """Depth readings from the start of a text, and what follows them."""
    found, place = [], 0
    while depth := _DEPTH.match(rest, place):
        found.append(_metres(depth[1], depth[2] or "", units, SHALLOWEST_M, DEEPEST_M))
        place = depth.end()
    if not 0 < len(found) <= MOST_POINTS:
        raise ValueError(f"depth readings are missing: one to {MOST_POINTS} of them after the size")
    return tuple(found), rest[place:]


def _plain(units: UnitSystem) -> str:
    return "in" if units == "us" else "mm"


def _metres(number: str, unit: str, units: UnitSystem, low: float, high: float) -> float:
    """A length within limits; without a unit in the plain one of the job."""
    length_m = _number(number) * LENGTHS_M[unit.lower() or _plain(units)]
    if not low <= length_m <= high:
        raise ValueError(f"{number} is out of reach: {between('length', low, high)}")
    return length_m


def _number(text: str) -> float:
    """Of `2`, `2.25`, `2,25`, `1/4` or `2 1/4`."""
    whole, _, fraction = re.sub("[ -]", " ", text).rpartition(" ")
    above, slash, below = fraction.replace(",", ".").partition("/")
    if slash and float(below) == 0.0:
        raise ValueError(f"{text} is no number")
    return float(whole or 0) + float(above) / (float(below) if slash else 1.0)


WORDS: dict[str, str] = {
    **dict.fromkeys(get_args(Finish), "finish"),
    **dict.fromkeys(get_args(Edges), "edges"),
    **dict.fromkeys(get_args(Use), "use"),
}
FOLLOWED = ("packets", "before")


def _worded(patch: Patch, head: str, words: list[str], mixes: Sequence[str]) -> Patch:
    """With an id before the size and the words after the depths."""
    ids = head.split()
    if len(ids) > 1 or (ids and (len(ids[0]) > LONGEST_ID or "." in ids[0])):
        raise ValueError(
            f"before the size stands one id at most, up to {LONGEST_ID} characters without spaces or dots"
        )
    patch = replace(patch, id=ids[0] if ids else "")
    while words:
        word = words.pop(0)
        known = word.casefold()
        if known in FOLLOWED:
            if not words:
                raise ValueError(f"something is missing after {word}")
            patch = _followed(patch, known, words.pop(0))
        else:
            patch = replace(patch, mix=word) if word in mixes and not patch.mix else _named(patch, word)
    return patch


def _followed(patch: Patch, word: str, value: str) -> Patch:
    if word == "before":
        return replace(patch, before=value)
    if not re.fullmatch(r"\d+(?:\.5|\.0)?", value):
        raise ValueError("packets a bag is a number in halves, such as packets 1")
    return replace(patch, packets=float(value))


def _named(patch: Patch, word: str) -> Patch:
    """A word that stands alone; one that is none of them, nor close to one, is the key of a mix."""
    known = word.casefold()
    if known in WORDS:
        return replace(patch, **{WORDS[known]: known})  # type: ignore[arg-type]
    if near := difflib.get_close_matches(known, [*WORDS, *FOLLOWED], 1):
        raise ValueError(f"{word} is not known; nearest: {near[0]}")
    if patch.mix:
        raise ValueError(f"{word} is not known beside {patch.mix}; known: {', '.join((*WORDS, *FOLLOWED))}")
    return replace(patch, mix=word)
