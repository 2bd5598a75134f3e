"""One line of the log: compact JSON in a fixed order, ending in a hash that follows from the line before.

    {"seq":7,"kind":"…","v":1,"who":"F","wall":"2026-11-05T15:14:00.000000Z","boot":81.5,"mark":"…",
     "at":1794000000.0,"how":"shifted","assumed":true,"data":{…},"hash":"…"}

`at` is left out where it is the press itself, `assumed` where it is false. The hash notices damage and
changes; it proves nothing against somebody who writes the chain anew, and a log cut at a line end only looks
shorter.
"""

from __future__ import annotations

import hashlib
import json
import math
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import UTC, datetime
from typing import Any, Literal, get_args

from engine.clock import Stamp

How = Literal["pressed", "shifted", "assumed", "corrected"]
FIRST_HASH = ""  # what the first line follows from
HASH_DIGITS = 32
LONGEST_LINE = 8 * 1024 * 1024  # bytes; the first line carries the whole job
OPENING = b'{"seq":1,'  # how every log begins

_HOWS = get_args(How)
_BEFORE_HASH, _AFTER_HASH = b',"hash":"', b'"}\n'
_SEAL = len(_BEFORE_HASH) + HASH_DIGITS + len(_AFTER_HASH)
_KEYS: dict[str, tuple[type, ...]] = {
    "seq": (int,),
    "kind": (str,),
    "v": (int,),
    "who": (str,),
    "wall": (str,),
    "boot": (int, float),
    "mark": (str,),
    "how": (str,),
    "data": (dict,),
}
_MAY: dict[str, tuple[type, ...]] = {"at": (int, float), "assumed": (bool,)}


@dataclass(frozen=True)
class Line:
    """One event as written; `data` is plain JSON.

    `at` is log time in seconds where it differs from the press; `assumed`: `who` is the program's assignment.
    """

    seq: int
    stamp: Stamp
    kind: str
    v: int
    who: str
    at: float | None
    how: How
    data: Mapping[str, Any]
    assumed: bool = False


def encode(line: Line, previous_hash: str) -> tuple[bytes, str]:
    """The line's bytes with their newline, and its hash. Raises `ValueError` for what cannot be read back."""
    record = _record(line)
    _check(record)
    _check_plain(record["data"], "data")
    body = json.dumps(record, ensure_ascii=False, separators=(",", ":")).encode()
    if len(body) + _SEAL > LONGEST_LINE:
        raise ValueError(f"it takes {len(body)} bytes; a line holds {LONGEST_LINE}")
    digest = chained(previous_hash, body)
    return body[:-1] + _BEFORE_HASH + digest.encode() + _AFTER_HASH, digest


def decode(raw: bytes, previous_hash: str, expected_seq: int) -> tuple[Line, str]:
    """The line of some bytes and its hash. Raises `ValueError` that says what is wrong with it."""
    body, written = unsealed(raw)
    digest = chained(previous_hash, body)
    if digest != written:
        raise ValueError("its hash does not follow: the line was changed, or a line before it is missing")
    line = line_in(body)
    if line.seq != expected_seq:
        raise ValueError(f"it is numbered {line.seq} where {expected_seq} was expected")
    return line, digest


def unsealed(raw: bytes) -> tuple[bytes, str]:
    """What the hash of a whole line was taken of, and that hash as written. Raises `ValueError` for half a line."""
    if not raw.endswith(b"\n"):
        raise ValueError("cut short: it has no line end")
    if not looks_sealed(raw):
        raise ValueError("it does not end in a hash, so it is not a whole line of a log")
    return raw[:-_SEAL] + b"}", raw[-_SEAL + len(_BEFORE_HASH) : -len(_AFTER_HASH)].decode("latin-1")


def line_in(body: bytes) -> Line:
    """The line of a body; no hash and no number is looked at. Raises `ValueError` that says what is wrong with it."""
    try:
        record = _DECODER.decode(body.decode())
    except RecursionError:
        raise ValueError("its lists are nested too deeply") from None
    _check(record)
    return _line(record)


def looks_sealed(raw: bytes) -> bool:
    """Whether the bytes end as every whole line does; the hash itself is not checked."""
    return raw.endswith(_AFTER_HASH) and raw[-_SEAL:].startswith(_BEFORE_HASH)


def chained(previous_hash: str, body: bytes) -> str:
    """The hash of a body that follows on a line of that hash."""
    return hashlib.sha256(previous_hash.encode() + body).hexdigest()[:HASH_DIGITS]


def _record(line: Line) -> dict[str, Any]:
    stamp = line.stamp
    record = {"seq": line.seq, "kind": line.kind, "v": line.v, "who": line.who}
    record |= {"wall": _iso(stamp.wall), "boot": stamp.boot, "mark": stamp.mark}
    if line.at is not None:
        record["at"] = line.at
    record["how"] = line.how
    if line.assumed:
        record["assumed"] = True
    return record | {"data": dict(line.data)}


def _line(record: dict[str, Any]) -> Line:
    return Line(
        seq=record["seq"],
        stamp=Stamp(_seconds(record["wall"]), record["boot"], record["mark"]),
        kind=record["kind"],
        v=record["v"],
        who=record["who"],
        at=record.get("at"),
        how=record["how"],
        data=record["data"],
        assumed=record.get("assumed", False),
    )


def _check(record: Any) -> None:
    """The same for writing and reading, so that nothing is written that cannot be read."""
    if not isinstance(record, dict):
        raise ValueError("it is not a JSON object")
    if missing := _KEYS.keys() - record.keys():
        raise ValueError(f"it lacks {', '.join(sorted(missing))}")
    for key, value in record.items():
        kinds = _KEYS.get(key) or _MAY.get(key)
        if kinds is None:
            raise ValueError(f"it has an unknown key {key!r}; a newer program may have written it")
        if type(value) not in kinds:
            raise ValueError(f"{key} is {value!r:.40}, not {' or '.join(kind.__name__ for kind in kinds)}")
        if type(value) is float and not math.isfinite(value):
            raise ValueError(f"{key} is {value}, not a finite number")
    if record["how"] not in _HOWS:
        raise ValueError(f"how is {record['how']!r:.40}, none of {', '.join(_HOWS)}")


def _check_plain(value: Any, where: str) -> None:
    """Whether a value comes back from JSON as it went in."""
    kind = type(value)
    if kind is str or kind is int or kind is bool or value is None:
        return
    if kind is float:
        if not math.isfinite(value):
            raise ValueError(f"{where} is {value}, not a finite number")
    elif kind is list:
        for index, item in enumerate(value):
            _check_plain(item, f"{where}[{index}]")
    elif kind is dict:
        for key, item in value.items():
            if type(key) is not str:
                raise ValueError(f"{where} has the key {key!r:.40}, which is not text")
            _check_plain(item, f"{where}.{key}")
    else:
        raise ValueError(f"{where} is a {kind.__name__}, not plain JSON")


def _finite(text: str) -> float:
    number = float(text)
    if not math.isfinite(number):
        raise ValueError(f"{text} is not a finite number")
    return number


_DECODER = json.JSONDecoder(parse_float=_finite, parse_constant=_finite)


def _iso(wall: float) -> str:
    try:
        return datetime.fromtimestamp(wall, UTC).isoformat(timespec="microseconds")[:-6] + "Z"
    except (OverflowError, OSError, ValueError):
        raise ValueError(f"wall is {wall}, not a time") from None


def _seconds(iso: str) -> float:
    if not iso.endswith("Z"):
        raise ValueError(f"wall is {iso!r:.40}, not a UTC time ending in Z")
    return datetime.fromisoformat(iso).timestamp()
