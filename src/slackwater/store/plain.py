"""Records of the diary as plain values and back, and plain values as compact text."""

from __future__ import annotations

import dataclasses
import json
from collections.abc import Callable, Mapping
from enum import StrEnum
from functools import cache, lru_cache
from typing import Any, get_args, get_type_hints

from slackwater.errors import StoreError
from slackwater.society.diary import KINDS, ChaseKind, Chases, Photograph, Seen

Read = Callable[[Any], Any]


def dumps(value: object) -> str:
    """Return plain values as compact text."""
    return json.dumps(value, ensure_ascii=False, separators=(",", ":"), allow_nan=False)


def loads(text: str) -> Any:  # noqa: ANN401 - plain values of any kind
    """Return the plain values of a text."""
    return json.loads(text)


def plain_of(record: object) -> dict[str, object]:
    """Return a record of the diary as plain values; what is as usual is left out."""
    if not dataclasses.is_dataclass(record) or isinstance(record, type):
        message = f"{type(record).__name__} is no record"
        raise TypeError(message)
    told = {f.name: (getattr(record, f.name), f.default) for f in dataclasses.fields(record)}
    return {name: _plain(value) for name, (value, usual) in told.items() if value != usual}


def seen_of(kind: str, plain: Mapping[str, object]) -> Seen:
    """Return the record of a kind that plain values tell of.

    Raises
    ------
    StoreError
        If no such kind is known, or a value has no place in it: a later release wrote it.
    """
    try:
        record: Any = KINDS[kind]
        readers = _readers(record)
        seen: Seen = record(**{name: readers[name](value) for name, value in plain.items()})
    except (KeyError, TypeError, ValueError) as fault:
        remedy = "Install the release that wrote it."
        problem = f"it holds an entry of the kind {kind[:30]!r} that this release cannot read"
        raise StoreError(store="the diary", problem=problem, remedy=remedy) from fault
    return seen


@lru_cache(maxsize=8_192)
def read_seen(kind: str, text: str) -> Seen:
    """Return the record of a kind that a text tells of; equal texts share one record.

    Raises
    ------
    StoreError
        As for :func:`seen_of`.
    """
    return seen_of(kind, loads(text))


def photographs_of(text: str) -> tuple[Photograph, ...]:
    """Return the photographs that a text lists."""
    return tuple(Photograph(**one) for one in loads(text)) if text != "[]" else ()


def _plain(value: object) -> object:
    if isinstance(value, tuple):
        return [_plain(one) for one in value]
    if isinstance(value, StrEnum):
        return value.value
    return plain_of(value) if dataclasses.is_dataclass(value) else value


@lru_cache(maxsize=8_192)
def _chases(who: str, whom: str, count: int = 1, how: str = ChaseKind.CHASE.value) -> Chases:
    return Chases(who, whom, count, _HOW[how])


_HOW = {how.value: how for how in ChaseKind}


@cache
def _readers(record: type[Any]) -> Mapping[str, Read]:
    """Return how each field of a record is read."""
    hints = get_type_hints(record)
    return {field.name: _reader(hints[field.name]) for field in dataclasses.fields(record)}


def _reader(hint: Any) -> Read:  # noqa: ANN401 - whatever a field is said to be
    if isinstance(hint, type) and issubclass(hint, StrEnum):
        return hint
    if Chases in get_args(hint):
        return lambda told: tuple(_chases(**one) for one in told)
    return tuple if str in get_args(hint) and ... in get_args(hint) else lambda told: told
