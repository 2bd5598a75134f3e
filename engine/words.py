"""Sentences as a key and values; the text itself stands in `configs/words/*.toml`, one file a language.

The engine never builds a sentence for people: it returns `Say("reason.edge", pour="P2")` and the edge of the
program renders it with the catalogue of the language in use.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from functools import cached_property


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


class Words:
    """One language: dotted keys to texts with `{name}` places; read when the first of them is asked for."""

    def __init__(self, table: Mapping[str, str] | Callable[[], Mapping[str, str]]) -> None:
        self._given = table

    @cached_property
    def _table(self) -> dict[str, str]:
        return dict(self._given() if callable(self._given) else self._given)

    def __call__(self, said: Say | str, /, **values: object) -> str:
        """The text; an unknown key is a fault of the program and raises `KeyError`."""
        key, places = (said.key, dict(said.values)) if isinstance(said, Say) else (said, values)
        return self._table[key].format(**{name: self._word(value) for name, value in places.items()})

    def _word(self, value: object) -> object:
        return self(value) if isinstance(value, Say) else value

    def __contains__(self, key: str) -> bool:
        return key in self._table

    def keys(self) -> frozenset[str]:
        """All keys, for the test that languages agree."""
        return frozenset(self._table)
