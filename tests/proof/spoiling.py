"""Ways of spoiling a good file: bytes, lines of text, and values in their place. Every choice comes from the random given."""

from __future__ import annotations

import datetime
import json
from collections.abc import Callable
from random import Random
from typing import Any

from engine.record.lines import FIRST_HASH, chained

Path = tuple[str | int, ...]

LONG = 3000
TEXTS = (
    "",
    " ",
    "{x.__class__}",
    "{0}{}{name:family}%s%(x)s${x}",
    "{x.__init__.__globals__}",
    "__import__('os').system('id')",
    "../../etc/passwd",
    "/etc/passwd",
    "C:\\windows\\x",
    "<script>alert(1)</script>",
    "]]>&amp;\"'`|\\",
    "=1+1|cmd",
    "P1",
    "P9",
    "P1.1",
    "a.b",
    "\u202eevil\u2066",
    "e\u0301\u200d\u200b\ufeff",
    "\U0001f3d7" * 20,
    "\x1b[2J\x07",
    "line\nbreak",
    "tab\there",
    "\x00",
    "x" * LONG,
    "١٢",
    "²",
    "1e308 in",
    "-1 in",
    "0 in",
    "nan in",
    "inf ft",
    "9" * 58 + "in",
    "1/0 in",
    "1 1/1 in",
    "2^2^2^2^2 in",
    "1 in^3^3^3",
    "1 (((((in)))))",
    "1 m*m*m*m*m/m",
    "-459.68 degF",
    "1 delta_degF",
    "24:00",
    "47:59",
    "48:00",
    "02:30",
    "2:99",
    "99999:00",
    "America/Chicago",
    "Pacific/Kiritimati",
    "Pacific/Apia",
    "localtime",
    "../zone",
    "America",
    "true",
    "mix",
    "trowel",
    "broom",
    "float",
)
NUMBERS = (
    0, 1, -1, 2, 20, 21, 100, 101, 0.5, 0.1, 1e-9, -1e-9, 1e-308, 5e-324, 1e15, 1e16, 1e308, -1e308,
    2**31, 2**53 + 1, 2**63, -(2**63), 10**18, 10**40, 10**300, float("nan"), float("inf"), float("-inf"), -0.0,
)  # fmt: skip
DAYS = (
    datetime.date(1, 1, 1),
    datetime.date(9999, 12, 31),
    datetime.date(2000, 1, 1),
    datetime.date(2100, 12, 31),
    datetime.date(2026, 3, 8),  # clocks are put forward there
    datetime.date(2026, 11, 1),  # and back
    datetime.datetime(2026, 5, 4, 7, 30),
    datetime.datetime(9999, 12, 31, 23, 59, 59, tzinfo=datetime.UTC),
    datetime.time(7, 30),
)


def weird(random: Random, dates: bool = True) -> Any:
    """Some value that fits nowhere, or only by chance."""
    kind = random.randrange(8 if dates else 7)
    if kind < 2:
        return random.choice(TEXTS)
    if kind < 4:
        return random.choice(NUMBERS)
    if kind == 4:
        return random.choice((True, False))
    if kind == 5:
        return random.choice(
            ([], [[]], [1, "a"], ["P1"] * 200, [0.0] * 5000, nested(random.randrange(2, 60)))
        )
    if kind == 6:
        return random.choice(({}, {"a": {"b": {}}}, {"x": 1}, {"": 0}, {"__class__": "x", "due": "1 min"}))
    return random.choice(DAYS)


def nested(deep: int) -> list[Any]:
    """Lists in lists."""
    found: list[Any] = []
    for _ in range(deep):
        found = [found]
    return found


def places(tree: Any, above: Path = ()) -> list[Path]:
    """Every place of a tree, the leaves and what holds them."""
    inside = tree.items() if isinstance(tree, dict) else enumerate(tree) if isinstance(tree, list) else ()
    found = [above] if above else []
    for key, value in inside:
        found += places(value, (*above, key))
    return found


def at(tree: Any, path: Path) -> Any:
    for key in path:
        tree = tree[key]
    return tree


def spoil_tree(tree: Any, random: Random, dates: bool = True) -> None:
    """One change somewhere in a tree, in place."""
    found = places(tree)
    if not found:
        return
    path = random.choice(found)
    holder, key = at(tree, path[:-1]), path[-1]
    random.choice(TREE_WAYS)(tree, holder, key, random, dates)


def _put(_: Any, holder: Any, key: Any, random: Random, dates: bool) -> None:
    holder[key] = weird(random, dates)


def _near(_: Any, holder: Any, key: Any, random: Random, dates: bool) -> None:
    """Of the same kind, but another one."""
    value = holder[key]
    if isinstance(value, bool):
        holder[key] = not value
    elif isinstance(value, int | float):
        holder[key] = random.choice((value * 10, -value, value / 3, value + 1, value * 1e6, 0))
    elif isinstance(value, str):
        holder[key] = other_text(value, random)
    elif isinstance(value, list):
        holder[key] = value * random.choice((0, 2, 30))
    else:
        holder[key] = weird(random, dates)


