"""The plan as a JSON file: sorted keys, three significant digits, the same bytes for the same plan."""

from __future__ import annotations

import dataclasses
import datetime as dt
import json
import math
from collections.abc import Mapping
from pathlib import PurePath
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from slackwater.plan.records import Plan

_FORMAT = 1


def plan_to_dict(
    plan: Plan,
    question: Mapping[str, object] | None = None,
    course: Mapping[str, object] | None = None,
) -> dict[str, Any]:
    """Return the plan as plain values; dates as ISO text, floats rounded, what is not a number as None.

    Parameters
    ----------
    plan
        The plan.
    question
        The tank file that it answers, as plain values; kept beside it where it is given.
    course
        What is done on the way and no tank file holds, as plain values; kept if there is any.
    """
    plain = {field.name: _plain(getattr(plan, field.name)) for field in dataclasses.fields(plan)}
    asked = {} if question is None else {"question": _plain(dict(question))}
    on_the_way = {"course": _plain(dict(course))} if course else {}
    return {"slackwater": _FORMAT, "plan": plain} | asked | on_the_way


def dumps(value: object) -> str:
    """Return any record or plain value as stable JSON text with a closing line break."""
    return json.dumps(_plain(value), sort_keys=True, indent=2, ensure_ascii=False, allow_nan=False) + "\n"


def plan_json(
    plan: Plan,
    question: Mapping[str, object] | None = None,
    course: Mapping[str, object] | None = None,
) -> str:
    """Return the plan as JSON text, with the tank file that it answers and the course where given."""
    return dumps(plan_to_dict(plan, question, course))


def three_digits(value: float) -> float | None:
    """Return a number rounded to three significant digits; None for what is not finite."""
    return float(f"{value:.3g}") + 0.0 if math.isfinite(value) else None


def _plain(value: object) -> object:
    if dataclasses.is_dataclass(value) and not isinstance(value, type):
        return {field.name: _plain(getattr(value, field.name)) for field in dataclasses.fields(value)}
    if isinstance(value, dict):
        return {str(key): _plain(inner) for key, inner in value.items()}
    if isinstance(value, list | tuple):
        return [_plain(inner) for inner in value]
    if isinstance(value, float):
        return three_digits(value)
    if isinstance(value, dt.date):
        return value.isoformat()
    return str(value) if isinstance(value, PurePath) else value
