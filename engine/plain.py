"""Frozen dataclasses to plain JSON values and back, driven by their type hints."""

from __future__ import annotations

import dataclasses
import functools
import types
import typing
from collections.abc import Callable
from typing import Any, TypeVar

T = TypeVar("T")


def to_plain(value: Any) -> Any:
    """JSON values of a dataclass tree; `None` fields and fields at their default are left out."""
    if dataclasses.is_dataclass(value) and not isinstance(value, type):
        fields = [f for f in dataclasses.fields(value) if f.init]
        return {f.name: to_plain(v) for f in fields if (v := getattr(value, f.name)) != f.default}
    if isinstance(value, tuple | list):
        return [to_plain(item) for item in value]
    return value


def from_plain(kind: type[T], data: Any) -> T:
    """The dataclass again. Raises `ValueError` naming the field where the data does not fit."""
    as_key: Any = kind
    return typing.cast(T, _reader(as_key)(data))


@functools.cache
def _reader(kind: Any) -> Callable[[Any], Any]:
    if dataclasses.is_dataclass(kind):
        return functools.partial(_read_record, kind)
    origin, args = typing.get_origin(kind), typing.get_args(kind)
    if origin is tuple:
        return _tuple_reader(args)
    if origin in (typing.Union, types.UnionType):
        inner = next(arg for arg in args if arg is not type(None))
        return _optional_reader(_reader(inner))
    if origin is typing.Literal:
        return functools.partial(_read_choice, args)
    return functools.partial(_read_scalar, kind)


def _optional_reader(inner: Callable[[Any], Any]) -> Callable[[Any], Any]:
    return lambda data: None if data is None else inner(data)


def _tuple_reader(args: tuple[Any, ...]) -> Callable[[Any], Any]:
    if len(args) == 2 and args[1] is Ellipsis:
        item = _reader(args[0])
        return lambda data: tuple(item(value) for value in _as_list(data))
    items = [_reader(arg) for arg in args]
    return lambda data: tuple(item(v) for item, v in zip(items, _as_list(data), strict=True))


def _as_list(data: Any) -> list[Any]:
    if not isinstance(data, list):
        raise ValueError(f"a list was expected, not {data!r:.60}")
    return data


def _read_choice(choices: tuple[Any, ...], data: Any) -> Any:
    if data not in choices:
        raise ValueError(f"{data!r:.60} is none of {', '.join(map(str, choices))}")
    return data


def _read_scalar(kind: Any, data: Any) -> Any:
    if kind is float and isinstance(data, int) and not isinstance(data, bool):
        return float(data)
    if kind is Any or isinstance(data, kind):
        return data
    raise ValueError(f"{kind.__name__} was expected, not {data!r:.60}")


@functools.cache
def _fields(kind: Any) -> dict[str, Callable[[Any], Any]]:
    hints = typing.get_type_hints(kind)
    return {f.name: _reader(hints[f.name]) for f in dataclasses.fields(kind) if f.init}


def _read_record(kind: Any, data: Any) -> Any:
    if not isinstance(data, dict):
        raise ValueError(f"{kind.__name__}: a table was expected, not {data!r:.60}")
    readers = _fields(kind)
    if unknown := sorted(set(data) - set(readers)):
        raise ValueError(f"{kind.__name__} knows no {', '.join(unknown)}")
    try:
        return kind(**{name: readers[name](value) for name, value in data.items()})
    except TypeError as error:
        raise ValueError(f"{kind.__name__}: {error}") from None