def other_text(value: str, random: Random) -> str:
    """A text near one given: its digits changed, a piece of it, twice it."""
    digits = "".join(random.choice("0123456789") if sign.isdigit() else sign for sign in value)
    n = random.randrange(len(value) + 1)
    return random.choice(
        (digits, value[:n], value * 2, value + " 1/2", "-" + value, value.upper(), value[::-1])
    )


def _drop(_: Any, holder: Any, key: Any, __: Random, ___: bool) -> None:
    del holder[key]


def _swap(tree: Any, holder: Any, key: Any, random: Random, _: bool) -> None:
    """What stands somewhere else of the same tree."""
    holder[key] = json.loads(json.dumps(at(tree, random.choice(places(tree))), default=str))


def _rename(_: Any, holder: Any, key: Any, random: Random, __: bool) -> None:
    if isinstance(holder, dict):
        holder[random.choice((*TEXTS[:12], key + "s"))] = holder.pop(key)
    else:
        holder.insert(key, holder[key])


TREE_WAYS: tuple[Callable[[Any, Any, Any, Random, bool], None], ...] = (
    _put,
    _put,
    _near,
    _near,
    _drop,
    _swap,
    _rename,
)


def spoil_text(text: str, random: Random) -> str:
    """One change to lines of text."""
    lines = text.split("\n")
    n = random.randrange(len(lines))
    return random.choice(TEXT_WAYS)(lines, n, random)


def _twice(lines: list[str], n: int, _: Random) -> str:
    return "\n".join([*lines[: n + 1], *lines[n:]])


def _without(lines: list[str], n: int, _: Random) -> str:
    return "\n".join([*lines[:n], *lines[n + 1 :]])


def _moved(lines: list[str], n: int, random: Random) -> str:
    rest = [*lines[:n], *lines[n + 1 :]]
    rest.insert(random.randrange(len(rest) + 1), lines[n])
    return "\n".join(rest)


def _value(lines: list[str], n: int, random: Random) -> str:
    head, sign, _ = lines[n].partition("=")
    raw = ("1" * 5000, "1e400", "-1e400", "nan", "-inf", "0x" + "f" * 3000, "[" * 2000, "{a=" * 300, '"""',
           "9999-99-99", "0000-01-01", "24:00:00", "2026-02-29", "'" * 3, "1_0", "[,]", "{}", "[[]]")  # fmt: skip
    return "\n".join([*lines[:n], f"{head}{sign}{random.choice(raw)}", *lines[n + 1 :]])


def _piece(lines: list[str], n: int, random: Random) -> str:
    line = lines[n]
    at_sign = random.randrange(len(line) + 1)
    return "\n".join([*lines[:n], line[:at_sign] + random.choice(TEXTS) + line[at_sign:], *lines[n + 1 :]])


def _many(lines: list[str], n: int, random: Random) -> str:
    return "\n".join([*lines[:n], *[lines[n]] * random.choice((20, 400)), *lines[n:]])


def _deep(lines: list[str], n: int, random: Random) -> str:
    key = ".".join("a" * 1 for _ in range(random.choice((10, 900))))
    return "\n".join([*lines[:n], f"{key} = 1", f"[{key}.b]", *lines[n:]])


TEXT_WAYS: tuple[Callable[[list[str], int, Random], str], ...] = (
    _twice, _without, _moved, _value, _value, _piece, _piece, _many, _deep,
)  # fmt: skip


def spoil_bytes(good: bytes, random: Random) -> bytes:
    """A few bytes changed, cut, put in or doubled."""
    data = bytearray(good)
    for _ in range(random.choice((1, 1, 2, 8))):
        n = random.randrange(len(data) + 1)
        way = random.randrange(5)
        if way == 0 and data:
            data[min(n, len(data) - 1)] = random.randrange(256)
        elif way == 1:
            data[n:n] = random.choice(
                (b"\0", b"\xff\xfe", b"\xed\xa0\x80", b"\r", b"\x1b]0;x\x07", b"\xef\xbb\xbf")
            )
        elif way == 2:
            del data[n : n + random.randrange(1, 40)]
        elif way == 3:
            data[n:n] = data[n : n + 60]
        elif random.random() < 0.2:
            del data[n:]
    return bytes(data)


def chain(records: list[dict[str, Any]]) -> bytes:
    """Lines of a log under a chain that holds, whatever they say."""
    whole, last = bytearray(), FIRST_HASH
    for record in records:
        body = json.dumps(record, ensure_ascii=False, separators=(",", ":")).encode("utf-8", "surrogatepass")
        last = chained(last, body)
        whole += body[:-1] + b',"hash":"' + last.encode() + b'"}\n'
    return bytes(whole)
