"""A plan read back from its plain values, as `jsonfile` wrote them."""

from __future__ import annotations

import dataclasses
import datetime as dt
import math
from collections.abc import Callable, Mapping
from functools import cache
from types import NoneType, UnionType
from typing import Any, Union, cast, get_args, get_origin, get_type_hints

from slackwater.plan.records import Plan


def plan_from_dict(data: Mapping[str, object]) -> Plan:
    """Return the plan that some plain values are.

    Parameters
    ----------
    data
        What `plan_to_dict` returned: rounded to three digits, dates as ISO text.

    Raises
    ------
    ValueError
        If they are no plan, or one of another release that lacks a part.
    """
    try:
        found = _read(Plan, data["plan"])
    except (KeyError, TypeError, AttributeError) as error:
        raise ValueError("these are no values of a plan") from error
    return cast("Plan", found)


def _read(kind: Any, value: Any) -> Any:  # noqa: ANN401 - any record and its plain form
    if dataclasses.is_dataclass(kind):
        return _record(kind, value)
    origin = get_origin(kind)
    if origin in (Union, UnionType):
        return _either(kind, value)
    if origin is tuple:
        return _tuple(get_args(kind), value)
    if origin is dict:
        keys, inner = get_args(kind)
        return {_read(keys, key): _read(inner, one) for key, one in value.items()}
    return _SIMPLE.get(kind, kind)(value)


def _record(kind: Any, value: Mapping[str, Any]) -> object:  # noqa: ANN401 - any record
    hints = _hints(kind)
    told = {field.name for field in dataclasses.fields(kind)} & value.keys()
    return kind(**{name: _read(hints[name], value[name]) for name in told})


def _either(kind: Any, value: object) -> object:  # noqa: ANN401 - a record or nothing
    others = [one for one in get_args(kind) if one is not NoneType]
    if value is None:
        return None
    if len(others) != 1:
        raise TypeError(f"{kind} has no plain form that can be read")
    return _read(others[0], value)


def _tuple(kinds: tuple[Any, ...], values: list[Any]) -> tuple[object, ...]:
    if len(kinds) == 2 and kinds[1] is Ellipsis:  # noqa: PLR2004 - a kind and the dots
        return tuple(_read(kinds[0], value) for value in values)
    return tuple(_read(kind, value) for kind, value in zip(kinds, values, strict=True))


def _day(value: str) -> dt.date:
    return dt.date.fromisoformat(value)


def _float(value: float | None) -> float:
    return math.nan if value is None else float(value)


_SIMPLE: Mapping[Any, Callable[[Any], object]] = {dt.date: _day, float: _float}


@cache
def _hints(kind: Any) -> dict[str, Any]:  # noqa: ANN401 - any record
    return get_type_hints(kind)
