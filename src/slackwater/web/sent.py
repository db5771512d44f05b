"""What a page sends, as JSON or as a form, read so that whatever else is sent is told in three parts."""

from __future__ import annotations

import json
from collections.abc import Mapping
from typing import Any
from urllib.parse import parse_qs

from fastapi import Request

from slackwater.errors import InputError, shown


async def sent(request: Request) -> Any:  # noqa: ANN401 - any JSON value
    """Return the JSON that was sent.

    Raises
    ------
    InputError
        If it is none.
    """
    try:
        return json.loads(await request.body())
    except (ValueError, RecursionError):
        raise _refused("no JSON", "this program reads JSON here") from None


async def block_sent(request: Request) -> dict[str, Any]:
    """Return the block of keys and values that was sent as JSON.

    Raises
    ------
    InputError
        If it is none.
    """
    told = await sent(request)
    if not isinstance(told, dict):
        raise _refused("no block of keys", "it must hold keys and values")
    return told


async def form_sent(request: Request) -> Mapping[str, str]:
    """Return the fields of a form that was sent.

    Raises
    ------
    InputError
        If it is no text.
    """
    try:
        fields = parse_qs((await request.body()).decode(), keep_blank_values=True)
    except ValueError:
        raise _refused("no text in UTF-8", "this program reads a form here") from None
    return {name: values[0] for name, values in fields.items()}


def number_in(told: Mapping[str, Any], key: str) -> int:
    """Return a whole number that was sent, 0 if it was left out.

    Raises
    ------
    InputError
        If it is none.
    """
    given = told.get(key, 0)
    try:
        return int(given)
    except (TypeError, ValueError, OverflowError):
        raise _told_wrong(key, given, "it must be a whole number") from None


def list_in(told: Mapping[str, Any], key: str) -> list[object] | None:
    """Return a list that was sent, None if it was left out.

    Raises
    ------
    InputError
        If it is none.
    """
    given = told.get(key)
    if given is None or isinstance(given, list):
        return given
    raise _told_wrong(key, given, "it must be a list")


def rows_in(told: Mapping[str, Any], key: str) -> list[list[str]]:
    """Return the rows of a table that were sent, each cell as text.

    Raises
    ------
    InputError
        If they are none.
    """
    rows = told.get(key)
    if isinstance(rows, list) and all(isinstance(row, list) for row in rows):
        return [[str(cell) for cell in row] for row in rows]
    raise _told_wrong(key, rows, "it must be a list of rows")


def _told_wrong(key: str, given: object, limit: str) -> InputError:
    return InputError(field=key, given=shown(given), limit=limit, remedy="Reload the page and try again.")


def _refused(given: str, limit: str) -> InputError:
    remedy = "Reload the page and try again; what you typed stays in it."
    return InputError(field="what was sent", given=given, limit=limit, remedy=remedy)
