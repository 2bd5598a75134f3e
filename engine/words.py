"""Sentences as a key and values; the text itself stands in `configs/words/*.toml`, one file a language.

The engine never builds a sentence for people: it returns `Say("reason.edge", pour="P2")` and the edge of the
program renders it with the catalogue of the language in use.

A place of a text is `{name}`, or `{name:family}` where its value is a word of the engine or a count: the word is then
said as `family.<word>` (each of several, parted by commas), the count as `family.one` or `family.other`.
"""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from functools import cached_property

_ONE = re.compile(r"[+-]?(?:1|[1-9][0-9]*/[1-9][0-9]*)")


@dataclass(frozen=True)
class Say:
    """A sentence not yet in words: the key of its text and the values that go into it."""

    key: str
    values: tuple[tuple[str, str | Say], ...] = ()


def say(key: str, /, **values: object) -> Say:
    """Build a `Say`; values are turned into text here, so that it can be compared, hashed and stored.

    A value that is a sentence itself stays one, and is put into words with the whole.
    """
    return Say(key, tuple((name, _kept(value)) for name, value in values.items()))


def _kept(value: object) -> str | Say:
    return value if isinstance(value, Say) else str(value)


def amount(count: float) -> str:
    """A number of things that come in halves: `1 1/2`; other parts as a decimal of at most two places."""
    whole, part = divmod(count, 1.0)
    if part == 0.5 and count > 0:
        return f"{whole:.0f} 1/2" if whole else "1/2"
    text = f"{count:.2f}"
    return text.rstrip("0").rstrip(".")


def plural(count: str) -> str:
    """`one` or `other` for a count as it is written: `1` and a bare fraction such as `1/2` are one.

    The cardinal categories that Unicode CLDR (plurals.xml, en and es) gives whole numbers and decimals up to a million;
    past it es has `many`, and `1.0` is one in es alone: neither is written here. CLDR has no vulgar fractions: a part
    of a single thing reads as one (`1/2 bag`), a mixed number as several (`1 1/2 bags`).
    """
    return "one" if _ONE.fullmatch(count) else "other"


class Words:
    """One language: dotted keys to texts with `{name}` and `{name:family}` places; read when the first is asked for."""

    def __init__(self, table: Mapping[str, str] | Callable[[], Mapping[str, str]]) -> None:
        self._given = table

    @cached_property
    def _table(self) -> dict[str, str]:
        return dict(self._given() if callable(self._given) else self._given)

    def __call__(self, said: Say | str, /, **values: object) -> str:
        """The text; an unknown key is a fault of the program and raises `KeyError`."""
        key, places = (said.key, dict(said.values)) if isinstance(said, Say) else (said, values)
        return self._table[key].format(**{name: _Value(self, value) for name, value in places.items()})

    def counted(self, family: str, count: str) -> str:
        """A count with its word: `count.bag` and `1 1/2` is `1 1/2 bags`."""
        return self(f"{family}.{plural(count)}", n=count)

    def of_family(self, family: str, value: str) -> str:
        """A count or words of the engine, as this language says them; what it has no word for stays as it is."""
        if f"{family}.other" in self._table and f"{family}.one" in self._table:
            return self.counted(family, value)
        return ", ".join(self._one_word(family, word) for word in value.split(", "))

    def _one_word(self, family: str, word: str) -> str:
        keys = (f"{family}.{word}", f"{family}.{word.replace(' ', '_')}")
        return next((self._table[key] for key in keys if key in self._table), word)

    def __contains__(self, key: str) -> bool:
        return key in self._table

    def texts(self) -> Mapping[str, str]:
        """All texts by key, to be handed to another process."""
        return self._table

    def keys(self) -> frozenset[str]:
        """All keys, for the test that languages agree."""
        return frozenset(self._table)


class _Value:
    """A value in its place; what stands behind the colon there names the family that says it."""

    __slots__ = ("_value", "_words")

    def __init__(self, words: Words, value: object) -> None:
        self._words, self._value = words, value

    def __format__(self, family: str) -> str:
        text = self._words(self._value) if isinstance(self._value, Say) else str(self._value)
        return self._words.of_family(family, text) if family else text


def without_accents(table: Mapping[str, str]) -> dict[str, str]:
    """The texts for a terminal that has no accented letters: `señal` is `senal`; opening `¿` and `¡` go."""
    return {key: _plain(text) for key, text in table.items()}


def _plain(text: str) -> str:
    if text.isascii():
        return text
    parts = unicodedata.normalize("NFD", text.replace("¿", "").replace("¡", ""))
    return "".join(sign for sign in parts if not unicodedata.combining(sign))
