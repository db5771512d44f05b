"""From Pydantic's errors to faults that say what is wrong, by which rule, and what to do next."""

from __future__ import annotations

from collections.abc import Mapping
from string import Formatter
from typing import get_args

from pydantic import BaseModel, ValidationError
from pydantic_core import ErrorDetails

from slackwater.errors import InputError, shown
from slackwater.service.tankfile_values import suggestion

MOST_SHOWN = 50

_RULES: Mapping[str, tuple[str, str]] = {
    "bool": ("it is neither true nor false", "Write true or false."),
    "int": ("it must be a whole number", "Write a number such as 2."),
    "float": ("it must be a number", "Write a number such as 2."),
    "finite": ("it must be a number", "Write a number such as 2."),
    "greater": ("it must be at least {ge:g}", "Check the number."),
    "less": ("it must be at most {le:g}", "Check the number."),
    "string": ("it must be a word or a name", "Write it in words."),
    "tuple": ("it must be a list", "Write it as [one, two], or with a dash before each."),
    "too": ("it may hold {max_length} entries at most", "Leave the rest out."),
    "dict": ("it must be a block of its own", "Write its keys below it, indented."),
    "model": ("it must be a block of its own", "Write its keys below it, indented."),
    "literal": ("this program reads {expected}", "Write {expected}."),
    "missing": ("it is needed", "Add it."),
}


def faults_of(error: ValidationError, whole: type[BaseModel]) -> tuple[InputError, ...]:
    """Return the faults behind a validation error, the first fifty of them.

    Parameters
    ----------
    error
        What Pydantic found.
    whole
        The model that was being filled, to look up what is known at each place.
    """
    return tuple(_fault(details, whole) for details in error.errors(include_url=False)[:MOST_SHOWN])


def place(steps: tuple[int | str, ...]) -> str:
    """Return a place in the file, entries counted from 1: `wishes[1].price`."""
    path = ""
    for step in steps:
        path += f"[{step + 1}]" if isinstance(step, int) else f".{shown(step)}"
    return path.removeprefix(".")


def _fault(details: ErrorDetails, whole: type[BaseModel]) -> InputError:
    steps = details["loc"]
    cause = details.get("ctx", {}).get("error")
    if isinstance(cause, InputError):
        inner = (*steps, cause.field) if cause.field else steps
        return InputError(field=place(inner), given=cause.given, limit=cause.limit, remedy=cause.remedy)
    if details["type"] == "extra_forbidden":
        return _unknown_key(steps, whole)
    limit, remedy = _sentences(details) if steps else _no_keys(whole)
    given = "missing" if details["type"] == "missing" else _given(details["input"])
    return InputError(field=place(steps) or "the file", given=given, limit=limit, remedy=remedy)


def _given(value: object) -> str:
    """Return what was given; of a block or a list only that it is one."""
    if isinstance(value, Mapping):
        return "a block of keys" if value else "an empty block"
    return "a list" if isinstance(value, list | tuple) else shown(value)


def _no_keys(whole: type[BaseModel]) -> tuple[str, str]:
    """Return limit and remedy for a file that holds no keys at all."""
    first = [field.alias or name for name, field in whole.model_fields.items()][:3]
    return "it must hold keys and values", f"Begin with {', '.join(first)}, each with a colon."


def _sentences(details: ErrorDetails) -> tuple[str, str]:
    """Return limit and remedy for a kind of error; ours where there is one, else Pydantic's own."""
    family = details["type"].split("_")[0]
    if details["type"] == "string_too_short":
        return "it must not be empty", "Write the name as the customer says it."
    limit, remedy = _RULES.get(family, ("", ""))
    told = details.get("ctx", {})
    if limit and _fields_in(limit + remedy) <= set(told):
        return limit.format(**told), remedy.format(**told)
    return f"{details['msg'][0].lower()}{details['msg'][1:]}", "See the format: slackwater schema."


def _fields_in(sentence: str) -> set[str]:
    return {name for _, name, _, _ in Formatter().parse(sentence) if name}


def _unknown_key(steps: tuple[int | str, ...], whole: type[BaseModel]) -> InputError:
    part = _part_at(steps[:-1], whole)
    known = [field.alias or name for name, field in part.model_fields.items()]
    return InputError(
        field=place(steps),
        given="no key that is known here",
        limit="a key that is not known would be passed over in silence",
        remedy=suggestion(str(steps[-1]), known),
    )


def _part_at(steps: tuple[int | str, ...], whole: type[BaseModel]) -> type[BaseModel]:
    """Walk down the models along the names of a place."""
    part = whole
    for step in steps:
        fields = {field.alias or name: field for name, field in part.model_fields.items()}
        if step in fields:
            part = _model_in(fields[str(step)].annotation) or part
    return part


def _model_in(annotation: object) -> type[BaseModel] | None:
    """Return the model inside `Model`, `Model | None` or `tuple[Model, ...]`."""
    if isinstance(annotation, type) and issubclass(annotation, BaseModel):
        return annotation
    found = (_model_in(inner) for inner in get_args(annotation))
    return next((model for model in found if model), None)
